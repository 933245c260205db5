"""The dialect of a CSV file: column separator, decimal sign and encoding.

Where the decimal sign is a comma, spreadsheets write semicolons between columns; some write tabs, or a byte order mark.
Nothing is guessed: the separator comes from the names in the header, the decimal sign from the numbers. A file that can
be read in two ways is refused in one sentence.
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
"""Row number, counted from 1 with the header, and cells."""


@dataclass(frozen=True, slots=True)
class Dialect:
    """separator: of columns. comma: whether the decimal sign is a comma."""

    separator: str
    comma: bool = False

    def rows(self, lines: Iterable[str]) -> Iterator[Row]:
        """Yield the rows that are not empty, the header too. Raises `csv.Error` where quotes do not match."""
        for number, cells in enumerate(csv.reader(lines, delimiter=self.separator, strict=True), start=1):
            if any(cell.strip() for cell in cells):
                yield number, cells

    def plain(self, cell: str) -> str:
        """Return a cell with a decimal point if it may hold a number."""
        return cell.replace(",", ".") if self.comma and DECIMAL.fullmatch(cell.strip()) else cell


def as_text(file: IO[bytes]) -> io.TextIOWrapper:
    """Decode a file: UTF-8, or UTF-16 if it starts with that byte order mark."""
    start = file.read(2)
    file.seek(0)
    return io.TextIOWrapper(file, encoding="utf-16" if start in UTF_16 else "utf-8-sig", newline="")


def dialect_of(
    lines: Iterable[str], file: str, is_header: Callable[[Sequence[str]], bool], is_number: Callable[[str], bool]
) -> Dialect:
    """Find the dialect of a file from its lines.

    is_header: whether some names are those of the header. is_number: whether a column, by its name, may hold numbers.
    Raises `Unusable` if the file can be read in two ways, and `csv.Error` where quotes do not match.
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
    """The separator that makes a header of the first line; if none does, the only separator in it."""
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
    """Whether the decimal sign is a comma. Raises `Unusable` for mixed signs, and where a comma may separate thousands.

    In a file with commas between columns, a comma inside a cell more often separates thousands; it counts as decimal
    only if some number cannot be read otherwise.
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
