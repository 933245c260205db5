"""Every code has a sentence in every language, and every sentence a code."""

import ast
import json
from collections.abc import Iterator
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

import splitline
from splitline.api.problems import CODES
from splitline.checking.form import FAULTS
from splitline.checking.wording import report, sentences
from splitline.errors import Problem

PACKAGE = Path(splitline.__file__).parent
LANGUAGES = {path.name for path in (Path(__file__).parents[3] / "pwa" / "src" / "i18n").iterdir() if path.is_dir()}
# Functions whose first argument is a code.
MAKERS = ("Problem", "_outside")


def called(node: ast.AST) -> str:
    return node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""


def codes() -> Iterator[str]:
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if called(node) in MAKERS:
                assert isinstance(node, ast.Call)
                yield from strings(node.args[0])
            if called(node) == "_check":
                assert isinstance(node, ast.Call)
                yield from strings(node.args[-1])
            if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "code":
                yield from strings(node.value)
            if isinstance(node, ast.Assign) and names_code_first(node.targets[0]):
                yield from (code for part in tuples(node.value) for code in strings(part.elts[0]))
    yield from CODES.values()
    yield from (code for _, code in FAULTS)


def names_code_first(target: ast.expr) -> bool:
    return any(getattr(part.elts[0], "id", "") == "code" for part in tuples(target))


def tuples(node: ast.AST) -> Iterator[ast.Tuple]:
    return (part for part in ast.walk(node) if isinstance(part, ast.Tuple))


def strings(node: ast.AST) -> Iterator[str]:
    for part in ast.walk(node):
        if isinstance(part, ast.Constant) and isinstance(part.value, str):
            yield part.value


def test_every_code_has_one_sentence_and_every_sentence_a_code() -> None:
    assert set(codes()) == set(sentences())


def test_every_code_has_a_sentence_in_every_language() -> None:
    for code, said in json.loads((PACKAGE / "checking" / "wording.json").read_bytes()).items():
        assert said.keys() - {"en_phone"} == LANGUAGES, code


def test_sentences_are_short_and_complete() -> None:
    for code, sentence in sentences().items():
        assert sentence[0].isupper() or sentence.startswith("{"), code
        assert sentence.endswith("."), code
        assert len(sentence) < 200, code
        assert " safe" not in sentence, code


@given(st.text(), st.text())
def test_no_value_can_break_the_sentence(value: str, limit: str) -> None:
    for code in sentences():
        told = report(Problem(code, "field", value, limit))
        assert "{value}" not in told.sentence.replace(value, "").replace(limit, "")
