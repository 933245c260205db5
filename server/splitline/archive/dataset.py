"""The public dataset of a region: its counted readings as CSV (RFC 4180), its sources as GeoJSON (RFC 7946).

It has no ids of tests, and only the public forms of people and times, see `public.py`. Everything is read and written
in pages, so memory does not grow with the region.
"""

import csv
import io
from collections.abc import AsyncGenerator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from msgspec import json

from splitline.archive.fields import FIELDS, Published
from splitline.feed import TestChange
from splitline.figures.figure_rows import figures_in, figures_upto, moment_of
from splitline.intake.working_set import record_of
from splitline.records import Source
from splitline.store import figures, merges, sequence, sources, tests
from splitline.store.engine import Connection, Store
from splitline.store.figures import SourceFiguresRow
from splitline.store.rows import SourceRow, TestRow

PAGE = 500
# The framework adds the charset to every text.
CSV = "text/csv; header=present"
GEOJSON = "application/geo+json"


@dataclass(frozen=True, slots=True)
class Export:
    """The kinds of file."""

    store: Store
    region: str


async def csv_parts(export: Export) -> AsyncGenerator[bytes]:
    """Yield the readings of a region as CSV, a page at a time."""
    yield _lines([[field.name for field in FIELDS]])
    async with export.store.read() as connection:
        after = 0
        while page := await tests.counted_in(connection, export.region, after, PAGE):
            after = page[-1].sequence
            published = await _published(connection, page)
            yield _lines([[field.text(one) for field in FIELDS] for one in published])


async def geojson_parts(export: Export) -> AsyncGenerator[bytes]:
    """Yield the sources of a region with their figures as one GeoJSON feature collection, a page at a time."""
    async with export.store.read() as connection:
        upto = await figures_upto(connection, await sequence.head(connection))
        yield b'{"type":"FeatureCollection","figures_upto":' + json.encode(upto) + b',"features":['
        after, comma = 0, b""
        while page := await sources.standing_in(connection, export.region, after, PAGE):
            after = page[-1].sequence
            known = await figures.of_sources(connection, [row.id for row in page])
            yield comma + b",".join(json.encode(_feature(row, known.get(row.id))) for row in page)
            comma = b","
    yield b"]}"


async def _published(connection: Connection, page: Sequence[TestRow]) -> list[Published]:
    """Readings, each with the source it counts at."""
    named = {row.source for row in page if row.source}
    survivors = await merges.survivors(connection, named)
    places = await sources.by_ids(connection, named | set(survivors.values()))
    found = []
    for row in page:
        change, place = (
            json.decode(row.public or "", type=TestChange),
            places[survivors.get(row.source or "", row.source or "")],
        )
        source = record_of(place)
        assert change.record, "a counted test has a record"
        assert isinstance(source, Source), "a counted test's source has a record"
        found.append(Published(row, change.record, source, change.contributor or ""))
    return found


def _lines(rows: Sequence[Sequence[str]]) -> bytes:
    buffer = io.StringIO(newline="")
    csv.writer(buffer).writerows(rows)
    return buffer.getvalue().encode()


def _feature(row: SourceRow, known: SourceFiguresRow | None) -> dict[str, object]:
    source = record_of(row)
    assert isinstance(source, Source), "a counted source has a record"
    return {
        "type": "Feature",
        "id": row.id,
        "geometry": {"type": "Point", "coordinates": [source.longitude, source.latitude]},
        "properties": {
            "name": source.name,
            "pump": source.pump,
            "region": row.region,
            "figures": _figures(known) if known else None,
        },
    }


def _figures(known: SourceFiguresRow) -> dict[str, object]:
    """Figures of a source; contents and scatter in % (V/V), intervals at 90 %."""
    figures = figures_in(known)
    estimate = figures.estimate
    return {
        "typical": estimate.typical,
        "typical_interval": estimate.typical_interval,
        "tau": estimate.tau,
        "tau_interval": estimate.tau_interval,
        "next_fill": estimate.next_fill,
        "floor": estimate.floor,
        "tests": known.tests,
        "visits": estimate.visits,
        "contributors": estimate.contributors,
        "last_sampled_at": _instant(moment_of(estimate.last_sampled_at)),
        "evidence": estimate.evidence,
        "changes": [{"at": _instant(moment_of(c.at)), "direction": c.direction} for c in figures.changes],
    }


def _instant(moment: datetime) -> str:
    return f"{moment.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
