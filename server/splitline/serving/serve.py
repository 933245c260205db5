"""Prepares the data, listens, and serves with uvicorn."""

import asyncio
import logging
import os
import signal
import socket
import ssl
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from tempfile import TemporaryDirectory

import uvicorn
from uvicorn.supervisors import Multiprocess

from splitline.api.metrics import SHARED
from splitline.api.services import Services
from splitline.app import open_services
from splitline.chemistry.budget import MODEL
from splitline.config import Settings, host_and_port
from splitline.demo import scenario
from splitline.errors import SplitlineError
from splitline.exchange_table import read_exchange
from splitline.figures.schedule import bring_up
from splitline.figures.worker import Here
from splitline.intake.remeasure import remeasure
from splitline.logs import configure
from splitline.serving.connections import take_files
from splitline.serving.protocol import Gate
from splitline.store import sequence
from splitline.store.migrate import migrate
from splitline.store.process_lock import only_server
from splitline.store.schema import HEAD

WAITING = 2048
LEAVING = 30
"""Seconds that running requests get to finish when the server is asked to stop."""
HUNG = 60
"""Seconds after which an unresponsive worker is replaced: on a busy machine starting can take long."""

log = logging.getLogger(__name__)


class CertificateUnusable(SplitlineError):
    """The certificate or its key is invalid, or they do not match."""


class CannotListen(SplitlineError):
    """The address is in use, or not one of this machine."""


def serve(what: Settings) -> int:
    """Serve until stopped; return the exit status.

    Raises `CannotListen`, `CertificateUnusable`, `ServedTwice`, `StoreUnavailable`, `SchemaTooNew`, `SchemaTooOld`, and
    `Unusable` for a bad exchange table.
    """
    configure(what.log)
    _try_certificate(what)
    with only_server(what.database):
        asyncio.run(_prepare(what))
        return _run(what)


def _run(what: Settings) -> int:
    listeners = [listen(what.host, what.port)]
    if what.operations:
        listeners.append(listen(*host_and_port(what.operations)))
        what = replace(what, operations=_address(listeners[-1]))
        print(f"Health and metrics are on http://{what.operations}", flush=True)
    os.environ.update(what.environment())
    take_files()
    log.info("the database has schema %s", HEAD)
    print(f"Splitline is listening on http{'s' if what.secure else ''}://{_address(listeners[0])}", flush=True)
    if what.workers > 1:
        with _counting_together():
            _Workers(_configured(what), sockets=listeners).run()
        return 0
    server = uvicorn.Server(_configured(what))

    def stop(*_: object) -> None:
        server.should_exit = True

    # No signal must be lost before uvicorn handles them; on exit uvicorn raises the signal again, which would otherwise
    # end us with its status.
    signal.signal(signal.SIGTERM, stop)
    server.run(sockets=listeners)
    return 0 if server.started else 1


def _configured(what: Settings) -> uvicorn.Config:
    return uvicorn.Config(
        "splitline.app:create_from_environment",
        factory=True,
        http=Gate(what),  # type: ignore[arg-type]  # it makes protocols, as their class does
        ws="none",
        workers=what.workers,
        access_log=False,
        log_config=None,
        timeout_graceful_shutdown=LEAVING,
        timeout_worker_healthcheck=HUNG,
        server_header=False,
        proxy_headers=bool(what.proxies()),
        forwarded_allow_ips=what.proxies(),
    )


class _Workers(Multiprocess):
    """Worker processes whose parent closes its sockets when told to stop, so that no client connects in vain."""

    def terminate_all(self) -> None:
        """Ask all workers to finish their requests and stop."""
        for listener in self.sockets:
            listener.close()
        super().terminate_all()


@contextmanager
def _counting_together() -> Iterator[None]:
    """Give the workers a folder for shared request counts, for as long as they run."""
    with TemporaryDirectory(prefix="splitline-") as folder:
        os.environ[SHARED] = folder
        yield


async def _prepare(what: Settings) -> None:
    """Create or migrate the database once, and fill it if it is a demo, before any worker uses it."""
    services = open_services(what, lambda: datetime.now(UTC), Here())
    try:
        await migrate(services.store)
        computed = await remeasure(services.store, services.now, read_exchange(what.exchange))
        if computed:
            log.info("recomputed %d tests with model %d of the tube", computed, MODEL)
        if what.demo:
            await _fill(services)
    finally:
        await services.store.close()


async def _fill(services: Services) -> None:
    """Put the invented scenario into an empty database, and mark it so that the app can say so."""
    async with services.store.write() as connection:
        if (await sequence.head(connection)).value > 0:
            return
        await sequence.mark_invented(connection)
    await scenario.fill(services.intake, services.now())
    await bring_up(services.store, services.now)


def _try_certificate(what: Settings) -> None:
    try:
        _ = Gate(what).tls
    except (OSError, ssl.SSLError) as fault:
        raise CertificateUnusable(f"the certificate and its key cannot be used: {fault}") from fault


def listen(host: str, port: int) -> socket.socket:
    """Listen before reporting it: from then on no client is refused; the first ones wait for the workers.

    Only workers are given the socket, no child inherits it: after a SIGKILL the port is free. Raises `CannotListen`.
    """
    listener = socket.socket(family=socket.AF_INET6 if ":" in host else socket.AF_INET)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
        listener.listen(WAITING)
    except OSError as fault:
        raise CannotListen(f"cannot listen on {host} port {port}: {fault.strerror or fault}") from fault
    return listener


def _address(listener: socket.socket) -> str:
    host, port = listener.getsockname()[:2]
    return f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
