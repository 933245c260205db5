"""`splitline steadiness`: source statistics from a file of visits."""

import argparse
import json
import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from splitline.chemistry.coverage import NORMAL
from splitline.commands.options import VISIT_COLUMNS
from splitline.commands.progress import bar
from splitline.commands.table import Cells, cell, rows
from splitline.errors import Problem, Unusable
from splitline.statistics.priors import Figures, figures_of, priors_of
from splitline.statistics.visits import Visit, visits_of

DAY = 86400.0
# Limits on contents and standard uncertainties of a visit, % (V/V); as in records.
LOWEST, HIGHEST, LEAST, MOST = -50.0, 150.0, 1e-6, 100.0
# Default standard uncertainty shared by visits with one tube, %: three components of a usual tube's budget (marks,
# water in the fuel, temperature) of about 0.4 each, from memory.
GUESSED_SHARED = 0.7
NUMBERS = ("content", "expanded_uncertainty", "shared_uncertainty")
WAYS = {"up": "higher", "down": "lower"}


def run(args: argparse.Namespace) -> int:
    """Print the sources, steadiest first, as of the last visit; all sources in the file count as one region.

    Raises `Unusable` with every problem of the file.
    """
    shared = GUESSED_SHARED if args.shared is None else args.shared
    found, are_said = read(args.file, shared)
    guessed = None if are_said or args.shared is not None else GUESSED_SHARED
    by_source = {source: visits_of(readings) for source, readings in found.items()}
    now = max((visit.sampled_at for visits in by_source.values() for visit in visits), default=0.0)
    known = _figures(by_source, now)
    ranked = sorted(known.items(), key=lambda item: (item[1].estimate.tau_bound, -item[1].estimate.evidence, item[0]))
    if args.json:
        print(json.dumps([_as_json(source, answer, guessed) for source, answer in ranked]))
    else:
        print("\n".join([*(_as_text(source, answer) for source, answer in ranked), *_guess(guessed)]))
    return 0


def _figures(by_source: Mapping[str, Sequence[Visit]], now: float) -> dict[str, Figures]:
    """The figures of each source, with priors from all of them."""
    with bar("comparing the sources", None):
        priors = priors_of(by_source)
    known: dict[str, Figures] = {}
    with bar("figures", len(by_source)) as done:
        for count, (source, visits) in enumerate(by_source.items(), start=1):
            if (figures := figures_of(visits, priors, now)) is not None:
                known[source] = figures
            done(count)
    return known


def read(path: Path, shared: float) -> tuple[dict[str, list[Visit]], bool]:
    """Return the visits in a file by source, in the file's order, and whether each states its shared uncertainty.

    shared: standard, %, for those that do not. Raises `Unusable` with every problem.
    """
    found = rows(path, VISIT_COLUMNS, NUMBERS)
    problems: list[Problem] = []
    by_source: defaultdict[str, list[Visit]] = defaultdict(list)
    for line, row in found:
        by_source[row.get("source", "")].append(_visit(row, f"row {line}", problems, shared))
    if problems:
        raise Unusable(problems)
    return dict(by_source), all(row.get("shared_uncertainty", "").strip() for _, row in found)


def _visit(row: Cells, place: str, problems: list[Problem], usual: float) -> Visit:
    content = cell(row, "content", place, problems)
    if not math.isnan(content) and not LOWEST <= content <= HIGHEST:
        problems.append(Problem("range", f"{place}, content", f"{content:g}", f"{LOWEST:g}..{HIGHEST:g}"))
    own = cell(row, "expanded_uncertainty", place, problems) / NORMAL
    shared = cell(row, "shared_uncertainty", place, problems, usual)
    if own < LEAST or shared < 0.0:
        problems.append(Problem("uncertainty_missing", place, row.get("expanded_uncertainty", ""), "> 0"))
    if max(own, shared) > MOST:
        problems.append(Problem("range", f"{place}, uncertainty", f"{max(own * NORMAL, shared):g}", f"<= {MOST:g}"))
    return Visit(_day(row.get("sampled_at", ""), place, problems), content, own, shared, row.get("contributor", ""))


def _day(text: str, place: str, problems: list[Problem]) -> float:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        problems.append(Problem("not_a_time", f"{place}, sampled_at", text))
        return math.nan
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp() / DAY


def _as_json(source: str, figures: Figures, guessed: float | None) -> dict[str, Any]:
    answer = figures.estimate
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
        "changes": [{"at": _moment(change.at), "direction": change.direction} for change in figures.changes],
        "wrong": [_moment(at) for at in figures.wrong],
        "season_uncertainty": answer.season_uncertainty,
        "guessed_shared_uncertainty": guessed,
    }


def _as_text(source: str, figures: Figures) -> str:
    answer = figures.estimate
    low, high = answer.next_fill
    changes = "".join(f", {WAYS[change.direction]} since {_moment(change.at)[:10]}" for change in figures.changes[-1:])
    return (
        f"{source}: typical {answer.typical:.1f} % (V/V), deliveries scatter by {answer.tau:.1f} "
        f"({answer.tau_interval[0]:.1f} to {answer.tau_interval[1]:.1f}), next fill {low:.1f} to {high:.1f} (90 %), "
        f"{answer.visits} visits by {answer.contributors}{changes}{_wrong(figures)}"
    )


def _wrong(figures: Figures) -> str:
    days = ", ".join(_moment(at)[:10] for at in figures.wrong)
    return f"; treated as gross errors: {days}" if days else ""


def _guess(guessed: float | None) -> list[str]:
    """The default that was used because the file does not state it."""
    if guessed is None:
        return []
    return [
        f"Shared uncertainty not given; estimated at {guessed:.1f} points (standard). Set it with --shared; 0: none."
    ]


def _moment(day: float) -> str:
    return datetime.fromtimestamp(day * DAY, UTC).isoformat().replace("+00:00", "Z")
