"""How far the device's clock was off when a record was sent."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add it to sources and tests; of what came before it is not known."""
    for table in ("sources", "tests"):
        op.add_column(table, sa.Column("clock_skew", sa.Double))


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")
