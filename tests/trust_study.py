"""How far can strangers move a figure? An honest region and dishonest contributors, over HTTP, on a real server.

`python tests/trust_study.py [--seed N] [--honest N] [--only NAME…]` prints one table of attacks and lines for
the rest. `study_trust/world.py` describes the region, `study_trust/attacks.py` the attackers; the server's clock is
moved from outside. Never tune the product on a seed of this study: report on a different seed.
"""

import argparse
import tempfile
from collections.abc import Iterable
from itertools import chain
from pathlib import Path

from study_trust import honest, newcomers, owners, report, study
from study_trust.bench import Bench
from study_trust.world import DAYS, World

SEED = 20261130
PARTS = ("honest", "bursts", "patient", "newcomers", "moves", "claims")
LATER = (DAYS + study.SHORT, DAYS + study.LONG)


def run(seed: int, regions: int, parts: list[str], folder: Path) -> None:
    """Run and print every part. regions: number of honest regions judged without an attack."""
    bench = Bench(World(seed), folder / "first")
    bench.build()
    bench.go_on(LATER)
    attacks = [kind for name, kind in (("bursts", study.bursts), ("patient", study.patient)) if name in parts]
    if attacks:
        say(report.table(chain.from_iterable(kind(bench) for kind in attacks)))
        print(f"\n{report.LEGEND}\n")
    for part, lines in (("newcomers", newcomers.lines), ("moves", owners.moves), ("claims", owners.claims)):
        if part in parts:
            say(f"- {line}" for line in lines(bench))
    if "honest" in parts:
        told_honest([bench, *others(seed, regions - 1, folder)])


def others(seed: int, count: int, folder: Path) -> list[Bench]:
    """Yield other honest regions, each on its own server."""
    benches = [Bench(World(seed + number), folder / f"other {number}") for number in range(1, count + 1)]
    for bench in benches:
        bench.build()
        bench.go_on(LATER)
    return benches


def told_honest(benches: list[Bench]) -> None:
    """Print figures of the honest regions by day."""
    for day in (DAYS, *LATER):
        regions = [(bench.world, bench.honest[day, 70.0]) for bench in benches]
        say([f"- honest, day {day}: {honest.judged(regions, day)}"])


def say(lines: Iterable[str]) -> None:
    """Print lines as soon as they are known."""
    for line in lines:
        print(line, flush=True)


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--honest", type=int, default=10, help="regions that are judged without an attack")
    parser.add_argument("--only", nargs="+", choices=PARTS, default=list(PARTS))
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        run(chosen.seed, chosen.honest, chosen.only, Path(folder))


if __name__ == "__main__":
    main()
