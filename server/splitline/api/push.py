"""POST /api/v1/push: takes a batch of records and answers each."""

from typing import Annotated, Any

from litestar import Response, post
from msgspec import DecodeError, Meta, Raw, Struct, ValidationError, json

from splitline.api import metrics, reading, throttle
from splitline.api.problems import RequestRefused
from splitline.api.services import SECRET, HttpRequest, InjectedServices
from splitline.api.shapes import REFERENCE, NoQuery, Pushed
from splitline.checking import form, jsontext
from splitline.errors import Problem
from splitline.records import Time

MOST_BYTES = 1024 * 1024
MOST_RECORDS = 500


KINDS = [{"$ref": REFERENCE.format(name=name)} for name in ("Source", "Test", "Retraction")]


class Batch(Struct, frozen=True, forbid_unknown_fields=True):
    """Records, each still as JSON text, so that a bad one does not spoil the others."""

    records: Annotated[
        tuple[Annotated[Raw, Meta(extra_json_schema={"anyOf": KINDS})], ...], Meta(max_length=MOST_RECORDS)
    ]
    sent_at: Annotated[Time | None, Meta(description="the device's clock")] = None


@post(
    "/api/v1/push",
    status_code=200,
    request_max_body_size=MOST_BYTES,
    security=SECRET,
    body={"application/json": Batch},
)
async def push(request: HttpRequest, services: InjectedServices) -> Response[Pushed]:
    """Accept records from a device; one answer for each, in order."""
    identity = reading.identity(request)
    reading.query(request, NoQuery)
    reading.media_type(request, "application/json")
    batch = _batch(await reading.body(request, MOST_BYTES))
    throttle.by_secret(services.rate_limit, identity, len(batch.records))
    received_at = services.now()
    answers = await services.intake.receive(identity, batch.records, received_at, batch.sent_at)
    metrics.count_answers(answers)
    body = json.encode(Pushed(answers=answers, received_at=received_at))
    return Response[Any](body, media_type="application/json", headers={"Cache-Control": "no-store"})


def _batch(body: bytes) -> Batch:
    """Decode the envelope. Raises `RequestRefused` 400 with every problem."""
    try:
        body.decode("utf-8")
        return json.decode(body, type=Batch)
    except ValidationError as fault:
        raise RequestRefused(400, _wrong_with(body)) from fault
    except (DecodeError, UnicodeDecodeError, RecursionError) as fault:
        raise RequestRefused(400, jsontext.problems(body)) from fault


def _wrong_with(body: bytes) -> list[Problem]:
    """msgspec may report a wrong field before the point where the JSON ends early; then report the broken JSON."""
    try:
        return form.typed(body, Batch)[1]
    except (DecodeError, RecursionError):
        return jsontext.problems(body)
