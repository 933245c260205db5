"""`splitline steadiness`: source statistics from a file of visits."""

import argparse
import json
import math
from collections import defaultdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from splitline.chemistry.coverage import NORMAL
from splitline.commands.options import VISIT_COLUMNS
from splitline.commands.progress import bar
from splitline.commands.table import Cells, cell, rows
from splitline.errors import Problem, Unusable
from splitline.statistics.instrument_bias import spread_of
from splitline.statistics.priors import Figures, figures_of, priors_of, readings_of, season_of
from splitline.statistics.visits import Visit, visits_of

DAY = 86400.0
# Limits on contents and standard uncertainties of a visit, % (V/V); as in records.
LOWEST, HIGHEST, LEAST, MOST = -50.0, 150.0, 1e-6, 100.0
# Usual standard uncertainty shared by visits with one tube, %: three components of a usual tube's budget (marks,
# water in the fuel, temperature) of about 0.4 each, from memory. A guess from the file is shrunk towards it.
USUAL_SHARED = 0.7
NUMBERS = ("content", "expanded_uncertainty", "shared_uncertainty")
WAYS = {"up": "higher", "down": "lower"}
Sources = dict[str, list[Visit]]


def run(args: argparse.Namespace) -> int:
    """Print the sources, steadiest first, as of the last visit; all sources in the file count as one region.

    Raises `Unusable` with every problem of the file.
    """
    by_source = {source: visits_of(readings) for source, readings in read(args.file).items()}
    now = max((visit.sampled_at for visits in by_source.values() for visit in visits), default=0.0)
    known, guessed = _figures(by_source, args.shared, now)
    ranked = sorted(known.items(), key=lambda item: (item[1].estimate.tau_bound, -item[1].estimate.evidence, item[0]))
    if args.json:
        print(json.dumps([_as_json(source, answer, guessed) for source, answer in ranked]))
    else:
        print("\n".join([*(_as_text(source, answer) for source, answer in ranked), *_guess(guessed)]))
    return 0


def _figures(by_source: Sources, shared: float | None, now: float) -> tuple[dict[str, Figures], float | None]:
    """The figures of each source, with priors from all of them; and the shared uncertainty if it was guessed."""
    with bar("comparing the sources", None):
        by_source, guessed = (filled(by_source, shared), None) if shared is not None else guess(by_source)
        priors = priors_of(by_source)
    known: dict[str, Figures] = {}
    with bar("figures", len(by_source)) as done:
        for count, (source, visits) in enumerate(by_source.items(), start=1):
            if (figures := figures_of(visits, priors, now)) is not None:
                known[source] = figures
            done(count)
    return known, guessed


def filled(by_source: Sources, shared: float) -> Sources:
    """Return the visits with this shared uncertainty, standard, %, where none is stated."""
    return {
        source: [v._replace(shared_uncertainty=shared) if math.isnan(v.shared_uncertainty) else v for v in visits]
        for source, visits in by_source.items()
    }


def guess(by_source: Sources) -> tuple[Sources, float | None]:
    """Return the visits with a guess where no shared uncertainty is stated, and the guess, standard, %, if needed.

    What the visits of one contributor share shows where several tested the same source.
    """
    if not any(math.isnan(visit.shared_uncertainty) for visits in by_source.values() for visit in visits):
        return by_source, None
    usual = filled(by_source, USUAL_SHARED)
    guessed = spread_of(readings_of(usual, season_of(usual))[0], USUAL_SHARED)
    return filled(by_source, guessed), guessed


def read(path: Path) -> Sources:
    """Return the visits in a file by source, in the file's order; the shared uncertainty is NaN where not stated.

    Raises `Unusable` with every problem.
    """
    found = rows(path, VISIT_COLUMNS, NUMBERS)
    problems: list[Problem] = []
    by_source: defaultdict[str, list[Visit]] = defaultdict(list)
    for line, row in found:
        by_source[row.get("source", "")].append(_visit(row, f"row {line}", problems))
    if problems:
        raise Unusable(problems)
    return dict(by_source)


def _visit(row: Cells, place: str, problems: list[Problem]) -> Visit:
    content = cell(row, "content", place, problems)
    if not math.isnan(content) and not LOWEST <= content <= HIGHEST:
        problems.append(Problem("range", f"{place}, content", f"{content:g}", f"{LOWEST:g}..{HIGHEST:g}"))
    own = cell(row, "expanded_uncertainty", place, problems) / NORMAL
    shared = cell(row, "shared_uncertainty", place, problems, math.nan)
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
    """The guess that was used because the file does not state it."""
    if guessed is None:
        return []
    return [
        f"Shared uncertainty not given; guessed from this file: {guessed:.1f} points (standard). "
        "Set it with --shared; 0: none."
    ]


def _moment(day: float) -> str:
    return datetime.fromtimestamp(day * DAY, UTC).isoformat().replace("+00:00", "Z")
