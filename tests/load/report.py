"""The table of a run: what was measured, how fast, and the ratio to the machine's limit."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from load.calls import quantile

COLUMNS = {
    "records": "records/s",
    "calls": "calls/s",
    "p50": "p50 ms",
    "p99": "p99 ms",
    "computing": "computing ms/call",
    "memory": "MB",
}
DIGITS = {"records": 0, "calls": 1, "p50": 1, "p99": 1, "computing": 2, "memory": 0}


@dataclass(frozen=True)
class Line:
    """One line. p50, p99: ms; computing: server processor time, ms per call; ratios: by what they relate to."""

    what: str
    records: float | None = None
    calls: float | None = None
    p50: float | None = None
    p99: float | None = None
    computing: float | None = None
    memory: float | None = None
    ratios: dict[str, float] | None = None
    said: str = ""

    @classmethod
    def timed(cls, what: str, each: Sequence[float], to: "Line | None" = None) -> "Line":
        """Return a line of times, given in s, with the ratio of its median to another line's."""
        if not each:
            return cls(what, said="none was accepted")
        p50, p99 = (1000 * quantile(each, share) for share in (0.5, 0.99))
        return cls(what, p50=p50, p99=p99, ratios={to.what: p50 / to.p50} if to and to.p50 else None)


def table(lines: list[Line]) -> str:
    """Return the lines as plain text with aligned columns."""
    rows = [["", *COLUMNS.values(), "ratio"], *(_cells(line) for line in lines)]
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    texts = []
    for name, *figures, last in rows:
        cells = [figure.rjust(wide) for figure, wide in zip(figures, widths[1:-1], strict=True)]
        texts.append("  ".join([name.ljust(widths[0]), *cells, last]).rstrip())
    return "\n".join(texts)


def plain(lines: list[Line]) -> list[dict[str, object]]:
    """Return the lines for JSON, without what was not measured."""
    return [{key: value for key, value in asdict(line).items() if value not in (None, "")} for line in lines]


def _cells(line: Line) -> list[str]:
    figures = [(getattr(line, name), DIGITS[name]) for name in COLUMNS]
    ratios = ", ".join(f"{ratio:.3f} of {what}" for what, ratio in (line.ratios or {}).items())
    said = "; ".join(filter(None, (ratios, line.said)))
    return [line.what, *("" if value is None else f"{value:,.{digits}f}" for value, digits in figures), said]
