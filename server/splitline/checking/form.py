"""Checks the form of records: types, ranges, sizes and unknown fields, from `records.py`.

msgspec stops at the first fault, so a record that fails is walked field by field, and every fault is reported.
"""

import re
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import islice
from typing import Annotated, Any, Literal, TypeVar, get_args, get_origin

from msgspec import NODEFAULT, UNSET, DecodeError, Meta, Raw, Struct, UnsetType, ValidationError, convert, json
from msgspec.structs import FieldInfo, fields

from splitline.errors import Problem
from splitline.records import Identifier, Retraction, Revision, Source, Test

T = TypeVar("T")
S = TypeVar("S", bound=Struct)

MOST_PROBLEMS = 20
LONGEST_VALUE = 60
Kind = type[Source] | type[Test] | type[Retraction]
KINDS: dict[str, Kind] = {"source": Source, "test": Test}
TEST = json.Decoder(Test)
UNREADABLE = (DecodeError, UnicodeDecodeError, RecursionError)
# The messages of msgspec 0.22, and the code of each; a test fails if they stop matching.
FAULTS = (
    (re.compile("Expected `datetime` with a timezone"), "time_offset"),
    (re.compile("Invalid RFC3339"), "time_unreadable"),
    (re.compile("Expected `[^`]+` matching regex '(.+)'"), "pattern"),
    (re.compile("Expected `[^`]+` of length (.+)"), "length"),
    (re.compile("Expected `[^`]+` ([<>].+)"), "range"),
    (re.compile("Expected `(.+)`, got"), "type"),
    (re.compile("Invalid enum value"), "choice"),
    (re.compile("(?:Number|Integer value) out of range"), "range"),
)


class Form(Struct, frozen=True):
    """One decoded item: its id, and the record or everything wrong with its form."""

    id: str | None
    kind: str | None
    revision: int | None
    record: Source | Test | Retraction | None
    problems: tuple[Problem, ...]


class _Head(Struct, frozen=True):
    """The fields that identify a record."""

    id: Identifier
    kind: Literal["source", "test"]
    revision: Revision
    retracted: Raw | UnsetType = UNSET


def read(item: bytes | Raw) -> Form:
    """Decode one record from its JSON; never raises on bad input. Decodes as a test first, since most are."""
    try:
        test = TEST.decode(item)
        return Form(test.id, test.kind, test.revision, test, ())
    except UNREADABLE:
        return _other_kind(item)


def _other_kind(item: bytes | Raw) -> Form:
    try:
        head = json.decode(item, type=_Head)
        wanted = KINDS[head.kind] if head.retracted is UNSET else Retraction
        return Form(head.id, head.kind, head.revision, json.decode(item, type=wanted), ())
    except UNREADABLE:
        return _diagnosed(item)


def _diagnosed(item: bytes | Raw) -> Form:
    """Return what is known of a record that cannot be decoded, and everything wrong with it."""
    try:
        parts = json.decode(item, type=dict[str, Raw])
    except ValidationError as fault:
        return Form(None, None, None, None, (_translated(fault, "", item, object),))
    except (DecodeError, UnicodeDecodeError, RecursionError):
        return Form(None, None, None, None, (Problem("json_broken"),))
    kind = _peek(parts, "kind", Literal["source", "test"])
    record: Source | Test | Retraction | None = None
    if kind is None:
        found = [Problem("kind_unknown", "kind", _shown(parts.get("kind", b"")), ", ".join(KINDS))]
    elif "retracted" in parts:
        record, found = typed(item, Retraction)
    else:
        record, found = typed(item, KINDS[kind])
    return Form(_peek(parts, "id", Identifier), kind, _peek(parts, "revision", Revision), record, tuple(found))


def typed(item: bytes | Raw, wanted: type[T]) -> tuple[T | None, list[Problem]]:
    """Decode JSON text as a Struct: the value, or None and its problems."""
    try:
        return json.decode(item, type=wanted), []
    except (ValidationError, UnicodeDecodeError):
        return None, list(islice(_walk(item, wanted, ""), MOST_PROBLEMS)) or [Problem("form")]


def from_query(values: Mapping[str, str], wanted: type[S]) -> tuple[S | None, list[Problem]]:
    """Convert strings, such as those of a query, to a Struct: the value, or None and its problems."""
    known = _fields(wanted)
    unknown = [name[:LONGEST_VALUE] for name in values if name not in known]
    missing = [name for name, field in known.items() if _required(field) and name not in values]
    found = [Problem("field_unknown", name, "", ", ".join(known)) for name in unknown]
    found += [Problem("field_missing", name) for name in missing]
    for name in known.keys() & values.keys():
        try:
            convert(values[name], known[name].type, strict=False)
        except ValidationError as fault:
            found.append(_translated(fault, name, json.encode(values[name]), known[name].type))
    return (None, sorted(found, key=lambda p: p.field)) if found else (convert(values, wanted, strict=False), [])


def _peek(parts: Mapping[str, Raw], name: str, wanted: Any) -> Any:
    """Decode one field alone, for the answer to its sender; None when it is missing or wrong."""
    try:
        return json.decode(parts[name], type=wanted)
    except (KeyError, ValidationError, UnicodeDecodeError):
        return None


def _walk(item: bytes | Raw, wanted: Any, path: str) -> Iterator[Problem]:
    """Every fault of a value, deepest first."""
    plain, metas = _stripped(wanted)
    if isinstance(plain, type) and issubclass(plain, Struct):
        yield from _walk_struct(item, plain, path)
        return
    element = get_args(plain)[0] if get_origin(plain) is tuple else None
    try:
        items = json.decode(item, type=wanted if element is None else Annotated[tuple[Raw, ...], *metas])
    except ValidationError as fault:
        yield _translated(fault, path, item, plain)
    except UnicodeDecodeError:
        yield Problem("not_utf8", path)
    else:
        for index, part in enumerate(items if element is not None else ()):
            yield from _walk(part, element, f"{path}[{index}]")


def _walk_struct(item: bytes | Raw, wanted: type[Struct], path: str) -> Iterator[Problem]:
    try:
        parts = json.decode(item, type=dict[str, Raw])
    except ValidationError as fault:
        yield _translated(fault, path, item, wanted)
        return
    except UnicodeDecodeError:
        yield Problem("not_utf8", path)
        return
    known = _fields(wanted)
    for name in parts:
        if name not in known:
            yield Problem("field_unknown", _below(path, name[:LONGEST_VALUE]), "", ", ".join(known))
    for name, field in known.items():
        if name in parts:
            yield from _walk(parts[name], field.type, _below(path, name))
        elif _required(field):
            yield Problem("field_missing", _below(path, name))


def _translated(fault: ValidationError, path: str, item: bytes | Raw, wanted: Any) -> Problem:
    text = str(fault).split(" - at `$")[0]
    for pattern, code in FAULTS:
        if match := pattern.match(text):
            limit = ", ".join(map(str, get_args(wanted))) if code == "choice" else "".join(match.groups()[:1])
            if code == "range" and not limit:
                limit = "a number nearer to 0"
            return Problem(code, path, _shown(item), limit)
    return Problem("form", path, _shown(item), text)


def _stripped(wanted: Any) -> tuple[Any, tuple[Meta, ...]]:
    """Split a type into its bare type and its annotations."""
    if get_origin(wanted) is Annotated:
        plain, *metas = get_args(wanted)
        return plain, tuple(meta for meta in metas if isinstance(meta, Meta))
    return wanted, ()


@cache
def _fields(wanted: type[Struct]) -> dict[str, FieldInfo]:
    """A Struct's fields by JSON name, cached: looking them up takes longer than decoding."""
    return {field.encode_name: field for field in fields(wanted)}


def _required(field: FieldInfo) -> bool:
    return field.default is NODEFAULT and field.default_factory is NODEFAULT


def _below(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name


def _shown(item: bytes | Raw) -> str:
    """The start of a value as it was sent, without the quotes of a string."""
    start = bytes(memoryview(item)[: 4 * LONGEST_VALUE])
    shown = start.decode("utf-8", "replace").strip().strip('"')
    return shown if len(shown) <= LONGEST_VALUE else shown[: LONGEST_VALUE - 1] + "…"
