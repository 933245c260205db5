"""Somebody asks for what is known of their own tubes, in whatever region."""

from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the index by contributor."""
    op.create_index("ix_tube_offsets_contributor", "tube_offsets", ["contributor"])


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")
