"""An operator's own table of exchange between the layers, a JSON file like `chemistry/exchange.json`."""

import json
from pathlib import Path

from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.errors import Problem, Unusable


def read_exchange(path: Path | None) -> Exchange:
    """Return the table in the file, or the built-in one without a path. Raises `Unusable` if it has no such table."""
    if path is None:
        return BUILT_IN
    try:
        table = json.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else "not JSON in UTF-8"
        raise Unusable([Problem("exchange_unreadable", str(path), reason)]) from fault
    return Exchange.of(table)
