"""The version of the tube model behind each figure, and the figure from the previous model."""

import sqlalchemy as sa
from alembic import op

revision = "1004"
down_revision = "1003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Set the first model version on every figure; `intake/remeasure.py` then recomputes them."""
    op.add_column("sequence", sa.Column("model", sa.Integer, nullable=False, server_default="1"))
    op.add_column("tests", sa.Column("model", sa.Integer))
    op.add_column("tests", sa.Column("former", sa.Text))
    op.execute("UPDATE tests SET model = 1 WHERE content IS NOT NULL")


def downgrade() -> None:
    """Refuse: the way back is the backup made before the upgrade."""
    raise NotImplementedError("restore the backup made before the upgrade")
