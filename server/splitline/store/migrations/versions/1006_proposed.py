"""Waiting changes of sources, and the position that small moves are measured from."""

import sqlalchemy as sa
from alembic import op

revision = "1006"
down_revision = "1005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """At first no change is waiting, and small moves are measured from each source's current position."""
    op.add_column("sources", sa.Column("proposed", sa.Text))
    op.add_column("sources", sa.Column("settled_latitude", sa.Double))
    op.add_column("sources", sa.Column("settled_longitude", sa.Double))


def downgrade() -> None:
    """Refuse: the way back is the backup made before the upgrade."""
    raise NotImplementedError("restore the backup made before the upgrade")
