"""What moderators decided."""

import sqlalchemy as sa
from alembic import op

from splitline.store.types import Instant

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the record of decisions."""
    op.create_table(
        "decisions",
        sa.Column("sequence", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.Column("action", sa.String(8), nullable=False),
        sa.Column("record", sa.String(36), nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("decided_by", sa.String(80), nullable=False),
        sa.Column("decided_at", Instant, nullable=False),
    )
    op.create_index("ix_decisions_record", "decisions", ["record"])


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")
