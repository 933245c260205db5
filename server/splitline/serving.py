"""Prepares the data, listens, and serves with uvicorn."""

import asyncio
import os
import socket
from datetime import UTC, datetime

import uvicorn
from uvicorn.supervisors import Multiprocess

from splitline import demo
from splitline.api.services import Services
from splitline.app import open_services
from splitline.config import Settings
from splitline.errors import SplitlineError
from splitline.store import sequence
from splitline.store.migrate import migrate

WAITING = 2048


class CannotListen(SplitlineError):
    """The address is taken, or not ours."""


def serve(what: Settings) -> int:
    """Serve until stopped; return the exit status. Raises `CannotListen`, `StoreUnavailable`, `SchemaTooNew`."""
    asyncio.run(_prepare(what))
    os.environ.update(what.environment())
    config = uvicorn.Config(
        "splitline.app:create_from_environment",
        factory=True,
        workers=what.workers,
        access_log=False,
        log_level="warning",
        server_header=False,
    )
    listener = _listen(what)
    print(f"Splitline is listening on {_address(what, listener)}", flush=True)
    if what.workers > 1:
        Multiprocess(config, sockets=[listener]).run()
        return 0
    server = uvicorn.Server(config)
    server.run(sockets=[listener])
    return 0 if server.started else 1


async def _prepare(what: Settings) -> None:
    """Create or migrate the database once, and fill it if it is to be a demo, before any worker asks for it."""
    services = open_services(what, lambda: datetime.now(UTC))
    try:
        await migrate(services.store)
        if what.demo:
            await _fill(services)
    finally:
        await services.store.close()


async def _fill(services: Services) -> None:
    """Put the invented scenario into a database that holds nothing yet, and mark it, so that the app can say so."""
    async with services.store.write() as connection:
        if (await sequence.head(connection)).value > 0:
            return
        await sequence.mark_invented(connection)
    await demo.fill(services.intake, services.now())


def _listen(what: Settings) -> socket.socket:
    """Listen before anything is said: from here on nobody is turned away, the first ones wait for the workers."""
    listener = socket.socket(family=socket.AF_INET6 if ":" in what.host else socket.AF_INET)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((what.host, what.port))
        listener.listen(WAITING)
    except OSError as fault:
        raise CannotListen(f"cannot listen on {what.host} port {what.port}: {fault.strerror or fault}") from fault
    listener.set_inheritable(True)
    return listener


def _address(what: Settings, listener: socket.socket) -> str:
    host = f"[{what.host}]" if ":" in what.host else what.host
    return f"http://{host}:{listener.getsockname()[1]}"
