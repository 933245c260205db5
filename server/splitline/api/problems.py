"""Every error leaves the API here, as an RFC 9457 problem document."""

import logging
from collections.abc import Iterable, Mapping
from http import HTTPStatus

from litestar import Response
from litestar.exceptions import HTTPException
from litestar.types import ExceptionHandlersMap
from msgspec import Struct, json

from splitline.answers import reports
from splitline.api.metrics import count_fault
from splitline.api.services import HttpRequest
from splitline.checking.wording import Report
from splitline.errors import Problem, SplitlineError, Unusable
from splitline.identity import SecretTaken
from splitline.logs import REQUEST
from splitline.photos.store import PhotosFull, PhotosUnavailable
from splitline.store.faults import StoreDamaged, StoreFull, StoreUnavailable

MEDIA_TYPE = "application/problem+json"
RETRY_SECONDS = "5"
# Someone, or the scheduled clean-up, has to free space first.
RETRY_WHEN_FULL = "60"
# Codes for what the framework itself refuses, by status.
CODES = {
    400: "bad_request",
    404: "not_found",
    405: "method_not_allowed",
    413: "body_too_large",
    415: "media_type",
}

log = logging.getLogger(__name__)


class Document(Struct, frozen=True, kw_only=True):
    """A problem document. detail: the first problem's sentence; problems: all of them.

    request_id: as in the header X-Request-ID and in the server's log.
    """

    type: str = "about:blank"
    title: str
    status: int
    detail: str
    code: str
    problems: tuple[Report, ...]
    request_id: str


class RequestRefused(SplitlineError):
    """A request that is refused; carries its status and every problem."""

    def __init__(self, status: int, problems: Iterable[Problem], headers: Mapping[str, str] | None = None) -> None:
        self.status = status
        self.problems = tuple(problems)
        self.headers = dict(headers or {})
        super().__init__(f"{status} " + "; ".join(problem.code for problem in self.problems))


def document(status: int, problems: Iterable[Problem]) -> Document:
    """Return the problem document for some problems."""
    sentences = reports(problems)
    first = sentences[0]
    return Document(
        title=HTTPStatus(status).phrase,
        status=status,
        detail=first.sentence,
        code=first.code,
        problems=sentences,
        request_id=REQUEST.get(),
    )


def _response(status: int, problems: Iterable[Problem], headers: Mapping[str, str] | None = None) -> Response[bytes]:
    body = json.encode(document(status, problems))
    kept = {"Cache-Control": "no-store", **(headers or {})}
    return Response(body, status_code=status, media_type=MEDIA_TYPE, headers=kept)


def _refused(_request: HttpRequest, fault: RequestRefused) -> Response[bytes]:
    return _response(fault.status, fault.problems, fault.headers)


def _unusable(_request: HttpRequest, fault: Unusable) -> Response[bytes]:
    return _response(422, fault.problems)


def _taken(_request: HttpRequest, fault: SecretTaken) -> Response[bytes]:
    return _response(403, fault.problems)


def _by_framework(request: HttpRequest, fault: HTTPException) -> Response[bytes]:
    status = fault.status_code
    if status >= 500:
        return _bug(request, fault)
    code = CODES.get(status, "bad_request")
    return _response(status, [Problem(code, "", request.method)], fault.headers)


def _unavailable(_request: HttpRequest, fault: SplitlineError) -> Response[bytes]:
    log.warning("unavailable: %s", fault)
    count_fault(fault)
    return _response(503, [Problem("unavailable")], {"Retry-After": RETRY_SECONDS})


def _full(_request: HttpRequest, fault: SplitlineError) -> Response[bytes]:
    log.error("no room: %s", fault)
    count_fault(fault)
    return _response(507, [Problem("storage_full")], {"Retry-After": RETRY_WHEN_FULL})


def _bug(request: HttpRequest, fault: Exception) -> Response[bytes]:
    """Answer that the fault is the server's, without any details."""
    log.error("bug in %s %s", request.method, request.scope.get("path_template", ""), exc_info=fault)
    return _response(500, [Problem("internal")])


def handlers() -> ExceptionHandlersMap:
    """Return the handler for each kind of exception."""
    return {
        RequestRefused: _refused,
        Unusable: _unusable,
        SecretTaken: _taken,
        StoreUnavailable: _unavailable,
        StoreDamaged: _unavailable,
        PhotosUnavailable: _unavailable,
        StoreFull: _full,
        PhotosFull: _full,
        HTTPException: _by_framework,
        Exception: _bug,
    }
