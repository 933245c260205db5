"""Tests by source and region: what refers to a source is found without going through its region."""

from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Put the region into the index by source."""
    op.create_index("ix_tests_source_region_sampled_at", "tests", ["source", "region", "sampled_at"])
    op.drop_index("ix_tests_source_sampled_at", "tests")


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")
