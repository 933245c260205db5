"""`splitline review`: what waits for a moderator, and what a moderator decides."""

import argparse
import getpass
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime

from msgspec import Struct, json

from splitline import moderation
from splitline.commands import data
from splitline.moderation import Moderator
from splitline.reviewing import Waiting, WaitingSource, WaitingTest, waiting
from splitline.store.engine import Store
from splitline.store.rows import Row, SourceRow

Decide = Callable[[Store, Moderator], Awaitable[Row]]


class Decided(Struct, frozen=True, kw_only=True):
    """What became of a record."""

    id: str
    kind: str
    revision: int
    sequence: int
    state: str
    into: str | None


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command, its decisions and their options."""
    parser = commands.add_parser(
        "review",
        help="list, release and withhold held records; merge sources",
        description="A moderator's decisions. Each is kept with who made it, when and why.",
    )
    _options(parser, None)
    parser.set_defaults(run=_list)
    decisions = parser.add_subparsers(metavar="DECISION")
    _options(decisions.add_parser("list", help="what waits (without a decision, too)"), argparse.SUPPRESS)
    for name, run, what in (
        ("release", _release, "let a held or withheld record count"),
        ("withhold", _withhold, "take a record out of lists and figures, its later revisions too"),
    ):
        one = _decision(decisions, name, what, run)
        one.add_argument("id", metavar="ID", help="of a test or a source")
    merge = _decision(decisions, "merge", "let one source stand for another", _merge)
    merge.add_argument("source", metavar="FROM", help="the source that leaves the lists")
    merge.add_argument("into", metavar="INTO", help="the source that stands for it from now on")
    unmerge = _decision(decisions, "unmerge", "undo a merge", _unmerge)
    unmerge.add_argument("source", metavar="FROM", help="the source that left the lists")


def _decision(
    decisions: "argparse._SubParsersAction[argparse.ArgumentParser]",
    name: str,
    what: str,
    run: Callable[[argparse.Namespace], int],
) -> argparse.ArgumentParser:
    parser = decisions.add_parser(name, help=what)
    parser.add_argument("--why", default="", metavar="TEXT", help="kept with the decision, told to the contributor")
    parser.add_argument("--by", metavar="NAME", help="who decides (the user of this computer)")
    _options(parser, argparse.SUPPRESS)
    parser.set_defaults(run=run)
    return parser


def _options(parser: argparse.ArgumentParser, default: object) -> None:
    data.add_options(parser, default)
    parser.add_argument("--json", action="store_true", default=default or False, help="print one JSON object")


def _list(chosen: argparse.Namespace) -> int:
    found = data.on_store(chosen, waiting)
    print(json.encode(found).decode() if chosen.json else _as_text(found))
    return 0


def _release(chosen: argparse.Namespace) -> int:
    return _decide(chosen, lambda store, by: moderation.release(store, chosen.id, by))


def _withhold(chosen: argparse.Namespace) -> int:
    return _decide(chosen, lambda store, by: moderation.withhold(store, chosen.id, by))


def _merge(chosen: argparse.Namespace) -> int:
    return _decide(chosen, lambda store, by: moderation.merge(store, chosen.source, chosen.into, by))


def _unmerge(chosen: argparse.Namespace) -> int:
    return _decide(chosen, lambda store, by: moderation.unmerge(store, chosen.source, by))


def _decide(chosen: argparse.Namespace, decide: Decide) -> int:
    by = Moderator((chosen.by or getpass.getuser())[:80], datetime.now(UTC), chosen.why)
    row = data.on_store(chosen, lambda store: decide(store, by))
    source = isinstance(row, SourceRow)
    decided = Decided(
        id=row.id,
        kind="source" if source else "test",
        revision=row.revision,
        sequence=row.sequence,
        state=row.state,
        into=row.into if isinstance(row, SourceRow) else None,
    )
    print(json.encode(decided).decode() if chosen.json else f"{decided.kind} {decided.id} is {_state(decided)} now.")
    return 0


def _state(decided: Decided) -> str:
    return f"merged into {decided.into}" if decided.into else decided.state


def _as_text(found: Waiting) -> str:
    lines = [*map(_test, found.tests), *map(_source, found.sources)]
    return "\n".join(lines) or "Nothing waits."


def _test(test: WaitingTest) -> str:
    head = (
        f"test {test.id}, {test.state}: {test.content:.1f} % (V/V) ± {test.expanded_uncertainty:.1f} at "
        f"{test.source_name} ({test.region}), {test.sampled_at:%Y-%m-%d %H:%M} UTC, by {test.contributor}"
    )
    return "\n".join([head, *(f"  {reason.code}: {reason.sentence}" for reason in test.reasons)])


def _source(source: WaitingSource) -> str:
    head = f"source {source.id}, {source.state}: {source.name} ({source.region}), by {source.contributor}"
    return f"{head}\n  may be {source.similar_to} ({source.similar_name})" if source.similar_to else head
