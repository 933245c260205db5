"""Text a person typed: something to read, nothing a screen or a database chokes on."""

import re
from collections.abc import Iterator

from splitline.errors import Problem
from splitline.records import Retraction, Source, Test

# Control characters but tab and line ends; and what turns the direction of the text around it (UAX #9: embeddings,
# overrides, isolates), without which a name of any script does.
ODD = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def problems(record: Source | Test | Retraction) -> list[Problem]:
    """Return what is wrong with the texts of a record."""
    return [p for name, text in _texts(record) for p in (text_control(name, text), text_blank(name, text)) if p]


def text_control(field: str, text: str) -> Problem | None:
    """No control characters but tab and line ends, and none that turn the direction of what stands around them."""
    odd = ODD.search(text)
    return Problem("text_control", field, f"U+{ord(odd[0]):04X}", "") if odd else None


def text_blank(field: str, text: str) -> Problem | None:
    """A name holds more than blanks."""
    return Problem("text_blank", field) if field == "name" and not text.strip() else None


def _texts(record: Source | Test | Retraction) -> Iterator[tuple[str, str]]:
    if isinstance(record, Source):
        yield from (("name", record.name), ("pump", record.pump), ("notes", record.notes))
    elif isinstance(record, Test):
        yield from ((f"runs[{at}].set_aside", run.set_aside) for at, run in enumerate(record.runs) if run.set_aside)
        if record.note:
            yield "note", record.note
