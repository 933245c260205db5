"""A table of one's own, of what the layers exchange, from a JSON file with the fields of `chemistry/exchange.json`."""

import json
from pathlib import Path

from splitline.chemistry.exchange import Exchange
from splitline.errors import Problem, Unusable


def read_exchange(path: Path) -> Exchange:
    """Return the table. Raises `Unusable` when the file cannot be read or holds no such table."""
    try:
        table = json.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else "no JSON in UTF-8"
        raise Unusable([Problem("exchange_unreadable", str(path), reason)]) from fault
    return Exchange.of(table)
