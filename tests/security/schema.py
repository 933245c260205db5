"""Schemathesis tests a real server by its OpenAPI description: valid, invalid and linked requests, all checks.

    python tests/security/schema.py [--examples 400] [--seed 1]

Some thousand cases; each finding is printed with its request, and the exit status is 1.
"""

import argparse
import re
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from helpers.examples import secret
from helpers.server_process import UNLIMITED, served

CONFIGURATION = Path(__file__).with_name("schemathesis.toml")
PHASES = "coverage,fuzzing,stateful"


@dataclass(frozen=True)
class Found:
    """The outcome of a run. report: as schemathesis prints it; tracebacks: in the server's log."""

    cases: int
    failures: int
    tracebacks: int
    passed: bool
    report: str


def explore(folder: Path, examples: int, seed: int, phases: str = PHASES) -> Found:
    """Serve the demo from a folder without rate limits, and try this many cases per operation and phase."""
    command = [str(Path(sys.executable).with_name("schemathesis")), "--config-file", str(CONFIGURATION), "run"]
    options = ["--checks", "all", "--phases", phases, "--continue-on-failure", "--no-color", "--warnings", "off"]
    numbers = ["--max-examples", str(examples), "--seed", str(seed), "--generation-database", "none"]
    who = ["--header", f"Authorization: Bearer {secret(1)}"]
    with served(folder, "--demo", *UNLIMITED) as server:
        address = f"{server.url}/api/schema"
        run = subprocess.run(
            [*command, address, *options, *numbers, *who], cwd=folder, capture_output=True, text=True, check=False
        )
        log = server.errors.read_text()
    cases = re.search(r"(\d+) generated", run.stdout)
    found = re.search(r"(\d+) unique failures?", run.stdout)
    report = run.stdout + run.stderr
    assert cases, report
    failures = int(found[1]) if found else 0
    return Found(int(cases[1]), failures, log.count("Traceback"), run.returncode == 0, report)


def main() -> int:
    """Print the findings."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--examples", type=int, default=400)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="splitline-") as folder:
        found = explore(Path(folder), chosen.examples, chosen.seed)
    print(found.report)
    print(f"{found.cases} cases, {found.failures} failures, {found.tracebacks} tracebacks in the server's log")
    return 0 if found.passed and found.tracebacks == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
