"""Published constants, stored as JSON beside the modules so that the field app loads the same files."""

import json
from pathlib import Path
from typing import Any


def load(name: str) -> Any:
    """Return the constants in `name`.json of this folder; the file cites its publication."""
    return json.loads((Path(__file__).parent / f"{name}.json").read_text(encoding="utf-8"))
