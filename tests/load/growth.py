"""Does the server get slower as the dataset grows? `python tests/load/growth.py --tests 1000000`.

Fills two data folders through intake: 10,000 tests on 100 sources, and the requested number with the same number
of tests per source and sources per area, so that a circle around a place is the same work in both. The large
one has a hundred times the districts, five times as many per region, and a hundred times the contributors. Then
both are served side by side and asked in turn, so that other load affects both equally: the sources
around a place, and a push of 50 tests by a new person, at the same sources in both; then again anywhere in the
large one. A folder that is already filled is reused. Times are as a client sees them; the processor time of
the server is printed beside them, since other programs hardly affect it.
"""

import argparse
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from random import Random

import msgspec

sys.path.insert(0, str(Path(__file__).parent.parent))

from helpers.server_process import UNLIMITED, Served, served
from load import world
from load.calls import Call, answer, connected, cpu_seconds, memory, quantile
from load.filling import fill
from splitline.regions import regions

SMALL = 10_000
BATCH, PLACES, VISITS = 50, 4, 13
WARM = 10
# New people in every run: records that a folder already has cost little.
GUESTS = f"guest of {time.time_ns()}"
SHARES = (0.5, 0.9, 0.99)


def near(district: world.District, _turn: int) -> Call:
    """Ask for the sources around the middle of a district: all of this district, none of another."""
    place = f"{district.latitude:.3f},{district.longitude:.3f}"
    return Call("GET", f"/api/v1/sources?near={place}&limit=500")


def push(district: world.District, turn: int) -> Call:
    """Push 50 tests at four sources of a district as a new person."""
    places = [(turn * 7 + step) % world.SOURCES for step in range(PLACES)]
    parcel = world.visits(district, f"{GUESTS} {turn}", world.person(district, turn, GUESTS), places, VISITS)
    secret = world.secret(district, turn, GUESTS)
    headers = (("Authorization", f"Bearer {secret}"), ("Content-Type", "application/json"))
    return Call("POST", "/api/v1/push", msgspec.json.encode({"records": parcel.records[:BATCH]}), headers)


def take_turns(
    make: Callable[[world.District, int], Call],
    asked: dict[str, tuple[Served, list[world.District]]],
    turns: int,
    first: int = 0,
) -> None:
    """Ask each server in turn and print the times; ratios are to the first one."""
    open_ones = {name: connected(server.url) for name, (server, _) in asked.items()}
    times: defaultdict[str, list[float]] = defaultdict(list)
    computing = dict.fromkeys(asked, 0.0)
    for turn in range(-WARM, turns):
        order = Random(f"order {turn}").sample(list(asked), len(asked))
        for name, (server, districts) in ((name, asked[name]) for name in order):
            call = make(Random(turn).choice(districts), first + WARM + turn)
            before, start = cpu_seconds(server.process.pid), time.perf_counter()
            answer(open_ones[name], call)
            if turn >= 0:
                times[name].append(1000 * (time.perf_counter() - start))
                computing[name] += 1000 * (cpu_seconds(server.process.pid) - before) / turns
    base = next(iter(asked))
    for name, each in times.items():
        shares = {f"p{share * 100:.0f}": (quantile(each, share), quantile(times[base], share)) for share in SHARES}
        spread = "  ".join(f"{share} {ours:6.1f} ms ({ours / other:.2f})" for share, (ours, other) in shares.items())
        ours = f"{computing[name]:6.1f} ms ({computing[name] / computing[base]:.2f})"
        print(f"  {name:24} {spread}  computing {ours}", flush=True)


def main() -> None:
    """Fill, serve, ask and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tests", type=int, default=1_000_000, help="in the large one, at most 1,000,000")
    parser.add_argument("--folder", type=Path, help="where to fill, or what was filled before (a temporary folder)")
    parser.add_argument("--turns", type=int, default=300, help="how often each is asked")
    chosen = parser.parse_args()
    everywhere = world.districts(regions(), chosen.tests // world.TESTS)
    few = everywhere[: SMALL // world.TESTS]
    with tempfile.TemporaryDirectory() as temporary:
        folder = chosen.folder or Path(temporary)
        fill(folder / "small", few)
        fill(folder / "large", everywhere)
        with (
            served(folder / "small", *UNLIMITED, anew=True) as small,
            served(folder / "large", *UNLIMITED, anew=True) as large,
        ):
            names = (f"{len(few) * world.TESTS} tests", f"{len(everywhere) * world.TESTS} tests")
            asked = {names[0]: (small, few), names[1]: (large, few), f"{names[1]}, anywhere": (large, everywhere)}
            print("sources around a place")
            take_turns(near, asked, chosen.turns)
            print(f"push of {BATCH} tests")
            # Sources with more tests cost more, so the small server gets exactly what the large one gets.
            both = {name: asked[name] for name in names}
            take_turns(push, both, chosen.turns // 3)
            print(f"push of {BATCH} tests, anywhere in the large one")
            apart = {names[0]: (small, few), f"{names[1]}, anywhere": (large, everywhere[len(few) :])}
            take_turns(push, apart, chosen.turns // 3, first=10_000)
            for name, server in ((names[0], small), (names[1], large)):
                print(f"memory with {name}: {memory(server.process.pid):.0f} MB")


if __name__ == "__main__":
    main()
