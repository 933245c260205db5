"""The web application: its routes and services, which start and stop with the server."""

import asyncio
import gc
import os
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from datetime import UTC, datetime

from litestar import Litestar
from litestar.di import Provide
from litestar.types import ASGIApp

from splitline.api import (
    compression,
    contributors,
    dataset,
    headers,
    health,
    metrics,
    operations,
    own,
    photos,
    problems,
    pull,
    push,
    regions,
    schema,
    sources,
    tubes,
)
from splitline.api.app_files import app_folder, app_handler, read_app
from splitline.api.pages import Pages
from splitline.api.rate_limit import RateLimit
from splitline.api.readiness import Readiness
from splitline.api.services import Services
from splitline.api.shapes import Tiles
from splitline.api.tracing import traced
from splitline.api.watch import watched
from splitline.config import Settings, settings
from splitline.exchange_table import read_exchange
from splitline.figures.schedule import Schedule
from splitline.figures.worker import Computer, Worker
from splitline.intake.intake import Intake
from splitline.logs import configure
from splitline.photos.store import Photos
from splitline.regions import regions as known_regions
from splitline.store.engine import Store
from splitline.store.migrate import migrate

COLLECTED_AFTER = 50_000
"""Net new objects after which Python's garbage collector runs."""


def create(
    chosen: Settings, now: Callable[[], datetime] = lambda: datetime.now(UTC), computer: Computer | None = None
) -> Litestar:
    """Return the application. now: the server's clock; computer: of figures, by default a separate process."""
    services = open_services(chosen, now, computer or Worker())
    return Litestar(
        route_handlers=[
            push.push,
            pull.pull,
            photos.photo_methods,
            photos.keep_photo,
            photos.show_photo,
            sources.rank_sources,
            sources.one_source,
            regions.list_regions,
            regions.one_region,
            regions.region_outline,
            contributors.contributor_weights,
            tubes.own_tubes,
            own.own_records,
            dataset.readings_csv,
            dataset.sources_geojson,
            health.health,
            health.live,
            health.ready,
            metrics.metrics,
            schema.schema,
            app_handler(read_app(app_folder())),
        ],
        dependencies={"services": Provide(lambda: services, sync_to_thread=False)},
        lifespan=[_running(services)],
        exception_handlers=problems.handlers(),
        before_request=operations.admitting(chosen, services.rate_limit),
        before_send=[headers.adding(chosen)],
        cors_config=headers.CROSS_ORIGIN,
        compression_config=compression.LARGE_ANSWERS,
        openapi_config=None,
        logging_config=None,
        request_max_body_size=1024,
    )


def create_from_environment() -> ASGIApp:
    """Return the application for a worker process, which reads its settings from the environment."""
    chosen = settings({}, os.environ)
    configure(chosen.log)
    app = watched(traced(create(chosen), os.environ))
    _spare_the_collector()
    return app


def _spare_the_collector() -> None:
    """Set the garbage collector to look only at what requests leave behind, and not in the middle of a batch.

    A batch of 500 records makes some 10,000 objects, all freed with its answer. Scanning those and every loaded module
    took a sixth of the time of a push.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(COLLECTED_AFTER)


def open_services(chosen: Settings, now: Callable[[], datetime], computer: Computer) -> Services:
    """Return the services the application uses; the database is not opened yet. Raises `Unusable`."""
    store = Store(chosen.database)
    pictures = Photos(chosen.photos, store)
    regions_here = known_regions()
    schedule = Schedule(store, computer, now, metrics.count_refresh)
    intake = Intake(store, regions_here, pictures, schedule.records_came, read_exchange(chosen.exchange))
    limit, pages, readiness = RateLimit(chosen), Pages(store), Readiness(store)
    tiles = Tiles(address=chosen.tiles, attribution=chosen.tiles_attribution) if chosen.tiles else None
    return Services(store, intake, schedule, pictures, regions_here, now, limit, pages, readiness, tiles)


def _running(services: Services) -> Callable[[Litestar], AbstractAsyncContextManager[None]]:
    @asynccontextmanager
    async def running(_app: Litestar) -> AsyncIterator[None]:
        await migrate(services.store)
        await services.photos.tidy(services.now())
        keeping = asyncio.create_task(services.schedule.run())
        yield
        keeping.cancel()
        await asyncio.gather(keeping, return_exceptions=True)
        await services.store.close()

    return running
