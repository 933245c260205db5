"""What the season alone makes of the content: winter blends are weaker by design, and that is not unsteadiness.

A region's baseline is one number a month of the year, found from source-month means by taking sources and months apart
in turn (a robust two-way fit), drawn to the country's where a month has few, smoothed over neighbouring months.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor

from splitline.statistics.robust import huber, median

MONTHS = 12
YEAR = 365.2425
ROUNDS = 12
# A source tells of the season once it was tested in this many different months of the year.
LEAST_MONTHS = 3
# A month's own figure counts as much as the country's when it rests on this many source-month means; as nothing at all,
# where the country is not known, when it rests on this many.
TO_COUNTRY = 4.0
TO_NOTHING = 0.5
FLAT = (0.0,) * MONTHS


@dataclass(frozen=True, slots=True)
class Cell:
    """The mean content of one source in one calendar month, %; month: 0 for January to 11 for December."""

    source: str
    month: int
    content: float


def baseline_of(cells: Sequence[Cell], country: Sequence[float] | None = None) -> tuple[float, ...]:
    """Return twelve deviations by month of the year, %, whose mean is 0; `country`: what to draw thin months to."""
    target, shrinkage = (FLAT, TO_NOTHING) if country is None else (country, TO_COUNTRY)
    by_source: defaultdict[str, list[Cell]] = defaultdict(list)
    for cell in cells:
        by_source[cell.source].append(cell)
    telling = [group for group in by_source.values() if len({cell.month for cell in group}) >= LEAST_MONTHS]
    months = list(target)
    for _ in range(ROUNDS):
        left: defaultdict[int, list[float]] = defaultdict(list)
        for group in telling:
            level = median([cell.content - months[cell.month] for cell in group])
            for cell in group:
                left[cell.month].append(cell.content - level)
        months = _centred([_drawn(left[month], target[month], shrinkage) for month in range(MONTHS)])
    return tuple(_centred(_smoothed(months)))


def country_of(seasons: Sequence[tuple[float, Sequence[float]]]) -> tuple[float, ...] | None:
    """Return the mean season of some regions, each (tests, months) by its tests; None without any."""
    total = sum(tests for tests, _ in seasons)
    if total <= 0.0:
        return None
    return tuple(sum(tests / total * months[month] for tests, months in seasons) for month in range(MONTHS))


def at_day(months: Sequence[float], day: float) -> float:
    """Return a baseline at a day since 1970-01-01 UTC: linear between the middles of the months, round the year."""
    place = (day / YEAR - floor(day / YEAR)) * MONTHS - 0.5
    below = floor(place)
    share = place - below
    return (1.0 - share) * months[below % MONTHS] + share * months[(below + 1) % MONTHS]


def cells_of(contents: Mapping[str, Sequence[tuple[float, float]]]) -> list[Cell]:
    """Return the source-month means of (day, content) by source; a month of another year is another cell."""
    found = []
    for source in sorted(contents):
        by_month: defaultdict[int, list[float]] = defaultdict(list)
        for day, content in contents[source]:
            by_month[floor(day / YEAR * MONTHS)].append(content)
        found += [Cell(source, number % MONTHS, sum(group) / len(group)) for number, group in sorted(by_month.items())]
    return found


def _drawn(values: Sequence[float], target: float, shrinkage: float) -> float:
    """The month's robust centre, drawn to a target by how few values it rests on."""
    if not values:
        return target
    weight = len(values) / (len(values) + shrinkage)
    return weight * huber(values)[0] + (1.0 - weight) * target


def _smoothed(months: Sequence[float]) -> list[float]:
    """Each month with its neighbours, twice: what the first pass took off is smoothed and put back (J. W. Tukey)."""
    once = _with_neighbours(months)
    left = _with_neighbours([value - smooth for value, smooth in zip(months, once, strict=True)])
    return [smooth + rest for smooth, rest in zip(once, left, strict=True)]


def _with_neighbours(months: Sequence[float]) -> list[float]:
    return [(months[month - 1] + 2.0 * months[month] + months[(month + 1) % MONTHS]) / 4.0 for month in range(MONTHS)]


def _centred(months: Sequence[float]) -> list[float]:
    mean = sum(months) / MONTHS
    return [value - mean for value in months]
