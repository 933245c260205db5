"""`splitline refresh`: recomputes all figures from the records, and reports what changed."""

import argparse
from datetime import UTC, datetime

from msgspec import json

from splitline.commands import data
from splitline.figures.recompute import Difference, recompute_all


def run(chosen: argparse.Namespace) -> int:
    """Recompute everything; with `--check` nothing is saved, and 1 means that something differed."""
    found = data.on_store(chosen, lambda store: recompute_all(store, datetime.now(UTC), keep=not chosen.check))
    print(json.encode(found).decode() if chosen.json else _as_text(found))
    return 1 if chosen.check and found else 0


def _as_text(found: list[Difference]) -> str:
    lines = [f"{one.table} {' '.join(one.key)} was {one.was} and is {one.now}." for one in found]
    return "\n".join(lines) or "Nothing differed."
