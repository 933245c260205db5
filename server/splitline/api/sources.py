"""GET /api/v1/sources: sources to choose from, and everything about one source."""

import re

from litestar import Response
from litestar.params import FromPath
from msgspec import json, structs

from splitline.api import caching, reading, shapes
from splitline.api.problems import RequestRefused
from splitline.api.ranking import ranked, ranked_list
from splitline.api.services import HttpRequest, InjectedServices, reads
from splitline.api.shapes import RankedList, RankQuery, SourcePage, SourceQuery
from splitline.errors import Problem
from splitline.feed import TestChange
from splitline.figures.figure_rows import figures_upto
from splitline.intake.working_set import record_of
from splitline.position import Position, box_around
from splitline.records import Source
from splitline.store import box_join, figures, newest_tests, sequence, sources
from splitline.store.engine import Connection
from splitline.store.rows import SourceRow

MOST_TESTS = 1000
ON_EARTH = re.compile(shapes.ON_EARTH)


@reads("/api/v1/sources", query=RankQuery)
async def rank_sources(request: HttpRequest, services: InjectedServices) -> Response[RankedList]:
    """Rank the sources around a position."""
    query = reading.query(request, RankQuery)
    near = _position(query.near)
    async with services.store.read() as connection:
        head = await sequence.head(connection)
        tag = caching.tag_of_figures(head)
        if caching.unchanged(request, tag):
            return caching.not_modified(tag)
        rows = await box_join.within_any(connection, [box_around(near, query.within_km)])
        known = await figures.of_sources(connection, [row.id for row in rows])
        upto = await figures_upto(connection, head)
    return caching.tagged(json.encode(ranked_list(rows, known, near, query, upto)), tag)


@reads("/api/v1/sources/{source_id:str}", query=SourceQuery)
async def one_source(
    request: HttpRequest, services: InjectedServices, source_id: FromPath[str]
) -> Response[SourcePage]:
    """Return one source with its tests."""
    query = reading.query(request, SourceQuery)
    near = _position(query.near) if query.near else None
    async with services.store.read() as connection:
        head = await sequence.head(connection)
        tag = caching.tag_of_figures(head)
        if caching.unchanged(request, tag):
            return caching.not_modified(tag)
        row = await _standing(connection, source_id)
        source = record_of(row) if row and row.state == "counted" else None
        if row is None or not isinstance(source, Source):
            raise RequestRefused(404, [Problem("not_found", "id", source_id[:60])])
        known = (await figures.of_sources(connection, [row.id])).get(row.id)
        upto = await figures_upto(connection, head)
        shown = await newest_tests.at(connection, row.id, MOST_TESTS)
    page = SourcePage(
        **structs.asdict(ranked(row, known, near, query.minimum)),
        notes=source.notes,
        tests=tuple(json.decode(test.public or "", type=TestChange) for test in shown),
        figures_upto=upto,
    )
    return caching.tagged(json.encode(page), tag)


async def _standing(connection: Connection, source_id: str) -> SourceRow | None:
    """The source with an id, or the one it was merged into."""
    if not source_id.isprintable():
        return None
    row = (await sources.by_ids(connection, [source_id])).get(source_id)
    return (await sources.by_ids(connection, [row.into])).get(row.into) if row and row.into else row


def _position(text: str) -> Position:
    """Parse a position as latitude,longitude. Raises `RequestRefused` 400 when it is not on Earth."""
    if not ON_EARTH.fullmatch(text):
        raise RequestRefused(400, [Problem("range", "near", text, "-90..90,-180..180")])
    latitude, longitude = (float(part) for part in text.split(","))
    return Position(latitude, longitude)
