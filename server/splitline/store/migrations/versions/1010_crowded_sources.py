"""Two indexes of rare tests, and duplicates without a key, so that a crowded source costs a push no more."""

from alembic import op
from sqlalchemy import text

revision = "1010"
down_revision = "1009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Create indexes, and clear the keys of duplicates."""
    for name, condition in (
        ("ix_tests_doubted", "state = 'held' AND flags LIKE '%out_of_line%'"),
        ("ix_tests_from_cans", "state = 'counted' AND sampled <> 'pump'"),
    ):
        only = text(condition)
        op.create_index(name, "tests", ["source", "day"], sqlite_where=only, postgresql_where=only)
    op.execute("UPDATE tests SET twin_key = '' WHERE flags LIKE '%twin%' AND twin_key IS NOT NULL")


def downgrade() -> None:
    """Refuse: the way back is the backup made before the upgrade."""
    raise NotImplementedError("restore the backup made before the upgrade")
