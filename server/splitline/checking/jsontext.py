"""Explains what is wrong with text that is not JSON, and where."""

import json
from collections.abc import Iterator

from splitline.errors import Problem


def problems(body: bytes) -> list[Problem]:
    """Return why a body is not JSON, with the field if it can be found."""
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as fault:
        return [Problem("not_utf8", "", f"byte {fault.start}")]
    try:
        value = json.loads(text, parse_constant=_Constant)
        return list(_not_numbers(value, "")) or [Problem("json_broken")]
    except json.JSONDecodeError as fault:
        return [Problem("json_broken", "", f"line {fault.lineno}, column {fault.colno}")]
    except RecursionError:
        return [Problem("json_deep")]
    except ValueError:
        return [Problem("json_broken")]


class _Constant:
    """Raise on NaN and Infinity, which Python accepts and JSON does not."""

    def __init__(self, name: str) -> None:
        self.name = name


def _not_numbers(value: object, path: str) -> Iterator[Problem]:
    if isinstance(value, _Constant):
        yield Problem("not_a_number", path, value.name)
    elif isinstance(value, dict):
        for name, part in value.items():
            yield from _not_numbers(part, f"{path}.{name}" if path else str(name))
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from _not_numbers(part, f"{path}[{index}]")
