"""What everyone may see of a record: the day, not the time; names that differ by region and year; no tube's own marks.

A record stays as it came in its row, for its own phones, for computing again and for backups. Everything that is given
out to others is made of what these functions return. What was weighed or found of a tube would tell it among all
others, so the server's figures, which rest on it, stand for it.
"""

from datetime import UTC, datetime
from functools import lru_cache

from msgspec.structs import replace

from splitline.identity import pseudonym, tube_pseudonym
from splitline.records import Source, Test, Tube


def noon_of(time: datetime) -> datetime:
    """Return what is public of a time: noon UTC of the day it was where, and as, it was written."""
    return _noon(time.year, time.month, time.day)


@lru_cache(maxsize=2048)
def _noon(year: int, month: int, day: int) -> datetime:
    return datetime(year, month, day, 12, tzinfo=UTC)


def public_source(source: Source, digest: str, region: str) -> tuple[str, Source]:
    """Return what a source's contributor is called, and the source. digest: of the contributor's secret."""
    public = replace(source, recorded_at=noon_of(source.recorded_at))
    return pseudonym(digest, region, source.recorded_at.year), public


def public_test(test: Test, digest: str, region: str) -> tuple[str, Test]:
    """Return what a test's contributor is called, and the test. digest: of the contributor's secret."""
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
