"""Checks a record's times against the server's clock, because device clocks can be wrong."""

from datetime import UTC, datetime, timedelta

from splitline.errors import Problem
from splitline.records import Retraction, Source, Test

AHEAD = timedelta(hours=48)
OFF = timedelta(hours=24)
SAMPLED_LATE = timedelta(hours=1)
EARLIEST = datetime(2000, 1, 1, tzinfo=UTC)


def problems(record: Source | Test | Retraction, received_at: datetime) -> list[Problem]:
    """Return what is wrong with the times of a record that arrived at received_at."""
    if isinstance(record, Test):
        found = [
            time_early("sampled_at", record.sampled_at),
            time_early("tested_at", record.tested_at),
            time_ahead("tested_at", record.tested_at, received_at),
            sampled_after(record),
        ]
    elif isinstance(record, Source):
        found = [
            time_early("recorded_at", record.recorded_at),
            time_ahead("recorded_at", record.recorded_at, received_at),
        ]
    else:
        return []
    return [problem for problem in found if problem]


def skew(sent_at: datetime | None, received_at: datetime) -> float | None:
    """Return how far the device's clock is behind the server's, s, time of the request included; None if not given."""
    return (received_at - sent_at).total_seconds() if sent_at else None


def clock_off(behind: float | None) -> Problem | None:
    """Flag a clock more than a day off: it puts some tests into the wrong month. The times stay as they are."""
    return Problem("clock_off", "sent_at") if behind is not None and abs(behind) > OFF.total_seconds() else None


def time_early(field: str, time: datetime) -> Problem | None:
    """Refuse times from before any test: a device whose clock was never set starts at 1970 or 1980."""
    return Problem("time_early", field, _shown(time), _shown(EARLIEST)) if time < EARLIEST else None


def time_ahead(field: str, time: datetime, received_at: datetime) -> Problem | None:
    """Refuse a test more than 48 hours ahead of the server's clock."""
    limit = received_at + AHEAD
    return Problem("time_ahead", field, _shown(time), _shown(limit)) if time > limit else None


def sampled_after(test: Test) -> Problem | None:
    """Refuse fuel sampled after it was tested, with an hour of slack for a clock set in between."""
    if test.sampled_at - test.tested_at <= SAMPLED_LATE:
        return None
    return Problem("sampled_after", "sampled_at", _shown(test.sampled_at), _shown(test.tested_at))


def _shown(time: datetime) -> str:
    return time.isoformat(timespec="minutes")
