"""The least that the same framework can do: an application that gives back the body it was sent."""

from typing import Any

from litestar import Litestar, Request, Response, post


@post("/echo", status_code=200)
async def echo(request: Request[Any, Any, Any]) -> Response[bytes]:
    """Give back the body."""
    return Response(await request.body(), media_type="application/json")


app = Litestar([echo], openapi_config=None, logging_config=None, request_max_body_size=None)
