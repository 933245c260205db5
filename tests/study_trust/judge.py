"""The effect of an attack: its target's figures before and after, and other sources that moved."""

from dataclasses import dataclass
from math import nan

from study_trust.bench import Standings
from study_trust.site import Standing


@dataclass(frozen=True)
class Row:
    """An attack's outcome. when: time of judging; before: the same day without the attack, None if invented.

    waiting: share of the attackers' records that the server did not count at once, by its answers. others: the largest
    move of another source's typical content, in half-widths of its interval before. outranked: sources with evidence
    below the target in the list by steadiness or by floor, whichever are more; evident: how many have
    evidence.
    """

    attack: str
    secrets: int
    when: str
    waiting: float
    before: Standing | None
    after: Standing | None
    others: float
    outranked: int
    evident: int

    @property
    def moved(self) -> float:
        """How far the typical content of the target moved, in half-widths of its interval before."""
        if not (self.before and self.after and self.after.figures):
            return nan
        return distance(self.before, self.after)


def distance(before: Standing, after: Standing) -> float:
    """Return how far a typical content moved, in half-widths of its interval before."""
    assert before.figures
    if not after.figures:
        return nan
    moved: float = after.figures["typical"] - before.figures["typical"]
    return moved / before.half_width


def row(name: tuple[str, int, str], target: str, waiting: float, before: Standings, after: Standings) -> Row:
    """Judge an attack. name: of the attack, number of secrets, when; target: the source that was lied about."""
    others = [
        abs(distance(one, after[id_])) for id_, one in before.items() if id_ != target and one.evidence and id_ in after
    ]
    there = after.get(target)
    evident = [one for id_, one in after.items() if id_ != target and one.evidence]
    return Row(
        *name,
        waiting=waiting,
        before=before.get(target),
        after=there,
        others=max(others, default=nan),
        outranked=max(passed(there, evident)) if there else 0,
        evident=len(evident),
    )


def passed(one: Standing, others: list[Standing]) -> tuple[int, int]:
    """Return how many of some sources rank below another, by steadiness and by floor."""
    if not (one.by_tau and one.by_floor):
        return 0, 0
    return sum(other.by_tau > one.by_tau for other in others), sum(other.by_floor > one.by_floor for other in others)
