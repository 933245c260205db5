"""Sources that were merged into others."""

import sqlalchemy as sa
from alembic import op

from splitline.store.types import Instant

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the record of merges, and to each source the one that stands for it."""
    op.add_column("sources", sa.Column("into", sa.String(36)))
    op.create_index("ix_sources_into", "sources", ["into"])
    op.create_table(
        "merges",
        sa.Column("sequence", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.Column("source", sa.String(36), nullable=False),
        sa.Column("into", sa.String(36), nullable=False),
        sa.Column("merged_by", sa.String(80), nullable=False),
        sa.Column("merged_at", Instant, nullable=False),
        sa.Column("undone_at", Instant),
    )
    op.create_index("ix_merges_source", "merges", ["source"])


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")
