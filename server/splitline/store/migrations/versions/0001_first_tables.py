"""The first tables."""

from secrets import token_hex

import sqlalchemy as sa
from alembic import op

from splitline.store.types import Codes, Instant

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Create everything, and the one row of `sequence` under a name of its own."""
    _counter()
    _people()
    _records()
    _pictures()
    _summaries()


def downgrade() -> None:
    """Refuse: the way back is the copy made before."""
    raise NotImplementedError("restore the copy made before the upgrade")


def _counter() -> None:
    table = op.create_table(
        "sequence",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("epoch", sa.String(16), nullable=False),
        sa.Column("value", sa.BigInteger, nullable=False),
        sa.Column("invented", sa.Boolean, nullable=False),
    )
    op.bulk_insert(table, [{"id": 1, "epoch": token_hex(8), "value": 0, "invented": False}])


def _people() -> None:
    op.create_table(
        "contributors",
        sa.Column("id", sa.String(16), primary_key=True),
        sa.Column("secret_digest", sa.String(64), nullable=False),
        sa.Column("first_seen_at", Instant, nullable=False),
    )


def _record_columns() -> list[sa.Column[object]]:
    return [
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("id", sa.String(36), primary_key=True),
        sa.Column("contributor", sa.String(16), nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("sequence", sa.BigInteger, nullable=False),
        sa.Column("received_at", Instant, nullable=False),
        sa.Column("retracted", sa.Boolean, nullable=False),
        sa.Column("state", sa.String(8), nullable=False),
        sa.Column("flags", Codes, nullable=False),
        sa.Column("record", sa.Text),
    ]


def _records() -> None:
    op.create_table(
        "sources",
        *_record_columns(),
        sa.Column("latitude", sa.Double),
        sa.Column("longitude", sa.Double),
    )
    for columns in (["id"], ["sequence"], ["latitude", "longitude"]):
        op.create_index(f"ix_sources_{'_'.join(columns)}", "sources", columns)
    op.create_table(
        "tests",
        *_record_columns(),
        sa.Column("source", sa.String(36)),
        sa.Column("sampled", sa.String(8)),
        sa.Column("sampled_at", Instant),
        sa.Column("month", sa.String(7)),
        sa.Column("twin_key", sa.String(32)),
        sa.Column("content", sa.Double),
        sa.Column("expanded_uncertainty", sa.Double),
        sa.Column("own_uncertainty", sa.Double),
        sa.Column("shared_uncertainty", sa.Double),
        sa.Column("coverage_factor", sa.Double),
        sa.ForeignKeyConstraint(
            ["region", "source"],
            ["sources.region", "sources.id"],
            name="fk_tests_sources",
            deferrable=True,
            initially="DEFERRED",
        ),
    )
    for columns in (
        ["id"],
        ["sequence"],
        ["source", "sampled_at"],
        ["region", "month"],
        ["region", "contributor"],
        ["contributor", "twin_key"],
    ):
        op.create_index(f"ix_tests_{'_'.join(columns)}", "tests", columns)
    op.create_table(
        "departures",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("id", sa.String(36), primary_key=True),
    )
    op.create_index("ix_departures_id", "departures", ["id"])


def _pictures() -> None:
    op.create_table(
        "test_photos",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("test", sa.String(36), primary_key=True),
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.ForeignKeyConstraint(
            ["region", "test"],
            ["tests.region", "tests.id"],
            name="fk_test_photos_tests",
            deferrable=True,
            initially="DEFERRED",
        ),
    )
    op.create_index("ix_test_photos_digest", "test_photos", ["digest"])
    op.create_table(
        "photos",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("contributor", sa.String(16), nullable=False),
        sa.Column("media_type", sa.String(16), nullable=False),
        sa.Column("bytes", sa.Integer, nullable=False),
        sa.Column("received_at", Instant, nullable=False),
        sa.Column("leaving", sa.Boolean, nullable=False),
    )


def _summaries() -> None:
    op.create_table(
        "source_figures",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("source", sa.String(36), primary_key=True),
        sa.Column("tests", sa.Integer, nullable=False),
        sa.Column("estimate", sa.Text, nullable=False),
    )
    op.create_table(
        "region_months",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("month", sa.String(7), primary_key=True),
        sa.Column("sources", sa.Integer, nullable=False),
        sa.Column("tests", sa.Integer, nullable=False),
        sa.Column("contributors", sa.Integer, nullable=False),
        sa.Column("centre", sa.Double, nullable=False),
        sa.Column("spread", sa.Double),
    )
    op.create_table(
        "region_contributors",
        sa.Column("region", sa.String(6), primary_key=True),
        sa.Column("contributor", sa.String(16), primary_key=True),
        sa.Column("tests", sa.Integer, nullable=False),
    )
