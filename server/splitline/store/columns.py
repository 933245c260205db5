"""What the tables in `schema.py` are put together from."""

from typing import Any

from sqlalchemy import BigInteger, Boolean, Column, Double, Index, Integer, MetaData, String, Text, text

from splitline.store.types import Codes, Instant

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(referred_table_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)

# Of a table that is little more than its key: SQLite keeps the rows in the index of the key, not both apart.
IN_KEY: dict[str, Any] = {"sqlite_with_rowid": False}


def identifier(name: str) -> Column[str]:
    """Return the column of an id that is part of the key."""
    return Column(name, String(36), primary_key=True)


def region() -> Column[str]:
    """Return the column of the region that is part of the key."""
    return Column("region", String(6), primary_key=True)


def record_columns() -> list[Column[object]]:
    """What sources and tests have alike."""
    return [
        Column("contributor", String(16), nullable=False),
        Column("revision", Integer, nullable=False),
        Column("sequence", BigInteger, nullable=False),
        Column("received_at", Instant, nullable=False),
        Column("retracted", Boolean, nullable=False),
        Column("state", String(8), nullable=False),
        Column("flags", Codes, nullable=False),
        Column("record", Text),
        Column("public", Text, nullable=False),
        Column("clock_skew", Double),
    ]


def index(name: str, *columns: str, only: str | None = None) -> Index:
    """An index; `only`: of the rows for which this holds, which a query has to say in the same words."""
    where = text(only) if only else None
    return Index(name, *columns, sqlite_where=where, postgresql_where=where)
