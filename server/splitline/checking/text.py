"""Checks text that a person typed for characters that a screen or a database cannot handle."""

import re
from collections.abc import Iterator

from splitline.errors import Problem
from splitline.records import Retraction, Source, Test

# Control characters except tab and line breaks; and those that change the direction of surrounding text (UAX #9:
# embeddings, overrides, isolates), which names in any script do without.
ODD = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def problems(record: Source | Test | Retraction) -> list[Problem]:
    """Return what is wrong with the texts of a record."""
    return [p for name, text in _texts(record) for p in (text_control(name, text), text_blank(name, text)) if p]


def text_control(field: str, text: str) -> Problem | None:
    """Refuse control characters except tab and line breaks, and those that change the direction of nearby text."""
    odd = ODD.search(text)
    return Problem("text_control", field, f"U+{ord(odd[0]):04X}", "") if odd else None


def text_blank(field: str, text: str) -> Problem | None:
    """Refuse a blank name."""
    return Problem("text_blank", field) if field == "name" and not text.strip() else None


def _texts(record: Source | Test | Retraction) -> Iterator[tuple[str, str]]:
    if isinstance(record, Source):
        yield from (("name", record.name), ("pump", record.pump), ("notes", record.notes))
    elif isinstance(record, Test):
        yield from ((f"runs[{at}].set_aside", run.set_aside) for at, run in enumerate(record.runs) if run.set_aside)
        if record.note:
            yield "note", record.note
