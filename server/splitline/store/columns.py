"""Building blocks of the tables in `schema.py`."""

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

# For tables that are little more than their key: SQLite stores the rows in the key's index, without a second copy.
IN_KEY: dict[str, Any] = {"sqlite_with_rowid": False}


def identifier(name: str) -> Column[str]:
    """Return an id column of the primary key."""
    return Column(name, String(36), primary_key=True)


def region() -> Column[str]:
    """Return the region column of the primary key."""
    return Column("region", String(6), primary_key=True)


def record_columns() -> list[Column[object]]:
    """The columns that sources and tests share."""
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
    """An index; `only`: the condition of a partial index, which queries must repeat literally."""
    where = text(only) if only else None
    return Index(name, *columns, sqlite_where=where, postgresql_where=where)
