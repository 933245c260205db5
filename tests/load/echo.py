"""The lower limit of the same framework: an application that returns the request body."""

import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from litestar import Litestar, Request, Response, post

from helpers.system import free_port
from load.calls import Call, answer, connected, settle


@post("/echo", status_code=200)
async def echo(request: Request[Any, Any, Any]) -> Response[bytes]:
    """Return the body."""
    return Response(await request.body(), media_type="application/json")


app = Litestar([echo], openapi_config=None, logging_config=None, request_max_body_size=None)


@contextmanager
def echoing() -> Iterator[str]:
    """Serve the application and yield its address."""
    port = free_port()
    command = [sys.executable, "-m", "uvicorn", "load.echo:app", "--port", str(port), "--log-level", "error"]
    process = subprocess.Popen([*command, "--no-access-log", "--app-dir", str(Path(__file__).parents[1])])
    try:
        until = time.monotonic() + 60
        while time.monotonic() < until:
            try:
                answer(connected(f"http://127.0.0.1:{port}"), Call("POST", "/echo", b"{}"))
                break
            except OSError:
                time.sleep(0.1)
        settle(process.pid)
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.wait(30)
