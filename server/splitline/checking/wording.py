"""The sentence for each problem code, in every language of the app, from `wording.json`.

The server uses English. The app uses all languages, and `en_phone` instead of `en` where a person with a phone needs
other words than a person who writes records.
"""

import re
from functools import cache
from importlib.resources import files

from msgspec import Struct, json

from splitline.errors import Problem

# Anything that could be a secret, or most of one, is cut to its start: people paste secrets into the wrong field.
SECRET_LIKE = re.compile("([0-9a-fA-F]{8})[0-9a-fA-F]{24,}…?")


class Report(Struct, frozen=True, kw_only=True):
    """A problem with its sentence, as sent to a device or printed."""

    code: str
    field: str = ""
    value: str = ""
    limit: str = ""
    sentence: str


class Sentences(Struct, frozen=True):
    """A code's sentences; the server reads only the English one."""

    en: str


@cache
def sentences() -> dict[str, str]:
    """Return the English sentence of every code, with {field}, {value} and {limit} to fill in."""
    every = json.decode(files(__package__).joinpath("wording.json").read_bytes(), type=dict[str, Sentences])
    return {code: languages.en for code, languages in every.items()}


def report(problem: Problem) -> Report:
    """Return a problem with its sentence filled in, and anything like a secret cut short."""
    field, value, limit = (SECRET_LIKE.sub(r"\1…", part) for part in (problem.field, problem.value, problem.limit))
    text = sentences()[problem.code].format(field=field, value=value, limit=limit)
    return Report(code=problem.code, field=field, value=value, limit=limit, sentence=text)
