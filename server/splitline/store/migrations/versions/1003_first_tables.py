"""The first tables.

Earlier tables, from development, had the versions 0001 to 0011, 1001 and 1002; `migrate.py` refuses them.
"""

from secrets import token_hex
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "1003"
down_revision = None
branch_labels = None
depends_on = None

MOMENT = sa.DateTime(timezone=True)


def upgrade() -> None:
    """Create everything, and the single row of `sequence` with a new epoch."""
    _counter()
    _people()
    _sources()
    _tests()
    _photos()
    _stale()
    _visits()
    _figures_of_sources()
    _figures_of_regions()


def downgrade() -> None:
    """Refuse: the way back is the backup made before the upgrade."""
    raise NotImplementedError("restore the backup made before the upgrade")


def _key(name: str, length: int) -> sa.Column[Any]:
    return sa.Column(name, sa.String(length), primary_key=True)


def _number() -> sa.Column[Any]:
    """A number in the sequence of changes, as a key."""
    return sa.Column("sequence", sa.BigInteger, primary_key=True, autoincrement=False)


def _needed(name: str, form: Any) -> sa.Column[Any]:
    return sa.Column(name, form, nullable=False)


def _index(table: str, *columns: str, name: str = "", where: str | None = None) -> sa.Index:
    """An index, by default named after its columns; where: of some rows only."""
    only = sa.text(where) if where else None
    full = f"ix_{table}_{name or '_'.join(columns)}"
    return sa.Index(full, *columns, sqlite_where=only, postgresql_where=only)


def _refers(table: str, column: str, to: str) -> sa.ForeignKeyConstraint:
    """A foreign key within the region, checked at the end of the transaction."""
    return sa.ForeignKeyConstraint(
        [column, "region"],
        [f"{to}.id", f"{to}.region"],
        name=f"fk_{table}_{to}",
        deferrable=True,
        initially="DEFERRED",
    )


def _counter() -> None:
    table = op.create_table(
        "sequence",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        _needed("epoch", sa.String(16)),
        _needed("value", sa.BigInteger),
        _needed("invented", sa.Boolean),
        _needed("figures", sa.BigInteger),
        sa.Column("figures_at", MOMENT),
    )
    op.bulk_insert(table, [{"id": 1, "epoch": token_hex(8), "value": 0, "invented": False, "figures": 0}])


def _people() -> None:
    op.create_table(
        "contributors",
        _key("id", 16),
        _needed("secret_digest", sa.String(64)),
        _needed("first_seen_at", MOMENT),
    )
    op.create_table(
        "decisions",
        _number(),
        _needed("action", sa.String(8)),
        _needed("record", sa.String(36)),
        _needed("revision", sa.Integer),
        _needed("why", sa.Text),
        _needed("decided_by", sa.String(80)),
        _needed("decided_at", MOMENT),
        _index("decisions", "record"),
    )
    op.create_table(
        "merges",
        _number(),
        _needed("source", sa.String(36)),
        _needed("into", sa.String(36)),
        _needed("merged_by", sa.String(80)),
        _needed("merged_at", MOMENT),
        sa.Column("undone_at", MOMENT),
        _index("merges", "source"),
    )


def _record_columns() -> list[sa.Column[Any]]:
    return [
        _key("id", 36),
        _key("region", 6),
        _needed("contributor", sa.String(16)),
        _needed("revision", sa.Integer),
        _needed("sequence", sa.BigInteger),
        _needed("received_at", MOMENT),
        _needed("retracted", sa.Boolean),
        _needed("state", sa.String(8)),
        _needed("flags", sa.Text),
        sa.Column("record", sa.Text),
    ]


def _sources() -> None:
    op.create_table(
        "sources",
        *_record_columns(),
        sa.Column("latitude", sa.Double),
        sa.Column("longitude", sa.Double),
        sa.Column("into", sa.String(36)),
        sa.Column("clock_skew", sa.Double),
        sa.Column("band", sa.Integer),
        _needed("envelope", sa.Text),
        *(
            _index("sources", *columns)
            for columns in (["sequence"], ["into"], ["region", "sequence"], ["band", "longitude"])
        ),
        _index("sources", "sequence", name="flagged", where="flags <> ''"),
        _index("sources", "region", "state", name="standing", where="state = 'counted'"),
    )
    op.create_table("departures", _key("id", 36), _key("region", 6))


def _tests() -> None:
    op.create_table(
        "tests",
        *_record_columns(),
        sa.Column("source", sa.String(36)),
        sa.Column("sampled", sa.String(8)),
        sa.Column("sampled_at", MOMENT),
        sa.Column("month", sa.String(7)),
        sa.Column("day", sa.Integer),
        sa.Column("twin_key", sa.String(32)),
        sa.Column("content", sa.Double),
        sa.Column("expanded_uncertainty", sa.Double),
        sa.Column("own_uncertainty", sa.Double),
        sa.Column("shared_uncertainty", sa.Double),
        sa.Column("coverage_factor", sa.Double),
        sa.Column("tube", sa.String(36)),
        sa.Column("clock_skew", sa.Double),
        _needed("envelope", sa.Text),
        _refers("tests", "source", "sources"),
        *(_index("tests", *columns) for columns in (["sequence"], ["region", "sequence"])),
        _index("tests", "source", "region", "contributor", "day", "twin_key", name="read"),
        _index("tests", "source", name="aside", where="state <> 'counted'"),
    )


def _photos() -> None:
    op.create_table(
        "test_photos",
        _key("test", 36),
        _key("region", 6),
        _key("digest", 64),
        _refers("test_photos", "test", "tests"),
        _index("test_photos", "digest"),
    )
    op.create_table(
        "photos",
        _key("digest", 64),
        _needed("contributor", sa.String(16)),
        _needed("media_type", sa.String(16)),
        _needed("bytes", sa.Integer),
        _needed("received_at", MOMENT),
        _needed("leaving", sa.Boolean),
        sa.Column("look", sa.String(16)),
        sa.Column("unnamed_since", MOMENT),
        _index("photos", "unnamed_since"),
        _index("photos", "digest", name="leaving", where="leaving"),
    )
    op.create_table(
        "photo_bands",
        sa.Column("key", sa.Integer, primary_key=True, autoincrement=False),
        _key("digest", 64),
        _index("photo_bands", "digest"),
    )


def _stale() -> None:
    def since() -> list[sa.Column[Any]]:
        return [_needed("since", sa.BigInteger), _needed("stamp", sa.BigInteger), _needed("at", MOMENT)]

    visit = (_key("region", 6), _key("source", 36), _key("contributor", 16), _day())
    op.create_table(
        "stale_visits",
        *visit,
        *since(),
        _index("stale_visits", "since", "region", "source", "contributor", "day", name="oldest"),
    )
    refreshing = op.create_table("refreshing", sa.Column("id", sa.Integer, primary_key=True, autoincrement=False))
    op.bulk_insert(refreshing, [{"id": 1}])
    op.create_table("stale", _key("kind", 6), _key("key", 36), *since(), _index("stale", "kind", "since"))


def _visits() -> None:
    op.create_table(
        "visits",
        _key("region", 6),
        _key("source", 36),
        _day(),
        _key("contributor", 16),
        _needed("month", sa.String(7)),
        _needed("tube", sa.String(36)),
        _needed("sampled_at", MOMENT),
        _needed("content", sa.Double),
        _needed("own_variance", sa.Double),
        _needed("shared_uncertainty", sa.Double),
        _needed("tests", sa.Integer),
        _index("visits", "source", "day"),
        _index("visits", "region", "month"),
    )


def _day() -> sa.Column[Any]:
    return sa.Column("day", sa.Integer, primary_key=True, autoincrement=False)


def _figures_of_sources() -> None:
    op.create_table(
        "source_figures",
        _key("source", 36),
        _key("region", 6),
        _needed("tests", sa.Integer),
        _needed("day", sa.Integer),
        _needed("figures", sa.Text),
    )
    op.create_table(
        "tube_offsets",
        _key("region", 6),
        _key("contributor", 16),
        _key("tube", 36),
        _needed("offset", sa.Double),
        _needed("uncertainty", sa.Double),
        _needed("sources", sa.Integer),
        _index("tube_offsets", "contributor"),
    )


def _figures_of_regions() -> None:
    op.create_table(
        "region_months",
        _key("region", 6),
        _key("month", 7),
        _needed("sources", sa.Integer),
        _needed("tests", sa.Integer),
        _needed("contributors", sa.Integer),
        _needed("centre", sa.Double),
        sa.Column("spread", sa.Double),
        _needed("contents", sa.Text),
    )
    op.create_table(
        "region_lessons",
        _key("region", 6),
        _needed("tests", sa.Integer),
        _needed("contributors", sa.Integer),
        _needed("lessons", sa.Text),
        _needed("season", sa.Text),
        _needed("day", sa.Integer),
        _needed("learned_at", MOMENT),
    )
