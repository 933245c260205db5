"""Simulated sources with season, noise and few visits: do the intervals hold, does the ranking find the steady ones?

`python tests/steadiness_study.py [SEED]` prints the figures; `tests/outside/test_steadiness.py` holds it to the
limits. Contents in % (V/V).
"""

import sys
from dataclasses import dataclass
from math import cos, pi

import numpy as np
from scipy.stats import spearmanr

from splitline.statistics.lessons import Figures, Lessons, figures_of, lessons_of
from splitline.statistics.season import at_days
from splitline.statistics.visits import Visit, visits_of

SEED = 20260715
NOW = 20_800.0
OWN, SHARED = 0.9, 0.4
PEOPLE = 9
WATCHED, DELIVERY = 426.0, 9.0
"""Days that sources are watched for changes, and from one delivery to the next."""


@dataclass(frozen=True)
class Simulated:
    """A source: its true level (without season) and scatter, its next fill, and what people measured."""

    level: float
    tau: float
    next_fill: float
    visits: list[Visit]


@dataclass(frozen=True)
class Study:
    """Shares of 90 % intervals that hold the truth, and the rank correlation with the true scatter."""

    tau_coverage: float
    typical_coverage: float
    next_fill_coverage: float
    rank_correlation: float
    typical_error: float


def season(day: float) -> float:
    """A winter blend: 4 points either way over the year."""
    return 4.0 * cos(2 * pi * (day / 365.2425 - 0.54))


def simulate(random: np.random.Generator, sources: int, gross: float = 0.0) -> list[Simulated]:
    """Draw sources of a region. gross: share of visits with a gross error of 8 to 20 points."""
    tubes = random.normal(0, SHARED, PEOPLE)
    return [_source(random, tubes, gross) for _ in range(sources)]


def _source(random: np.random.Generator, tubes: np.ndarray, gross: float) -> Simulated:
    level, tau = random.normal(76, 3), float(np.exp(random.normal(0.4, 0.7)))
    people = random.choice(PEOPLE, size=random.integers(2, 5), replace=False)
    visits = []
    for _ in range(int(random.integers(4, 22))):
        day, who = NOW - random.uniform(0, 700), int(random.choice(people))
        content = level + season(day) + random.normal(0, tau) + tubes[who] + random.normal(0, OWN)
        if random.random() < gross:
            content += random.choice([-1, 1]) * random.uniform(8, 20)
        visits.append(Visit(day, float(content), OWN, SHARED, str(who)))
    return Simulated(level, tau, float(level + season(NOW) + random.normal(0, tau)), visits_of(visits))


def learn(drawn: list[Simulated]) -> Lessons:
    """What the region teaches."""
    return lessons_of({f"{number:05d}": source.visits for number, source in enumerate(drawn)})


def judge(drawn: list[Simulated]) -> Study:
    """Estimate every source and compare with the truth."""
    lessons = learn(drawn)
    found = [_known(source, lessons) for source in drawn]
    pairs = list(zip(drawn, (figures.estimate for figures in found), strict=True))
    truth = season(NOW)
    return Study(
        tau_coverage=float(np.mean([e.tau_interval[0] <= s.tau <= e.tau_interval[1] for s, e in pairs])),
        typical_coverage=float(
            np.mean([e.typical_interval[0] <= s.level + truth <= e.typical_interval[1] for s, e in pairs])
        ),
        next_fill_coverage=float(np.mean([e.next_fill[0] <= s.next_fill <= e.next_fill[1] for s, e in pairs])),
        rank_correlation=float(spearmanr([s.tau for s, _ in pairs], [e.tau_bound for _, e in pairs])[0]),
        typical_error=float(np.median([abs(e.typical - s.level - truth) for s, e in pairs])),
    )


def _known(source: Simulated, lessons: Lessons) -> Figures:
    figures = figures_of(source.visits, lessons, NOW)
    assert figures is not None
    return figures


def influence(random: np.random.Generator, sources: int, error: float) -> list[float]:
    """How much of one contributor's error moves a source's typical content, for each source of three or more people."""
    drawn = simulate(random, sources)
    wrong = [
        Simulated(s.level, s.tau, s.next_fill, [_moved(v, error) if v.contributor == "0" else v for v in s.visits])
        for s in drawn
    ]
    before, after = learn(drawn), learn(wrong)
    return [
        abs(_known(w, after).estimate.typical - _known(s, before).estimate.typical) / abs(error)
        for s, w in zip(drawn, wrong, strict=True)
        if len({v.contributor for v in s.visits}) >= 3
    ]


def _moved(visit: Visit, error: float) -> Visit:
    return Visit(visit.sampled_at, visit.content + error, visit.own_uncertainty, visit.shared_uncertainty, "0")


@dataclass(frozen=True)
class Told:
    """Shares of sources: told to have changed although they did not; whose change was told within 45 days of it."""

    wrongly: float
    rightly: float


def told_changes(random: np.random.Generator, regions: int, sources: int, step: float) -> Told:
    """Regions over 14 months, where in each the first source changes by a step after seven, and no other does."""
    wrong, right = [], []
    for _ in range(regions):
        drawn = _watched(random, sources, step)
        lessons = learn(drawn)
        changes = [_known(source, lessons).changes for source in drawn]
        direction = "up" if step > 0 else "down"
        right.append(any(c.direction == direction and abs(c.at - NOW + WATCHED / 2) < 45 for c in changes[0]))
        wrong += [bool(found) for found in changes[1:]]
    return Told(float(np.mean(wrong)), float(np.mean(right)))


def _watched(random: np.random.Generator, sources: int, step: float) -> list[Simulated]:
    """Sources with a delivery every nine days, each visited by one to three people about every fortnight."""
    tubes = random.normal(0, SHARED, PEOPLE)
    found = []
    for number in range(sources):
        level, tau = random.normal(76, 1.5), float(np.exp(random.normal(0.4, 0.5)))
        fills = random.normal(0, tau, int(WATCHED / DELIVERY) + 2)
        visits = []
        for who in random.choice(PEOPLE, size=random.integers(1, 4), replace=False):
            passed = random.uniform(1, 14)
            while passed < WATCHED:
                moved = step if number == 0 and passed > WATCHED / 2 else 0.0
                day = NOW - WATCHED + passed
                content = level + season(day) + fills[int(passed / DELIVERY)] + tubes[who] + random.normal(0, OWN)
                visits.append(Visit(day, float(content + moved), OWN, SHARED, str(who)))
                passed += random.choice([12, 14, 15, 21, 28]) + random.uniform(-2, 2)
        found.append(Simulated(level, tau, level, visits_of(visits)))
    return found


def main() -> None:
    """Print the study for a seed."""
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else SEED
    random = np.random.default_rng(seed)
    print(f"seed {seed}, 500 sources, season of 4 points, 4 to 21 visits by 2 to 4 people")
    drawn = simulate(random, 500)
    found = learn(drawn).season
    assert found is not None, "a region that teaches has a season"
    days = [NOW - d for d in range(365)]
    off = at_days(found, days) - [season(day) for day in days]
    worst = max(abs(off - off.mean()))
    print(f"season found within {worst:.2f} points")
    for name, gross in (("clean", 0.0), ("5 % gross errors", 0.05)):
        study = judge(drawn if gross == 0.0 else simulate(random, 500, gross))
        print(
            f"{name}: 90 % intervals hold tau {study.tau_coverage:.1%}, typical {study.typical_coverage:.1%}, "
            f"next fill {study.next_fill_coverage:.1%}; rank correlation {study.rank_correlation:.2f}; "
            f"typical off by {study.typical_error:.2f} (median)"
        )
    moved = influence(random, 200, 6.0)
    print(
        f"one contributor of three or more, 6 points off, moves a source by {np.median(moved):.0%} of that (median), "
        f"{np.quantile(moved, 0.95):.0%} (95th percentile), {max(moved):.0%} (largest)"
    )
    for step in (-5.0, 3.0):
        told = told_changes(random, 20, 20, step)
        print(
            f"20 regions of 20 sources over 14 months, one changes by {step:+.0f}: told of {told.rightly:.0%} of these "
            f"and, wrongly, of {told.wrongly:.1%} of the others"
        )


if __name__ == "__main__":
    main()
