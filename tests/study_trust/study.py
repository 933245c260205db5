"""Runs the attacks and judges each: bursts on one day (A1 to A4), and patient ones (A5)."""

from collections import Counter
from collections.abc import Iterator
from itertools import product

from study_trust.attacks import INVENTED, LIFT, LIFT_FAR, MANNERS, RECENT, SINK, SINK_FAR, Attackers, Target
from study_trust.bench import Bench, send
from study_trust.judge import Row, row
from study_trust.site import Site
from study_trust.world import DAYS

SHORT, LONG = 30, 180
FEW, MANY = 5, 50
AT_ONCE = 0.001
"""Share of a day after which a burst is over."""
BURSTS: tuple[tuple[str, Target, tuple[int, ...], tuple[float, ...]], ...] = (
    ("A1", INVENTED, (1, 2, FEW), (DAYS,)),
    ("A2", LIFT, (1, 2, FEW), (DAYS, RECENT)),
    ("A2", LIFT_FAR, (1, 2, FEW), (DAYS, RECENT)),
    ("A3", SINK, (1, 2, FEW), (DAYS, RECENT)),
    ("A3", SINK_FAR, (1, 2, FEW), (DAYS, RECENT)),
    ("A4", INVENTED, (MANY,), (DAYS,)),
    ("A4", LIFT, (MANY,), (DAYS,)),
    ("A4", SINK, (MANY,), (DAYS,)),
)
PATIENT: tuple[tuple[Target, str], ...] = (
    *((LIFT, manner) for manner in MANNERS),
    (SINK, MANNERS[1]),
    (INVENTED, MANNERS[0]),
)


def bursts(bench: Bench) -> Iterator[Row]:
    """Run the one-day attacks."""
    for kind, target, sizes, spans in BURSTS:
        for span, secrets in product(spans, sizes):
            attackers = Attackers(bench.world, target, secrets)
            yield from burst(bench, attackers, f"{kind} {_named(target)}, of {span} days", span)


def burst(bench: Bench, attackers: Attackers, name: str, span: float) -> Iterator[Row]:
    """Judge one burst at once, and after a month in which only honest people send."""
    with bench.copy() as site:
        bench.attacked(site, attackers.burst(span), DAYS + AT_ONCE)
        yield _judged(bench, site, attackers, name, DAYS)
        send(site, bench.world.between(DAYS + AT_ONCE, DAYS + SHORT), DAYS + SHORT)
        yield _judged(bench, site, attackers, name, DAYS + SHORT)


def patient(bench: Bench) -> Iterator[Row]:
    """Run the attacks over weeks, judged on the last day."""
    for target, manner in PATIENT:
        for days in (SHORT, LONG):
            for secrets in (FEW, MANY):
                attackers = Attackers(bench.world, target, secrets, manner)
                with bench.copy() as site:
                    bench.attacked(site, attackers.patient(manner, days), DAYS + days)
                    yield _judged(bench, site, attackers, f"A5 {_named(target)}, {manner}", DAYS + days)


def _judged(bench: Bench, site: Site, attackers: Attackers, name: str, day: float) -> Row:
    minimum = attackers.target.minimum
    name_and_time = (name, len(attackers.people), "at once" if day == DAYS else f"day {day - DAYS:g}")
    after = site.standings(minimum)
    return row(name_and_time, attackers.station, _waiting(site, attackers), bench.honest[day, minimum], after)


def _waiting(site: Site, attackers: Attackers) -> float:
    """The share of the attackers' records that the server's answers say it does not count."""
    said = sum((site.answered[who.secret] for who in attackers.people), Counter[str]())
    return (said["held"] + said["refused"]) / said.total()


def _named(target: Target) -> str:
    return target.name if target.place is None else f"{target.name} {target.shift:+g}"
