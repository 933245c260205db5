"""What a code means to the person who reads it: one sentence each, in `wording.json`."""

from functools import cache
from importlib.resources import files

from msgspec import Struct, json

from splitline.errors import Problem


class Told(Struct, frozen=True, kw_only=True):
    """A problem with its sentence, as sent to a device or printed."""

    code: str
    field: str = ""
    value: str = ""
    limit: str = ""
    sentence: str


@cache
def sentences() -> dict[str, str]:
    """Return the sentence of every code; {field}, {value} and {limit} stand for the problem's own."""
    return json.decode(files(__package__).joinpath("wording.json").read_bytes(), type=dict[str, str])


def tell(problem: Problem) -> Told:
    """Return a problem with its sentence filled in."""
    text = sentences()[problem.code].format(field=problem.field, value=problem.value, limit=problem.limit)
    return Told(code=problem.code, field=problem.field, value=problem.value, limit=problem.limit, sentence=text)
