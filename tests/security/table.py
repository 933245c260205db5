"""Prints the security table: each claim, how many cases tried to break it, and whether it held. Takes some minutes.

python tests/security/table.py [--share 0.1]
"""

import argparse
import contextlib
import io
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from security.rows import ROWS


def main() -> int:
    """Print the table; return 1 if a claim did not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--share", type=float, default=1.0, help="of the cases")
    share = parser.parse_args().share
    held = True
    print(f"{'claim':75} {'cases':>6}  held")
    for row in ROWS:
        aside = io.StringIO()
        with tempfile.TemporaryDirectory(prefix="splitline-") as folder:
            try:
                with contextlib.redirect_stdout(aside), contextlib.redirect_stderr(aside):
                    tried = row.run(Path(folder) / "data", round(row.many * share))
                print(f"{row.claim:75} {tried:6}  yes", flush=True)
            except AssertionError as fault:
                held = False
                print(f"{row.claim:75} {'':6}  NO: {str(fault)[:2000]}", flush=True)
    return 0 if held else 1


if __name__ == "__main__":
    sys.exit(main())
