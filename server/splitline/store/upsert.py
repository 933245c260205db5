"""Writing rows in place of those with the same keys, in one statement on either database."""

from collections.abc import Sequence

from sqlalchemy import Table
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.ext.asyncio import AsyncConnection


async def put(connection: AsyncConnection, table: Table, rows: Sequence[dict[str, object]]) -> None:
    """Write rows, each with all columns of the table; where its key is taken, the row there becomes this one."""
    if not rows:
        return
    make = sqlite.insert if connection.dialect.name == "sqlite" else postgresql.insert
    statement = make(table)
    keys = [column.name for column in table.primary_key]
    news = {column.name: statement.excluded[column.name] for column in table.columns if column.name not in keys}
    await connection.execute(statement.on_conflict_do_update(index_elements=keys, set_=news), rows)
