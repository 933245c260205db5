"""A table of one's own, of what the layers exchange, from a JSON file with the fields of `chemistry/exchange.json`."""

import json
from pathlib import Path

from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.errors import Problem, Unusable


def read_exchange(path: Path | None) -> Exchange:
    """Return the table, the built-in one without a path. Raises `Unusable` when the file holds no such table."""
    if path is None:
        return BUILT_IN
    try:
        table = json.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else "no JSON in UTF-8"
        raise Unusable([Problem("exchange_unreadable", str(path), reason)]) from fault
    return Exchange.of(table)
