"""Does the app find the line on photos unlike those it was made with? `python tests/tube_study.py [--set judging]`.

Draws photos of tubes (`study/tubes` shares nothing with the app, and no way of drawing with `photo`), asks the app's
own code for the line with hand-placed crosses, and prints a table. `--set development` is for work on the finder, which
never sees `judging` (`study/tubes/sets.py`); it is trained on neither. `--seed` draws a set of the same mix that nobody
has seen. Takes a second of one core for each of 600 or 300 photos.
"""

import argparse
import json
from dataclasses import asdict, replace

from study.tubes.judged import outcomes
from study.tubes.sets import DEVELOPMENT, JUDGING
from study.tubes.table import by_tag, table


def main() -> None:
    """Print the tables of a set."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--set", choices=("development", "judging"), default="development")
    options.add_argument("--share", type=float, default=1.0, help="of the set, from its start")
    options.add_argument("--seed", type=int, help="another one than the set's own")
    options.add_argument("--json", action="store_true", help="every outcome as a line")
    chosen = options.parse_args()
    of_name = {"development": DEVELOPMENT, "judging": JUDGING}[chosen.set]
    if chosen.seed is not None:
        of_name = replace(of_name, seed=chosen.seed)
    found = list(outcomes(of_name.tasks(chosen.share)))
    if chosen.json:
        print("\n".join(json.dumps(asdict(one)) for one in found))
    else:
        print(f"{of_name.name}, seed {of_name.seed}\n{table(found)}\n{by_tag(found)}")


if __name__ == "__main__":
    main()
