"""Reads published values from fixtures/published, where each has its source beside it."""

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[2] / "fixtures" / "published"


def published(name: str) -> Any:
    """Return the content of fixtures/published/`name`.json."""
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))


def rows(groups: list[dict[str, Any]]) -> list[list[float]]:
    """Return the rows of all groups of one printed table."""
    return [row for group in groups for row in group["rows"]]
