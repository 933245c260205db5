"""Every row of the security table with a few cases; `table.py` tries thousands."""

from pathlib import Path

import pytest

from security.rows import ROWS, Row


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.run.__name__)
def test_the_security_claim_holds(row: Row, tmp_path: Path) -> None:
    assert row.run(tmp_path / "data", row.few) >= max(20, row.few)
