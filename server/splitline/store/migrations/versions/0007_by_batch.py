"""What makes the cost of a batch or a page its own: tallies that are added to, and the indexes that were missing."""

import json

import sqlalchemy as sa
from alembic import op

from splitline.position import band_of
from splitline.store.schema import ASIDE, FLAGGED

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add tables, columns and indexes, and fill what can be filled; months are tallied when next they are touched."""
    _tallies()
    _offsets()
    _bands()
    op.create_index("ix_sources_region_sequence", "sources", ["region", "sequence"])
    op.create_index("ix_tests_region_sequence", "tests", ["region", "sequence"])
    op.create_index("ix_test_photos_test", "test_photos", ["test"])
    op.create_index("ix_source_figures_source", "source_figures", ["source"])
    # The tests of a contributor are no longer counted again.
    op.drop_index("ix_tests_region_contributor", "tests")
    _index_some("ix_tests_aside", "tests", "source", ASIDE)
    _index_some("ix_sources_flagged", "sources", "sequence", FLAGGED)


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")


def _tallies() -> None:
    op.add_column("region_months", sa.Column("contents", sa.Text))
    op.create_table(
        "region_month_contributors",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("month", sa.String(7), primary_key=True),
        sa.Column("contributor", sa.String(16), primary_key=True),
        sa.Column("tests", sa.Integer, nullable=False),
    )


def _offsets() -> None:
    """Give each tube's offset a row of its own, out of the JSON of its region."""
    table = op.create_table(
        "tube_offsets",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("contributor", sa.String(16), primary_key=True),
        sa.Column("tube", sa.String(36), primary_key=True),
        sa.Column("offset", sa.Double, nullable=False),
        sa.Column("uncertainty", sa.Double, nullable=False),
        sa.Column("sources", sa.Integer, nullable=False),
    )
    bind = op.get_bind()
    for region, text in bind.execute(sa.text("SELECT region, lessons FROM region_lessons")).all():
        lessons = json.loads(text)
        rows = []
        for owner, offset in (lessons.pop("offsets", None) or {}).items():
            contributor, _, tube = owner.partition("/")
            rows.append({"region": region, "contributor": contributor, "tube": tube, **offset})
        if rows:
            op.bulk_insert(table, rows)
        statement = sa.text("UPDATE region_lessons SET lessons = :lessons WHERE region = :region")
        bind.execute(statement, {"lessons": json.dumps(lessons), "region": region})


def _bands() -> None:
    op.add_column("sources", sa.Column("band", sa.Integer))
    bind = op.get_bind()
    placed = bind.execute(sa.text("SELECT region, id, latitude FROM sources WHERE latitude IS NOT NULL")).all()
    if placed:
        statement = sa.text("UPDATE sources SET band = :band WHERE region = :region AND id = :id")
        bind.execute(statement, [{"band": band_of(lat), "region": region, "id": key} for region, key, lat in placed])
    op.drop_index("ix_sources_latitude_longitude", "sources")
    op.create_index("ix_sources_band_longitude", "sources", ["band", "longitude"])


def _index_some(name: str, table: str, column: str, where: str) -> None:
    op.create_index(name, table, [column], sqlite_where=sa.text(where), postgresql_where=sa.text(where))
