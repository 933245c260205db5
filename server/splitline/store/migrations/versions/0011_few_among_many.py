"""What is few among many is found without the many: pictures that leave, and the standing sources of each region."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add indexes of some rows only."""
    _index_some("ix_photos_leaving", "photos", ["digest"], "leaving")
    _index_some("ix_sources_standing", "sources", ["region", "state"], "state = 'counted'")


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")


def _index_some(name: str, table: str, columns: list[str], where: str) -> None:
    op.create_index(name, table, columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))
