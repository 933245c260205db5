"""PostgreSQL can partition every table that has a region by it, and nothing else notices."""

from collections.abc import AsyncIterator
from datetime import UTC, datetime
from pathlib import Path

import asyncpg
import pytest

from helpers.examples import IN_FR_15, person, reading, retraction, source, texts
from helpers.stored_rows import rows
from splitline.config import settings
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store.engine import Store
from splitline.store.migrate import migrate
from splitline.store.schema import metadata

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
PARTS = 4
WITH_REGION = [table for table in metadata.sorted_tables if "region" in table.columns]


@pytest.fixture
async def parted(postgresql_url: str) -> AsyncIterator[Store]:
    """A database partitioned by region, as a cluster would spread it over several machines."""
    connection = await asyncpg.connect(postgresql_url)
    await connection.execute("CREATE DATABASE parted")
    url = f"{postgresql_url.rsplit('/', 1)[0]}/parted"
    store = Store(settings({"database": url}, {}).database)
    await migrate(store)
    inside = await asyncpg.connect(url)
    for table in (table.name for table in WITH_REGION):
        await inside.execute(f"""
            ALTER TABLE {table} RENAME TO whole;
            CREATE TABLE {table} (LIKE whole INCLUDING ALL) PARTITION BY HASH (region);
            DROP TABLE whole CASCADE;
        """)
        for part in range(PARTS):
            how = f"FOR VALUES WITH (MODULUS {PARTS}, REMAINDER {part})"
            await inside.execute(f"CREATE TABLE {table}_{part} PARTITION OF {table} {how}")
    for table in WITH_REGION:
        for key in table.foreign_key_constraints:
            own, other = ", ".join(key.column_keys), ", ".join(each.column.name for each in key.elements)
            await inside.execute(
                f"ALTER TABLE {table.name} ADD FOREIGN KEY ({own}) REFERENCES {key.referred_table.name} ({other})"
                " DEFERRABLE INITIALLY DEFERRED"
            )
    await inside.close()
    yield store
    await store.close()
    await connection.execute("DROP DATABASE parted WITH (FORCE)")
    await connection.close()


def test_every_growing_table_has_region_in_its_key() -> None:
    assert {"tests", "sources", "test_photos", "source_figures"} <= {table.name for table in WITH_REGION}
    for table in WITH_REGION:
        assert "region" in table.primary_key.columns, table.name


async def test_a_partitioned_database_works_like_a_whole_one(parted: Store, tmp_path: Path) -> None:
    intake = Intake(parted, regions(), Photos(str(tmp_path), parted))
    first = [source(1), source(2, IN_FR_15), *(reading(n, at=1 + n % 2) for n in range(8))]
    answers = await intake.receive(person(1), texts(*first), NOW)
    assert [answer.status for answer in answers] == ["stored"] * len(first)
    again = [source(1, IN_FR_15, revision=2), retraction(reading(1, at=2)), reading(2, at=1)]
    answers = await intake.receive(person(1), texts(*again), NOW)
    assert [answer.status for answer in answers] == ["replaced", "replaced", "known"]
    found = await rows(parted)
    assert {row.id for row in found} == {record["id"] for record in first}
    assert {row.region for row in found} == {"FR-15"}, "the tests moved with their source into its new region"
