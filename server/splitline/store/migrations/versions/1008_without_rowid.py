"""Tables that are little more than their key store their rows in its index (SQLite); visits are ordered by day."""

import sqlalchemy as sa
from alembic import op

revision = "1008"
down_revision = "1007"
branch_labels = None
depends_on = None

TABLES = ("reports", "stale", "stale_visits", "visits", "contributor_weights", "tube_offsets")
BEFORE, NOW = "(region, source, day, contributor)", "(region, day, source, contributor)"
MADE = sa.text("SELECT sql FROM sqlite_master WHERE tbl_name = :name AND sql IS NOT NULL ORDER BY type = 'index'")


def upgrade() -> None:
    """Rebuild the tables on SQLite; PostgreSQL always stores rows and keys separately."""
    op.drop_index("ix_visits_region_month", "visits")
    if op.get_bind().dialect.name == "sqlite":
        for table in TABLES:
            _without_rowid(op.get_bind(), table)
    else:
        op.execute(f"ALTER TABLE visits DROP CONSTRAINT pk_visits, ADD CONSTRAINT pk_visits PRIMARY KEY {NOW}")


def _without_rowid(connection: sa.Connection, name: str) -> None:
    made, *indexes = connection.scalars(MADE, {"name": name}).all()
    for said in (
        f"ALTER TABLE {name} RENAME TO former",
        f"{made.replace(BEFORE, NOW)} WITHOUT ROWID",
        f"INSERT INTO {name} SELECT * FROM former",
        "DROP TABLE former",
        *indexes,
    ):
        connection.exec_driver_sql(said)


def downgrade() -> None:
    """Refuse: the way back is the backup made before the upgrade."""
    raise NotImplementedError("restore the backup made before the upgrade")
