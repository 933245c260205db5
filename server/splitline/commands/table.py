"""Reads rows of numbers from CSV files. Every fault becomes one sentence."""

import csv
import io
import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from splitline.commands.dialect import Row, as_text, dialect_of
from splitline.errors import Problem, Unusable

Cells = dict[str, str]


def rows(path: Path, needed: Sequence[str], numbers: Sequence[str]) -> list[tuple[int, Cells]]:
    """Return the rows of a CSV file by their number, counted from 1 with the header; decimals have a point.

    needed: columns that must be present; numbers: those that may hold numbers. Raises `Unusable` when the file cannot
    be read, can be read in two ways, or lacks a column.
    """
    try:
        lines = list(as_text(io.BytesIO(path.read_bytes())))
        dialect = dialect_of(lines, str(path), lambda names: set(needed) <= set(names), lambda name: name in numbers)
        found = dialect.rows(lines)
        header = [name.strip() for name in next(found, (1, []))[1]]
        _check_header(header, needed)
        plain = [dialect.plain if name in numbers else str for name in header]
        return [
            (number, {name: convert(cell) for name, convert, cell in zip(header, plain, cells, strict=False)})
            for number, cells in _fitting(found, len(header))
        ]
    except (OSError, UnicodeDecodeError, csv.Error) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else "not a UTF-8 CSV file"
        raise Unusable([Problem("file_unreadable", str(path), reason)]) from fault


def _check_header(header: Sequence[str], needed: Sequence[str]) -> None:
    problems = [Problem("column_missing", name, "", ", ".join(needed)) for name in needed if name not in header]
    problems += [Problem("column_twice", name) for name in needed if header.count(name) > 1]
    if problems:
        raise Unusable(problems)


def _fitting(found: Iterator[Row], width: int) -> Iterator[Row]:
    """The rows. Raises `Unusable` for the first with more cells than the header."""
    for number, cells in found:
        if any(cell.strip() for cell in cells[width:]):
            raise Unusable([Problem("csv_cells", f"Row {number}", str(len(cells)), str(width))])
        yield number, cells


def cell(row: Cells, name: str, place: str, problems: list[Problem], default: float | None = None) -> float:
    """Return the number in a column, or `default` if it is empty; on a fault, notes a problem and returns NaN."""
    text = row.get(name, "").strip()
    if not text and default is not None:
        return default
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        problems.append(Problem("not_a_number", f"{place}, {name}", text))
    return value
