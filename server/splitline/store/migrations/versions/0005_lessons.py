"""What regions teach, and whose tube a test was made in."""

import sqlalchemy as sa
from alembic import op

from splitline.store.types import Instant

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the lessons; figures of the earlier form go, the upkeep computes them again."""
    op.create_table(
        "region_lessons",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("tests", sa.Integer, nullable=False),
        sa.Column("lessons", sa.Text, nullable=False),
        sa.Column("learned_at", Instant, nullable=False),
    )
    op.add_column("tests", sa.Column("tube", sa.String(36)))
    op.drop_table("source_figures")
    op.create_table(
        "source_figures",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("source", sa.String(36), primary_key=True),
        sa.Column("tests", sa.Integer, nullable=False),
        sa.Column("figures", sa.Text, nullable=False),
    )


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")
