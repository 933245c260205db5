"""Reads a request's secret, query and body."""

from asyncio import timeout
from typing import TypeVar

from litestar.exceptions import ClientException, InternalServerException
from msgspec import Struct

from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest
from splitline.checking import form
from splitline.errors import Problem
from splitline.identity import Identity, identity_of

S = TypeVar("S", bound=Struct)
TOO_LARGE = 413
# Time for a picture of 2 MB over a poor connection; a slower sender would block others.
PATIENCE_SECONDS = 120


def identity(request: HttpRequest) -> Identity:
    """Return the contributor behind the secret. Raises `RequestRefused` 401 if it is missing or malformed."""
    scheme, _, secret = request.headers.get("authorization", "").partition(" ")
    who = identity_of(secret.strip()) if scheme.lower() == "bearer" else None
    if who is None:
        code = "secret_malformed" if secret else "no_secret"
        raise RequestRefused(401, [Problem(code, "Authorization")], {"WWW-Authenticate": "Bearer"})
    return who


def query(request: HttpRequest, wanted: type[S]) -> S:
    """Return the query string as a Struct. Raises `RequestRefused` 400 with every problem."""
    value, problems = form.from_query(dict(request.query_params.items()), wanted)
    if value is None:
        raise RequestRefused(400, problems)
    return value


def media_type(request: HttpRequest, *accepted: str) -> str:
    """Return the media type of the body. Raises `RequestRefused` 415 unless it is one of those accepted."""
    given = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if given not in accepted:
        raise RequestRefused(415, [Problem("media_type", "Content-Type", given[:60], ", ".join(accepted))])
    return given


async def body(request: HttpRequest, most: int) -> bytes:
    """Return the body as it came: nothing is decompressed here, so nothing can swell.

    Raises `RequestRefused`: 413 above `most` bytes, the limit the handler was declared with; 415 when it is compressed;
    408 when it takes too long.
    """
    packed = request.headers.get("content-encoding", "identity").strip().lower()
    if packed not in ("", "identity"):
        raise RequestRefused(415, [Problem("content_encoding", "Content-Encoding", packed[:60])])
    try:
        async with timeout(PATIENCE_SECONDS):
            return await request.body()
    except TimeoutError as fault:
        raise RequestRefused(408, [Problem("body_slow", "", "", str(PATIENCE_SECONDS))]) from fault
    except InternalServerException as fault:
        # The framework's error for a client that hangs up midway; nobody is left to read the answer.
        raise RequestRefused(400, [Problem("body_cut")]) from fault
    except ClientException as fault:
        if fault.status_code != TOO_LARGE:
            raise
        size = request.headers.get("content-length", "")[:20]
        raise RequestRefused(413, [Problem("body_too_large", "", size, str(most))]) from fault
