"""Do the published figures of stations hold? Simulated regions of many kinds, judged cell by cell.

`python tests/steadiness_study.py [--cells NAME…] [--regions N] [--seed N] [--json]` prints a table. `study/world.py`
describes the simulation and its truth, `study/cells.py` lists the cells, and `study/judged.py` is the only part that
imports the product. Never tune the product on a seed of this study: report on a different seed.
"""

import argparse
import json
from concurrent.futures import ProcessPoolExecutor

from study.cells import CELLS
from study.score import Score, summary, unit

SEED = 20260715
REGIONS = 30
COLUMNS = (
    ("typical", "{:.0%}"),
    ("typical_low", "{:.0%}"),
    ("tank_level", "{:.0%}"),
    ("typical_width", "{:.1f}"),
    ("off", "{:.2f}"),
    ("next_fill", "{:.0%}"),
    ("next_fill_low", "{:.0%}"),
    ("next_fill_width", "{:.1f}"),
    ("floor", "{:.0%}"),
    ("tau", "{:.0%}"),
    ("tau_low", "{:.0%}"),
    ("tau_width", "{:.1f}"),
    ("tank_tau", "{:.0%}"),
    ("rank", "{:.2f}"),
    ("stated", "{:.0%}"),
    ("met", "{:.0%}"),
    ("found", "{:.0%}"),
    ("false", "{:.2f}"),
)
HEAD = "level low tank wide off next low wide floor tau low wide tank rank stated met found false"
LEGEND = """\
Share of 90 % intervals that contain the truth: level, next (fill), tau; low: one region in ten is below this; wide:
mean width, points. tank: the same interval against the mean and scatter of tanks. off: median error of the level,
points. floor: next fills not below it (nominal: 95 %). rank: rank correlation of the list with the true tau.
stated, met: minima with a stated probability of 80 % or more: its mean, and the share met. found: steps dated within
90 days. false: false alarms per station and year."""


def run(names: list[str], regions: int, seed: int, processes: int = 2) -> dict[str, dict[str, float]]:
    """Return the figures of each cell by name."""
    tasks = [(CELLS[name], name, seed, number) for name in names for number in range(regions)]
    worlds, cells, seeds, numbers = zip(*tasks, strict=True)
    with ProcessPoolExecutor(processes) as pool:
        scores: list[Score] = list(pool.map(unit, worlds, cells, seeds, numbers))
    return {name: summary(scores[k * regions : (k + 1) * regions]) for k, name in enumerate(names)}


def table(found: dict[str, dict[str, float]]) -> str:
    """Return the figures as text, one line per cell; a dash means nothing to judge."""
    wide = max(map(len, found)) + 1
    lines = [" " * wide + "".join(f"{name:>6}" for name in HEAD.split())]
    for name, figures in found.items():
        texts = ["–" if figures[key] != figures[key] else form.format(figures[key]) for key, form in COLUMNS]
        lines.append(f"{name:<{wide}}" + "".join(f"{text:>6}" for text in texts))
    return "\n".join(lines)


def main() -> None:
    """Run the requested cells."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--cells", nargs="+", choices=CELLS, default=list(CELLS), metavar="NAME")
    options.add_argument("--regions", type=int, default=REGIONS, help="of each cell (default %(default)s)")
    options.add_argument("--seed", type=int, default=SEED)
    options.add_argument("--processes", type=int, default=2, choices=(1, 2))
    options.add_argument("--json", action="store_true", help="figures by cell, all of them")
    chosen = options.parse_args()
    found = run(chosen.cells, chosen.regions, chosen.seed, chosen.processes)
    if chosen.json:
        print(json.dumps(found, indent=1))
    else:
        print(f"seed {chosen.seed}, {chosen.regions} regions a cell\n{table(found)}\n\n{LEGEND}")


if __name__ == "__main__":
    main()
