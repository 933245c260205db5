"""What is public of a record: the day, not the time; pseudonyms that differ by region and year; no tube's own marks.

The row keeps a record as it came, for the contributor's own phones, for recomputing and for backups. Everything that
others get is made by these functions. A tube's calibration would identify it, so it is left out and the server
publishes the figures computed with it.
"""

from datetime import UTC, datetime
from functools import lru_cache

from msgspec.structs import replace

from splitline.identity import pseudonym, tube_pseudonym
from splitline.records import Source, Test, Tube


def noon_of(time: datetime) -> datetime:
    """Return the public part of a time: noon UTC of the local day on which it was written."""
    return _noon(time.year, time.month, time.day)


@lru_cache(maxsize=2048)
def _noon(year: int, month: int, day: int) -> datetime:
    return datetime(year, month, day, 12, tzinfo=UTC)


def public_source(source: Source, digest: str, region: str) -> tuple[str, Source]:
    """Return a source's public contributor pseudonym, and the source. digest: of the contributor's secret."""
    public = replace(source, recorded_at=noon_of(source.recorded_at))
    return pseudonym(digest, region, source.recorded_at.year), public


def public_test(test: Test, digest: str, region: str) -> tuple[str, Test]:
    """Return a test's public contributor pseudonym, and the test. digest: of the contributor's secret."""
    year = test.sampled_at.year

    def nameless(tube: Tube) -> Tube:
        name = tube_pseudonym(digest, region, year, tube.id)
        return Tube(id=name, scale=tube.scale, graduation=tube.graduation, liquid=tube.liquid, tolerance=tube.tolerance)

    public = replace(
        test,
        sampled_at=noon_of(test.sampled_at),
        tested_at=noon_of(test.tested_at),
        tube=nameless(test.tube),
        runs=tuple([replace(run, tube=nameless(run.tube)) if run.tube else run for run in test.runs]),
    )
    return pseudonym(digest, region, year), public
