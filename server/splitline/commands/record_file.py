"""Files of records: JSON Lines as phones send them, or CSV with a column for each field.

A column is named by the path of its field, as in problems, so there is no second format to learn.
"""

import csv
import json
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import IO, Annotated, Any, get_args, get_origin

from msgspec import Struct
from msgspec.structs import fields

from splitline.commands.dialect import Dialect, as_text, dialect_of
from splitline.errors import Problem, Unusable
from splitline.records import Retraction, Source, Test

STEP = re.compile(r"([a-z_]+)(?:\[([0-9]{1,2})\])?$")


@dataclass(frozen=True, slots=True)
class Item:
    """One record of a file. row: counted from 1, in a CSV file with the header; text: its JSON; upto: bytes read so
    far.
    """

    row: int
    text: bytes
    upto: int


def items(path: Path) -> Iterator[Item]:
    """Yield the records of a file one by one, reading as needed.

    A column of a CSV file is named by the path of its field, such as `name`, `tube.scale` or `runs[0].line`; an empty
    cell leaves the field out. Raises `Unusable` if the file cannot be read; the records themselves are not checked
    here.
    """
    try:
        with path.open("rb") as file:
            yield from _lines(file) if _is_json(file) else _rows(file, str(path))
    except (OSError, UnicodeDecodeError, csv.Error) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else "not UTF-8 CSV or JSON Lines"
        raise Unusable([Problem("records_unreadable", str(path), reason)]) from fault


def _is_json(file: IO[bytes]) -> bool:
    start = file.read(4096).removeprefix(b"\xef\xbb\xbf").lstrip()
    file.seek(0)
    return start.startswith(b"{")


def _lines(file: IO[bytes]) -> Iterator[Item]:
    upto = 0
    for row, line in enumerate(file, start=1):
        upto += len(line)
        text = line.removeprefix(b"\xef\xbb\xbf").strip()
        if text:
            yield Item(row, text, upto)


def _rows(file: IO[bytes], name: str) -> Iterator[Item]:
    with as_text(file) as text:
        dialect = dialect_of(text, name, _names_fields, lambda column: not _Column(column).is_text)
        text.seek(0)
        rows = dialect.rows(text)
        columns = _columns(next(rows, (1, []))[1])
        for row, cells in rows:
            yield Item(row, json.dumps(_record(columns, cells, dialect)).encode(), file.tell())


def _names_fields(names: Sequence[str]) -> bool:
    """Whether all columns are named by the path of a field."""
    return all(_Column(name).steps for name in names)


def _columns(header: list[str]) -> list["_Column"]:
    """The columns of a header. Raises `Unusable` for a column that names no field, or the same field as another."""
    columns = [_Column(name) for name in header]
    found = [] if columns else [""]
    record: dict[str, Any] = {}
    taken: set[tuple[str | int, ...]] = set()
    for column in columns:
        if not column.steps or tuple(column.steps) in taken or not _fits(record, column):
            found.append(column.name)
        taken.update(tuple(column.steps[:length]) for length in range(1, len(column.steps) + 1))
    if found:
        raise Unusable([Problem("column_unknown", name, "", "tube.scale or runs[0].line") for name in found])
    return columns


class _Column:
    """A column: the path from the record to its field, and whether that is a string."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.steps: list[str | int] = []
        self.is_text = False
        for part in name.strip().split("."):
            match = STEP.match(part)
            if not match:
                self.steps = []
                return
            self.steps += [match[1], *([int(match[2])] if match[2] else [])]
        self.is_text = any(_holds_text(kind, self.steps) for kind in (Source, Test, Retraction))


def _value(cell: str) -> object:
    """Return a cell that is not a string as a number or boolean if it can be read as one."""
    try:
        value = json.loads(cell.strip().lower(), parse_constant=str)
    except ValueError:
        return cell
    # A number too large for a float is infinite, which JSON cannot express.
    finite = isinstance(value, bool | int) or (isinstance(value, float) and math.isfinite(value))
    return value if finite else cell


def _record(columns: list[_Column], cells: list[str], dialect: Dialect) -> dict[str, Any]:
    """Nest the cells of a row; extra cells go under a name that no record has."""
    record: dict[str, Any] = {}
    for column, cell in zip(columns, cells, strict=False):
        if cell.strip():
            _put(record, column.steps, cell if column.is_text else _value(dialect.plain(cell)))
    if any(cell.strip() for cell in cells[len(columns) :]):
        record["cells_beyond_the_header"] = len(cells) - len(columns)
    return record


def _fits(record: dict[str, Any], column: _Column) -> bool:
    """Set a column's field to an empty string; return whether no earlier column had put something else there."""
    try:
        _put(record, column.steps, "")
    except (TypeError, AttributeError):
        return False
    return True


def _put(record: dict[str, Any], steps: list[str | int], value: object) -> None:
    place: Any = record
    for step, following in zip(steps, chain(steps[1:], [None]), strict=True):
        if isinstance(step, int):
            place.extend({} for _ in range(step + 1 - len(place)))
        if following is None:
            place[step] = value
        elif isinstance(step, int):
            place = place[step]
        else:
            place = place.setdefault(step, [] if isinstance(following, int) else {})


def _holds_text(kind: Any, steps: list[str | int]) -> bool:
    """Whether the field at the end of a path is a string."""
    for step in steps:
        kind = _plain(kind)
        if isinstance(step, int):
            kind = get_args(kind)[0] if get_origin(kind) is tuple else None
        elif isinstance(kind, type) and issubclass(kind, Struct):
            kind = {field.encode_name: field.type for field in fields(kind)}.get(step)
        else:
            return False
    return _plain(kind) is str


def _plain(kind: Any) -> Any:
    """A type without its annotations and without None."""
    if get_origin(kind) is Annotated:
        return _plain(get_args(kind)[0])
    others = [other for other in get_args(kind) if other is not type(None)]
    return _plain(others[0]) if len(others) == 1 and type(None) in get_args(kind) else kind
