"""Rows as structs, with the columns of their tables as fields of the same names."""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from functools import lru_cache
from typing import Literal

from msgspec import Struct
from msgspec.structs import astuple, replace

State = Literal["counted", "held", "withheld", "merged"]
"""Whether a record counts; retracted records are withheld, a merged source counts as part of another."""

DUPLICATE = "twin"
"""Flag prefix of a duplicate of another test, held or released."""
HOLDING = ("twin_runs", "twin_photo", "twin_picture", "out_of_line")
"""Flags that hold a test; the others are remarks."""
WITHHELD = "withheld"
"""Flag of a record that a moderator withheld."""
ALL_WITHHELD = "all_withheld"
"""Flag of a record withheld together with all of its contributor's records."""
OUT = (WITHHELD, ALL_WITHHELD)
CHANGE_WAITS = "change_waits"
CHANGE_REFUSED = "change_refused"
"""Flags of a source whose contributor made a change that needs a moderator, see `intake.ownership`."""
RELEASED_DUPLICATE = "released_twin"
"""Flag of a duplicate that a moderator let count; nothing is a duplicate of it."""

FIRST_DAY = date(1970, 1, 1).toordinal()


class _Kept(Struct, frozen=True, kw_only=True):
    """The columns that sources and tests share, at their newest revision.

    record: its JSON text as received, None once retracted. public: all that others may see, see `feed.public_text`; a
    row that is stored has one. clock_skew: how far the device was behind the server when it was sent, s.
    """

    id: str
    region: str
    contributor: str
    revision: int
    sequence: int
    received_at: datetime
    retracted: bool
    state: State
    flags: tuple[str, ...] = ()
    record: str | None = None
    public: str | None = None
    clock_skew: float | None = None

    @property
    def is_withheld(self) -> bool:
        """Whether a moderator withheld it; a retraction by its contributor does not count."""
        return self.state == "withheld" and not self.retracted


class SourceRow(_Kept, frozen=True, kw_only=True):
    """A source. into: the surviving source while it is merged. band: see `position.band_of`.

    proposed: JSON text of the row that a waiting change would make of it. settled_latitude, settled_longitude: what
    small moves are measured from, None: its current position. See `intake.ownership`.
    """

    latitude: float | None = None
    longitude: float | None = None
    into: str | None = None
    band: int | None = None
    proposed: str | None = None
    settled_latitude: float | None = None
    settled_longitude: float | None = None


class TestRow(_Kept, frozen=True, kw_only=True):
    """A test, with the server's own figures, % (V/V).

    A retraction clears everything optional. sampled_at: noon UTC of the day, see `public.noon_of`; month: such as
    2026-01; day: since 1970-01-01. twin_key: see `checking.duplicates`. model: the version
    of the tube model behind the figures; former: JSON text of the figures by the model before, see `feed.Former`.
    """

    source: str | None = None
    sampled: str | None = None
    sampled_at: datetime | None = None
    month: str | None = None
    day: int | None = None
    twin_key: str | None = None
    tube: str | None = None
    content: float | None = None
    expanded_uncertainty: float | None = None
    own_uncertainty: float | None = None
    shared_uncertainty: float | None = None
    coverage_factor: float | None = None
    model: int | None = None
    former: str | None = None

    @property
    def counts(self) -> bool:
        """Whether it counts for its source: it is not held, and the sample is from the pump."""
        return self.state == "counted" and self.sampled == "pump"

    @property
    def is_duplicate(self) -> bool:
        """Whether it was found to be a duplicate of an earlier record."""
        return any(DUPLICATE in flag for flag in self.flags)


Row = SourceRow | TestRow


def only_sources(rows: Iterable[Row]) -> list[SourceRow]:
    """Return the sources among some rows."""
    return [row for row in rows if isinstance(row, SourceRow)]


def only_tests(rows: Iterable[Row]) -> list[TestRow]:
    """Return the tests among some rows."""
    return [row for row in rows if isinstance(row, TestRow)]


def month_of(moment: datetime) -> str:
    """Return the month of a moment in UTC, such as 2026-01."""
    moment = _in_utc(moment)
    return _month(moment.year, moment.month)


def day_of(moment: datetime) -> int:
    """Return the day of a moment in UTC, counted from 1970-01-01."""
    return _in_utc(moment).toordinal() - FIRST_DAY


def month_of_day(day: int) -> str:
    """Return the month of a day, see `day_of`, such as 2026-01."""
    at = date.fromordinal(day + FIRST_DAY)
    return _month(at.year, at.month)


def _in_utc(moment: datetime) -> datetime:
    return moment if moment.tzinfo is UTC else moment.astimezone(UTC)


@lru_cache(maxsize=2048)
def _month(year: int, month: int) -> str:
    return f"{year:04}-{month:02}"


def without(row: TestRow, *reasons: str) -> TestRow:
    """Return a held test without some of its reasons; it counts when none is left."""
    flags = tuple(flag for flag in row.flags if flag not in reasons)
    held = any(flag in HOLDING for flag in flags)
    return replace(row, flags=flags, state="held" if held else "counted")


def values(rows: Iterable[Struct]) -> list[tuple[object, ...]]:
    """Return rows as tuples for writing: a row's fields are its table's columns, in order."""
    return [astuple(row) for row in rows]
