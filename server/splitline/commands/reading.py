"""What commands read: numbers from options, rows from CSV files. Every fault becomes one sentence."""

import argparse
import csv
import math
from collections.abc import Sequence
from pathlib import Path

from splitline.errors import Problem, Unusable


def number(text: str) -> float:
    """Return a finite number from an option's text."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise argparse.ArgumentTypeError(f'"{text}" is no number; give one, such as 83.5')
    return value


def not_negative(text: str) -> float:
    """Return a number of 0 or more from an option's text."""
    value = number(text)
    if value < 0.0:
        raise argparse.ArgumentTypeError(f'"{text}" is below 0')
    return value


def rows(path: Path) -> list[dict[str, str]]:
    """Return the rows of a UTF-8 CSV file with a header (RFC 4180). Raises `Unusable` when it cannot be read."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file)
            check_separator(reader.fieldnames or (), str(path))
            return [{key: value or "" for key, value in row.items() if key} for row in reader]
    except (OSError, UnicodeDecodeError, csv.Error) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else "not a UTF-8 CSV file"
        raise Unusable([Problem("file_unreadable", str(path), reason)]) from fault


def check_separator(header: Sequence[str], file: str) -> None:
    """Raise `Unusable` for a header that semicolons separate, as some spreadsheets write it."""
    if len(header) == 1 and ";" in header[0]:
        raise Unusable([Problem("columns_semicolons", file)])


def cell(row: dict[str, str], name: str, place: str, problems: list[Problem], default: float | None = None) -> float:
    """Return the number in a column, or `default` where it is empty; notes a problem and returns NaN otherwise."""
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
