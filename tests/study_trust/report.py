"""The outcome as text: a table of the attacks, and a line for each other result."""

from collections.abc import Callable, Iterable, Iterator

from study_trust.judge import Row
from study_trust.site import Standing

COLUMNS = (
    ("attack", 28),
    ("new", 3),
    ("judged", 7),
    ("held", 4),
    ("typical +-half", 19),
    ("moved", 6),
    ("floor", 11),
    ("tau", 9),
    ("P(min)", 9),
    ("by tau", 6),
    ("by floor", 8),
    ("marks", 5),
    ("passed", 6),
    ("others", 6),
)
LEGEND = """\
new: new secrets. held: share of their records that the server said it does not count. before>after, before: the same
day without the attack. typical: content now, with half its 90 % interval, % (V/V). moved: of the typical, in
half-widths before. P(min): that the next fill has 70 % (80 % where a leader is sunk or a station invented). by tau, by
floor: rank. marks: of evidence, 0 to 3. passed: sources with evidence that rank behind the target, in the worse list.
others: the furthest that any other source with evidence moved, in its half-widths."""


def table(rows: Iterable[Row]) -> Iterator[str]:
    """Yield the attacks as lines of a Markdown table."""
    yield "| " + " | ".join(name.ljust(wide) for name, wide in COLUMNS) + " |"
    yield "|" + "|".join("-" * (wide + 2) for _, wide in COLUMNS) + "|"
    yield from map(line, rows)


def line(row: Row) -> str:
    """Return one attack as a line of the table."""
    cells = (
        row.attack,
        str(row.secrets),
        row.when,
        f"{row.waiting:.0%}",
        _both(row, _typical),
        f"{row.moved:+.1f}" if row.moved == row.moved else "-",
        _both(row, lambda one: _figure(one, "floor", "{:.1f}")),
        _both(row, lambda one: _figure(one, "tau", "{:.1f}")),
        _both(row, lambda one: _figure(one, "probability_at_minimum", "{:.2f}")),
        _both(row, lambda one: str(one.by_tau)),
        _both(row, lambda one: str(one.by_floor)),
        _both(row, lambda one: str(one.evidence)),
        f"{row.outranked}/{row.evident}",
        f"{row.others:.1f}",
    )
    return "| " + " | ".join(cell.ljust(wide) for cell, (_, wide) in zip(cells, COLUMNS, strict=True)) + " |"


def _both(row: Row, say: Callable[[Standing], str]) -> str:
    before, after = (say(one) if one else "-" for one in (row.before, row.after))
    return f"{before}>{after}"


def _typical(one: Standing) -> str:
    return f"{one.figures['typical']:.1f}+-{one.half_width:.1f}" if one.figures else "-"


def _figure(one: Standing, name: str, form: str) -> str:
    value = one.figures and one.figures[name]
    return "-" if value is None else form.format(value)
