"""`splitline refresh`: all figures once more from the bare records, and what that changes."""

import argparse
from datetime import UTC, datetime

from msgspec import json

from splitline.commands import data
from splitline.figures.anew import Difference, anew


def run(chosen: argparse.Namespace) -> int:
    """Compute everything anew; with `--check` nothing is kept, and 1 says that something differed."""
    found = data.on_store(chosen, lambda store: anew(store, datetime.now(UTC), keep=not chosen.check))
    print(json.encode(found).decode() if chosen.json else _as_text(found))
    return 1 if chosen.check and found else 0


def _as_text(found: list[Difference]) -> str:
    lines = [f"{one.table} {' '.join(one.key)} was {one.was} and is {one.now}." for one in found]
    return "\n".join(lines) or "Nothing differed."
