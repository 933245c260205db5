"""Invalid JSON: the position of the fault."""

import pytest

from splitline.checking.jsontext import problems


@pytest.mark.parametrize(
    ("body", "code", "field", "value"),
    [
        (b'{"records": [}', "json_broken", "", "line 1, column 14"),
        (b"", "json_broken", "", "line 1, column 1"),
        (b'{"records": [{"latitude": NaN}]}', "not_a_number", "records[0].latitude", "NaN"),
        (b'{"records": [{"runs": [{"line": -Infinity}]}]}', "not_a_number", "records[0].runs[0].line", "-Infinity"),
        (b'{"records": ["\xff"]}', "not_utf8", "", "byte 14"),
        (b"[" * 200_000, "json_deep", "", ""),
        (b"[" + b"9" * 5000, "json_broken", "", ""),
    ],
)
def test_the_position_of_the_fault_is_named(body: bytes, code: str, field: str, value: str) -> None:
    [problem] = problems(body)
    assert (problem.code, problem.field) == (code, field)
    assert value in problem.value


def test_every_nan_is_named() -> None:
    found = problems(b'{"a": NaN, "b": [1, Infinity]}')
    assert [(p.field, p.value) for p in found] == [("a", "NaN"), ("b[1]", "Infinity")]
