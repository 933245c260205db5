"""A later version of the server: a copy of its source with one more migration."""

import os
import shutil
from pathlib import Path

from splitline.store.schema import HEAD

TOP = Path(__file__).parents[2]
LATER = str(int(HEAD) + 1)
COLUMN = "later"
STEP = f'''
import sqlalchemy as sa
from alembic import op

revision = "{LATER}"
down_revision = "{HEAD}"


def upgrade() -> None:
    op.add_column("sources", sa.Column("{COLUMN}", sa.Integer, nullable=False, server_default="7"))
'''


def later_server(folder: Path) -> dict[str, str]:
    """Write that version to a folder and return the environment in which Python imports it as `splitline`."""
    package = folder / "server" / "splitline"
    shutil.copytree(TOP / "server" / "splitline", package, ignore=shutil.ignore_patterns("app", "__pycache__"))
    (folder / "pwa").symlink_to(TOP / "pwa")
    (package / "store" / "migrations" / "versions" / f"{LATER}_more.py").write_text(STEP, encoding="utf-8")
    schema = package / "store" / "schema.py"
    text = schema.read_text(encoding="utf-8")
    assert text.count(f'HEAD = "{HEAD}"') == 1
    schema.write_text(text.replace(f'HEAD = "{HEAD}"', f'HEAD = "{LATER}"'), encoding="utf-8")
    return {**os.environ, "PYTHONPATH": str(folder / "server")}
