"""What a code means to the person who reads it: one sentence each, in every language of the app, in `wording.json`.

The server speaks English. The app speaks all of them, and `en_phone` instead of `en` where whoever holds the phone has
to read something else than whoever writes records.
"""

import re
from functools import cache
from importlib.resources import files

from msgspec import Struct, json

from splitline.errors import Problem

# Whatever could be a secret, or most of one, is told by its start only: people paste secrets into the wrong field.
SECRET_LIKE = re.compile("([0-9a-fA-F]{8})[0-9a-fA-F]{24,}…?")


class Told(Struct, frozen=True, kw_only=True):
    """A problem with its sentence, as sent to a device or printed."""

    code: str
    field: str = ""
    value: str = ""
    limit: str = ""
    sentence: str


class Said(Struct, frozen=True):
    """What the server reads of a code's sentences."""

    en: str


@cache
def sentences() -> dict[str, str]:
    """Return the sentence of every code; {field}, {value} and {limit} stand for the problem's own."""
    all_said = json.decode(files(__package__).joinpath("wording.json").read_bytes(), type=dict[str, Said])
    return {code: said.en for code, said in all_said.items()}


def tell(problem: Problem) -> Told:
    """Return a problem with its sentence filled in, without what could be a secret."""
    field, value, limit = (SECRET_LIKE.sub(r"\1…", part) for part in (problem.field, problem.value, problem.limit))
    text = sentences()[problem.code].format(field=field, value=value, limit=limit)
    return Told(code=problem.code, field=field, value=value, limit=limit, sentence=text)
