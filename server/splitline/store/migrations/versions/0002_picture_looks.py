"""What pictures look like, and which of them no test names yet."""

import sqlalchemy as sa
from alembic import op

from splitline.store.types import Instant

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns and the table of keys; pictures kept before stay without a look, and are compared with none."""
    op.add_column("photos", sa.Column("look", sa.String(16)))
    op.add_column("photos", sa.Column("unnamed_since", Instant))
    op.create_index("ix_photos_unnamed_since", "photos", ["unnamed_since"])
    op.create_table(
        "photo_bands",
        sa.Column("key", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("digest", sa.String(64), primary_key=True),
    )
    op.create_index("ix_photo_bands_digest", "photo_bands", ["digest"])


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")
