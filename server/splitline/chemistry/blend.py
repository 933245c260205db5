"""Tank, cans and pump: what a mixture contains, and what to add to reach a content.

Volumes and ethanol add up; the excess volume of ethanol and gasoline is below 0.5 % and is ignored. All uncertainties
are expanded, 95 % coverage.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

# Converts the half-width of a 90 % interval of a normal distribution to 95 %.
NINETY_TO_NINETY_FIVE = 1.959964 / 1.644854

Outcome = Literal["reached", "already_there", "no_stock_beyond", "not_enough_room", "not_enough_stock"]


@dataclass(frozen=True, slots=True)
class Part:
    """A volume of fuel: litres +- litres, content % (V/V) +- %."""

    volume: float
    content: float
    expanded_uncertainty: float
    volume_uncertainty: float = 0.0


@dataclass(frozen=True, slots=True)
class Plan:
    """What to add from each stock, in litres, and the tank afterwards.

    outcome: `reached`, `already_there`, or why it cannot be reached; the blend is then the nearest possible.
    """

    outcome: Outcome
    additions: tuple[float, ...]
    blend: Part


def mix(parts: Sequence[Part]) -> Part:
    """Return the mixture of some parts; at least one must have a volume.

    u^2 = sum (V_i/V u(c_i))^2 + ((c_i - c)/V u(V_i))^2.
    """
    volume = sum(part.volume for part in parts)
    content = sum(part.volume * part.content for part in parts) / volume
    variance = sum(
        (part.volume / volume * part.expanded_uncertainty) ** 2
        + ((part.content - content) / volume * part.volume_uncertainty) ** 2
        for part in parts
    )
    volume_uncertainty = sqrt(sum(part.volume_uncertainty**2 for part in parts))
    return Part(volume, content, sqrt(variance), volume_uncertainty)


def reach(tank: Part, room: float, target: float, stocks: Sequence[Part]) -> Plan:
    """Return the smallest addition that brings the tank to `target` %, from stocks in their order of strength.

    room: litres that still fit. stocks: fuels available, each volume the most that can be taken. The strongest stock
    that helps is used first, because it needs the least room. An empty tank is filled from the strongest and the
    weakest.
    """
    if tank.volume == 0.0:
        return _from_empty(tank, room, target, stocks)
    if abs(tank.content - target) < 1e-9:
        return Plan("already_there", tuple(0.0 for _ in stocks), tank)
    rising = tank.content < target
    additions = [0.0 for _ in stocks]
    order = sorted(range(len(stocks)), key=lambda i: stocks[i].content, reverse=rising)
    helping = [i for i in order if (stocks[i].content > target) == rising and stocks[i].content != target]
    if not helping:
        return Plan("no_stock_beyond", tuple(additions), tank)
    outcome: Outcome = "not_enough_stock"
    for i in helping:
        now = _with(tank, stocks, additions)
        wanted = now.volume * (target - now.content) / (stocks[i].content - target)
        left = room - sum(additions)
        additions[i] = min(wanted, stocks[i].volume, left)
        if additions[i] == wanted:
            outcome = "reached"
            break
        if additions[i] == left:
            outcome = "not_enough_room"
            break
    return Plan(outcome, tuple(additions), _with(tank, stocks, additions))


def fill(tank: Part, addition: float, target: float, first: Part, second: Part) -> Plan:
    """Return how to split an addition of `addition` litres between two stocks so that the tank reaches `target` %."""
    if first.content == second.content:
        return reach(tank, addition, target, (first, second))
    total = tank.volume + addition
    needed = total * target - tank.volume * tank.content - addition * second.content
    wanted = needed / (first.content - second.content)
    share = min(max(wanted, 0.0), addition)
    outcome: Outcome = "reached" if share == wanted else "no_stock_beyond"
    if share > first.volume or addition - share > second.volume:
        outcome = "not_enough_stock"
        share = min(max(share, addition - second.volume), first.volume)
    additions = (share, min(addition - share, second.volume))
    return Plan(outcome, additions, _with(tank, (first, second), additions))


def heel(whole: Part, added: Sequence[Part]) -> Part:
    """Return what the tank held before, from what it holds now (by the sensor) and what was added."""
    volume = whole.volume - sum(part.volume for part in added)
    content = (whole.volume * whole.content - sum(part.volume * part.content for part in added)) / volume
    variance = (
        (whole.volume * whole.expanded_uncertainty) ** 2
        + ((whole.content - content) * whole.volume_uncertainty) ** 2
        + sum(
            (part.volume * part.expanded_uncertainty) ** 2 + ((part.content - content) * part.volume_uncertainty) ** 2
            for part in added
        )
    )
    volume_uncertainty = sqrt(whole.volume_uncertainty**2 + sum(part.volume_uncertainty**2 for part in added))
    return Part(volume, content, sqrt(variance) / volume, volume_uncertainty)


def possible(part: Part) -> bool:
    """Return whether such a part can exist: some volume, and a content within 0..100 % given its uncertainty."""
    reaching = -part.expanded_uncertainty <= part.content <= 100.0 + part.expanded_uncertainty
    return part.volume > 0.0 and reaching


def next_fill_part(typical: float, next_fill: tuple[float, float], volume: float) -> Part:
    """Return `volume` litres of a source's next fill, from its typical content and its 90 % interval, in %."""
    half = max(next_fill[1] - typical, typical - next_fill[0])
    return Part(volume, typical, half * NINETY_TO_NINETY_FIVE)


def _from_empty(tank: Part, room: float, target: float, stocks: Sequence[Part]) -> Plan:
    none = tuple(0.0 for _ in stocks)
    if not stocks:
        return Plan("no_stock_beyond", none, tank)
    order = sorted(range(len(stocks)), key=lambda i: stocks[i].content)
    weakest, strongest = order[0], order[-1]
    if not stocks[weakest].content <= target <= stocks[strongest].content:
        return Plan("no_stock_beyond", none, tank)
    if weakest == strongest:
        volume = min(room, stocks[weakest].volume)
        return Plan("reached", (volume,), _with(tank, stocks, (volume,)))
    plan = fill(tank, room, target, stocks[strongest], stocks[weakest])
    additions = [0.0 for _ in stocks]
    additions[strongest], additions[weakest] = plan.additions
    return Plan(plan.outcome, tuple(additions), plan.blend)


def _with(tank: Part, stocks: Sequence[Part], additions: Sequence[float]) -> Part:
    used = [
        Part(volume, stock.content, stock.expanded_uncertainty)
        for stock, volume in zip(stocks, additions, strict=True)
        if volume > 0.0
    ]
    return mix([tank, *used]) if tank.volume > 0.0 or used else tank
