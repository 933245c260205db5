"""Errors: expected faults are values, the rest one tree of exceptions."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault in what a person or a device sent.

    code: stable machine code, listed with its sentence in `wording.json`. field: path of the field inside the record,
    such as `runs[0].line`; empty for the whole record. value: what was given, as text. limit: what would have been
    accepted, as text.
    """

    code: str
    field: str = ""
    value: str = ""
    limit: str = ""


class SplitlineError(Exception):
    """Base of every exception Splitline raises on purpose."""


class Unusable(SplitlineError):
    """Input that cannot be used; carries every `Problem` found, not only the first."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = problems
        super().__init__("; ".join(f"{p.code} {p.field}" for p in problems))
