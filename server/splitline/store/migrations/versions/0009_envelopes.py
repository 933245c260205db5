"""Changes as text, so that a page of them need not be made again for every phone."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add them; for what came before they are made when asked for."""
    for table in ("sources", "tests"):
        op.add_column(table, sa.Column("envelope", sa.Text))


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")
