"""`splitline steadiness`: the source statistics of a file of visits."""

import argparse
import csv
import json
import math
from collections import defaultdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from splitline.chemistry.coverage import NORMAL
from splitline.errors import Problem, Unusable
from splitline.statistics.steadiness import Estimate, estimate
from splitline.statistics.visits import Visit, visits_of

COLUMNS = ("source", "sampled_at", "content", "expanded_uncertainty", "contributor")
DAY = 86400.0


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = commands.add_parser("steadiness", help="how steady the sources of a CSV file of visits are")
    parser.add_argument(
        "file",
        type=Path,
        metavar="FILE.csv",
        help=f"columns {', '.join(COLUMNS)} (95 %%, of the visit's own scatter), optionally shared_uncertainty",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON list")


def run(args: argparse.Namespace) -> int:
    """Print the sources, steadiest first. Raises `Unusable` with every problem of the file."""
    by_source = read(args.file)
    now = max((visit.sampled_at for visits in by_source.values() for visit in visits), default=0.0)
    found = {source: estimate(visits_of(visits), now) for source, visits in by_source.items()}
    known = {source: answer for source, answer in found.items() if answer is not None}
    ranked = sorted(known.items(), key=lambda item: (item[1].tau_bound, -item[1].evidence, item[0]))
    if args.json:
        print(json.dumps([_as_json(source, answer) for source, answer in ranked]))
    else:
        print("\n".join(_as_text(source, answer) for source, answer in ranked))
    return 0


def read(path: Path) -> dict[str, list[Visit]]:
    """Return the visits of a file by source, in the file's order."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        reader = csv.DictReader(file)
        missing = [name for name in COLUMNS if name not in (reader.fieldnames or [])]
        if missing:
            raise Unusable([Problem("column_missing", name, "", ", ".join(COLUMNS)) for name in missing])
        rows = list(reader)
    problems: list[Problem] = []
    by_source: defaultdict[str, list[Visit]] = defaultdict(list)
    for number, row in enumerate(rows, start=2):
        visit = _visit(row, number, problems)
        if visit:
            by_source[row["source"]].append(visit)
    if problems:
        raise Unusable(problems)
    return dict(by_source)


def _visit(row: dict[str, str], number: int, problems: list[Problem]) -> Visit | None:
    before = len(problems)
    content = _number(row, "content", number, problems)
    own = _number(row, "expanded_uncertainty", number, problems) / NORMAL
    shared = _number(row, "shared_uncertainty", number, problems, 0.0)
    if own <= 0.0:
        problems.append(Problem("uncertainty_missing", f"row {number}", row["expanded_uncertainty"], "> 0"))
    day = _day(row["sampled_at"], number, problems)
    return Visit(day, content, own, shared, row["contributor"]) if len(problems) == before else None


def _number(
    row: dict[str, str], name: str, number: int, problems: list[Problem], default: float | None = None
) -> float:
    text = (row.get(name) or "").strip()
    if not text and default is not None:
        return default
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        problems.append(Problem("not_a_number", f"row {number}, {name}", text, "a number"))
    return value


def _day(text: str, number: int, problems: list[Problem]) -> float:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        problems.append(Problem("not_a_time", f"row {number}, sampled_at", text, "RFC 3339"))
        return math.nan
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp() / DAY


def _as_json(source: str, answer: Estimate) -> dict[str, Any]:
    return {
        "source": source,
        "typical": answer.typical,
        "typical_interval": answer.typical_interval,
        "tau": answer.tau,
        "tau_interval": answer.tau_interval,
        "next_fill": answer.next_fill,
        "floor": answer.floor,
        "visits": answer.visits,
        "contributors": answer.contributors,
        "evidence": answer.evidence,
        "changes": [],
    }


def _as_text(source: str, answer: Estimate) -> str:
    low, high = answer.next_fill
    return (
        f"{source}: typical {answer.typical:.1f} % (V/V), deliveries scatter by {answer.tau:.1f} "
        f"({answer.tau_interval[0]:.1f} to {answer.tau_interval[1]:.1f}), next fill {low:.1f} to {high:.1f} (90 %), "
        f"{answer.visits} visits by {answer.contributors}"
    )
