"""How a CSV file is written: what separates its columns, which sign its decimals have, and how it is encoded.

Spreadsheets write semicolons and decimal commas where a comma is the decimal sign, tabs, and a mark before the first
byte. Nothing is guessed: the names in the header say what separates them, and the numbers what their sign is. A file
that can be read in two ways is refused in one sentence.
"""

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import IO

from splitline.errors import Problem, Unusable

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
DECIMAL = re.compile(r"[+-]?\d*([.,])\d*(?:[eE][+-]?\d+)?")
THOUSANDS = re.compile(r"[+-]?\d{1,3},\d{3}")

Row = tuple[int, list[str]]
"""Number, counted from 1 with the header, and cells."""


@dataclass(frozen=True, slots=True)
class Dialect:
    """separator: of columns. comma: whether decimals have one."""

    separator: str
    comma: bool = False

    def rows(self, lines: Iterable[str]) -> Iterator[Row]:
        """Yield the rows that hold anything, the header too. Raises `csv.Error` where quotes do not fit."""
        for number, cells in enumerate(csv.reader(lines, delimiter=self.separator, strict=True), start=1):
            if any(cell.strip() for cell in cells):
                yield number, cells

    def plain(self, cell: str) -> str:
        """Return a cell that may hold a number with a point."""
        return cell.replace(",", ".") if self.comma and DECIMAL.fullmatch(cell.strip()) else cell


def as_text(file: IO[bytes]) -> io.TextIOWrapper:
    """Return a file as text: UTF-8, or UTF-16 where its first bytes say so."""
    start = file.read(2)
    file.seek(0)
    return io.TextIOWrapper(file, encoding="utf-16" if start in UTF_16 else "utf-8-sig", newline="")


def dialect_of(
    lines: Iterable[str], file: str, is_header: Callable[[Sequence[str]], bool], is_number: Callable[[str], bool]
) -> Dialect:
    """Find out how the lines of a file are written.

    is_header: whether some names are those of the header. is_number: whether a column, by its name, may hold numbers.
    Raises `Unusable` when that can be seen in two ways, and `csv.Error` where quotes do not fit.
    """
    lines, start = iter(lines), []
    for line in lines:
        start.append(line)
        if line.strip():
            break
    dialect = Dialect(_separator("".join(start[-1:]), file, is_header))
    rows = dialect.rows(chain(start, lines))
    _, header = next(rows, (1, []))
    numbers = [index for index, name in enumerate(header) if is_number(name.strip())]
    return replace(dialect, comma=_has_comma(rows, numbers, dialect.separator, file))


def _separator(header: str, file: str, is_header: Callable[[Sequence[str]], bool]) -> str:
    """What makes a header of the first line; where nothing does, the only separator in it."""
    present = [separator for separator in SEPARATORS if separator in header]
    fitting = [one for one in present if is_header(_names(header, one))]
    if len(fitting) == 1:
        return fitting[0]
    if len(present) > 1:
        signs = " and ".join(SEPARATORS[one] for one in present)
        raise Unusable([Problem("csv_separators", file, signs)])
    return present[0] if present else ","


def _names(header: str, separator: str) -> list[str]:
    return [name.strip() for name in next(csv.reader([header], delimiter=separator), [])]


def _has_comma(rows: Iterable[Row], numbers: Sequence[int], separator: str, file: str) -> bool:
    """Whether the decimals of a file have a comma. Raises `Unusable` where only some have, or where it parts thousands.

    A comma inside the columns of a file that commas separate is more often one for thousands: it needs a number that
    cannot be read so.
    """
    first: dict[str, int] = {}
    clear, unclear = separator != ",", ""
    for row, cells in rows:
        for cell in (cells[index].strip() for index in numbers if index < len(cells)):
            found = DECIMAL.fullmatch(cell)
            if found:
                first.setdefault(found[1], row)
                unclear = cell if found[1] == "," else unclear
                clear = clear or (found[1] == "," and not THOUSANDS.fullmatch(cell))
    if len(first) > 1:
        raise Unusable([Problem("csv_decimals", file, str(first["."]), str(first[","]))])
    if unclear and not clear:
        raise Unusable([Problem("csv_thousands", file, unclear)])
    return "," in first
