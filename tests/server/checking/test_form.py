"""Form checks: each fault of a record has a field and a code; also the msgspec messages this depends on."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import json

from helpers.examples import Json, reading, retraction, source
from splitline.checking import form
from splitline.records import Source

GOOD = reading(1, at=1)


def faults(record: Any) -> list[tuple[str, str]]:
    read = form.read(json.encode(record))
    assert read.record is None
    return sorted((problem.code, problem.field) for problem in read.problems)


@pytest.mark.parametrize("record", [source(1), GOOD, retraction(GOOD), retraction(source(1))])
def test_valid_records_are_decoded(record: Json) -> None:
    read = form.read(json.encode(record))
    assert read.problems == ()
    assert (read.id, read.kind, read.revision) == (record["id"], record["kind"], record["revision"])
    assert read.record is not None


@pytest.mark.parametrize(
    ("change", "code", "field"),
    [
        ({"colour": "red"}, "field_unknown", "colour"),
        ({"temperature": "warm"}, "type", "temperature"),
        ({"temperature": 41}, "range", "temperature"),
        ({"temperature": 10**400}, "range", "temperature"),
        ({"temperature": True}, "type", "temperature"),
        ({"temperature": None}, "type", "temperature"),
        ({"id": "7"}, "pattern", "id"),
        ({"id": GOOD["id"] + "\n"}, "length", "id"),
        ({"id": GOOD["id"].upper().replace("0", "A")}, "pattern", "id"),
        ({"revision": 0}, "range", "revision"),
        ({"revision": 1.5}, "type", "revision"),
        ({"sampled": "barrel"}, "choice", "sampled"),
        ({"sampled_at": "2026-03-01 08:00"}, "time_unreadable", "sampled_at"),
        ({"sampled_at": "2026-03-01T08:00:00"}, "time_offset", "sampled_at"),
        ({"sampled_at": 1}, "type", "sampled_at"),
        ({"note": "x" * 1001}, "length", "note"),
        ({"runs": []}, "length", "runs"),
        ({"runs": [{"water": 50, "fuel": 50, "line": 88}] * 10}, "length", "runs"),
        ({"runs": "one"}, "type", "runs"),
        ({"runs": [{"water": 50, "fuel": 50, "line": 88}, 5]}, "type", "runs[1]"),
        ({"runs": [{"water": 50, "fuel": -1, "line": 88}]}, "range", "runs[0].fuel"),
        ({"runs": [{"water": 50, "line": 88}]}, "field_missing", "runs[0].fuel"),
        ({"tube": {**GOOD["tube"], "scale": "square"}}, "choice", "tube.scale"),
        ({"photos": ["ab" * 32, "zz"]}, "pattern", "photos[1]"),
        ({"consent": "mine"}, "choice", "consent"),
        ({"expanded_uncertainty": 0}, "range", "expanded_uncertainty"),
        ({"kind": "song"}, "kind_unknown", "kind"),
        ({"retracted": False}, "choice", "retracted"),
    ],
)
def test_each_fault_names_its_field(change: Json, code: str, field: str) -> None:
    assert (code, field) in faults({**GOOD, **change})


def test_all_faults_at_once() -> None:
    bad = {**GOOD, "temperature": 99, "colour": 1, "runs": [{"water": "a", "fuel": 50, "line": 88}]}
    del bad["consent"]
    assert faults(bad) == [
        ("field_missing", "consent"),
        ("field_unknown", "colour"),
        ("range", "temperature"),
        ("type", "runs[0].water"),
    ]


@pytest.mark.parametrize("item", [b"[]", b"5", b"null", b'"x"'])
def test_a_record_must_be_an_object(item: bytes) -> None:
    assert [(p.code, p.field) for p in form.read(item).problems] == [("type", "")]


@pytest.mark.parametrize("item", [b"", b"{", b'{"kind": "source"', b"\xff", b"[" * 100_000, b'{"kind":\xff}'])
def test_invalid_json_is_a_problem_and_not_an_exception(item: bytes) -> None:
    assert form.read(item).problems


def test_text_that_is_not_utf8_is_refused() -> None:
    item = json.encode(source(1)).replace(b"Station 1", b"\xff\xfe")
    assert [(p.code, p.field) for p in form.read(item).problems] == [("not_utf8", "name")]


def test_a_long_value_is_shortened_in_the_problem() -> None:
    [problem] = form.typed(json.encode({**source(1), "pump": "x" * 5000}), Source)[1]
    assert len(problem.value) <= form.LONGEST_VALUE


def test_the_number_of_problems_is_limited() -> None:
    record = {**GOOD, **{f"field{n}": n for n in range(500)}}
    assert len(faults(record)) == form.MOST_PROBLEMS


words = st.text('aZ0"\\\n\x00é𝔼', max_size=6)
scalars = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | words
values = st.recursive(scalars, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3))


@given(st.dictionaries(st.sampled_from([*GOOD, "retracted", "other"]), values))
def test_any_input_is_decoded_or_refused_with_a_reason(changes: Json) -> None:
    read = form.read(json.encode({**GOOD, **changes}))
    assert (read.record is None) == bool(read.problems)
    assert not any(problem.code == "form" for problem in read.problems), "msgspec has an error message we do not know"
