"""The queue of stale visits is in the order of changes, so that a push appends to it."""

import sqlalchemy as sa
from alembic import op

revision = "1009"
down_revision = "1008"
branch_labels = None
depends_on = None

COLUMNS = "since, region, source, contributor, day, at"


def upgrade() -> None:
    """Copy the queue into its new table."""
    op.create_table(
        "changed_visits",
        sa.Column("since", sa.BigInteger, primary_key=True, autoincrement=False),
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("source", sa.String(36), primary_key=True),
        sa.Column("contributor", sa.String(16), primary_key=True),
        sa.Column("day", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sqlite_with_rowid=False,
    )
    op.execute(f"INSERT INTO changed_visits ({COLUMNS}) SELECT {COLUMNS} FROM stale_visits")
    op.drop_table("stale_visits")


def downgrade() -> None:
    """Refuse: the way back is the backup made before the upgrade."""
    raise NotImplementedError("restore the backup made before the upgrade")
