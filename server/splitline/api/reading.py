"""What a request says: its secret, its query, its body."""

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
# A picture of 2 MB over a poor line; whoever takes longer holds the door against others.
PATIENCE_SECONDS = 120


def identity(request: HttpRequest) -> Identity:
    """Return who sends. Raises `RequestRefused` 401 without a secret in the right form."""
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
    """Return the media type of the body. Raises `RequestRefused` 415 when it is none of those accepted."""
    given = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if given not in accepted:
        raise RequestRefused(415, [Problem("media_type", "Content-Type", given[:60], ", ".join(accepted))])
    return given


async def body(request: HttpRequest, most: int) -> bytes:
    """Return the body, which comes as it is: nothing is unpacked here, so nothing can swell.

    Raises `RequestRefused`: 413 above `most` bytes, the limit the handler was declared with; 415 when it is packed;
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
        # What the framework makes of a device that goes away in the middle; nobody is left to read the answer.
        raise RequestRefused(400, [Problem("body_cut")]) from fault
    except ClientException as fault:
        if fault.status_code != TOO_LARGE:
            raise
        size = request.headers.get("content-length", "")[:20]
        raise RequestRefused(413, [Problem("body_too_large", "", size, str(most))]) from fault
