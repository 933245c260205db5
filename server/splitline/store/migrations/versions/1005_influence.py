"""Days on which the server received tests from each contributor, and contributors' weights in each region."""

import sqlalchemy as sa
from alembic import op

revision = "1005"
down_revision = "1004"
branch_labels = None
depends_on = None

DAY = {
    "sqlite": "CAST(julianday(received_at) - 2440587.5 AS INTEGER)",
    "postgresql": "CAST(floor(extract(epoch FROM received_at) / 86400) AS INTEGER)",
}
"""Days since 1970-01-01 UTC."""


def upgrade() -> None:
    """Fill in the days from the counted tests; figures are recomputed, since the estimator has changed."""
    op.create_table(
        "reports",
        sa.Column("contributor", sa.String(16), primary_key=True),
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("day", sa.Integer, primary_key=True, autoincrement=False),
    )
    op.create_table(
        "contributor_weights",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("contributor", sa.String(16), primary_key=True),
        sa.Column("weight", sa.Double, nullable=False),
    )
    op.add_column("region_lessons", sa.Column("heaviest", sa.Double, nullable=False, server_default="1"))
    op.execute(
        f"INSERT INTO reports SELECT DISTINCT contributor, region, {DAY[op.get_bind().dialect.name]} FROM tests "
        "WHERE state = 'counted' AND sampled = 'pump'"
    )


def downgrade() -> None:
    """Refuse: the way back is the backup made before the upgrade."""
    raise NotImplementedError("restore the backup made before the upgrade")
