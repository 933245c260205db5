"""The server's answer to each record sent to it."""

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct

from splitline.checking.wording import Report, report
from splitline.errors import Problem

Status = Literal["stored", "known", "replaced", "held", "refused"]


class Answer(Struct, frozen=True, kw_only=True):
    """The outcome for one record.

    stored, known (already here), replaced (took the place of a lower revision), held (saved, not counted) or refused,
    with the reasons. content, expanded_uncertainty: the server's own, % (V/V), 95 % coverage. region: ISO 3166-2.
    """

    id: str | None
    kind: str | None
    revision: int | None
    status: Status
    problems: tuple[Report, ...] = ()
    content: float | None = None
    expanded_uncertainty: float | None = None
    region: str | None = None


def reports(problems: Iterable[Problem]) -> tuple[Report, ...]:
    """Return problems with their sentences."""
    return tuple(map(report, problems))
