"""Migration 1007 (public texts): afterwards old records look to everyone like newly sent ones."""

from typing import Any

from msgspec import json

from helpers.examples import IN_FR_15, Json, identifier, person, reading, retraction, source
from helpers.examples import texts as said
from helpers.stored_rows import rows
from server.concurrent_writers import NOW
from splitline import feed
from splitline.figures.recompute import recompute_all
from splitline.intake.intake import Intake
from splitline.store import sequence
from splitline.store.engine import Connection, Store
from splitline.store.migrate import migrate
from splitline.store.rows import Row, SourceRow

WEIGHED = {"id": identifier(0x2000001), "scale": "volume", "graduation": 1.0}
WEIGHED["calibration"] = [{"nominal": 50.0, "true": 50.2}, {"nominal": 100.0, "true": 100.1}]
LATE = {"sampled_at": "2026-01-01T00:30:00+02:00", "tested_at": "2026-01-01T01:00:00+02:00"}

CHANGE = feed.SourceChange | feed.TestChange
IN_KEYS = "SELECT count(*) FROM sqlite_master WHERE sql LIKE '%WITHOUT ROWID%'"
MOMENT = {True: "DATETIME", False: "TIMESTAMP WITH TIME ZONE"}
QUEUE = """CREATE TABLE stale_visits (
    region VARCHAR(6), source VARCHAR(36), contributor VARCHAR(16), day INTEGER, since BIGINT NOT NULL,
    stamp BIGINT NOT NULL, at {moment} NOT NULL, PRIMARY KEY (region, source, contributor, day))"""
# A duplicate had the key of the test that it repeats.
KEYED = f"""UPDATE tests SET twin_key = (SELECT twin_key FROM tests WHERE id = '{reading(4, at=1)["id"]}')
    WHERE id = '{identifier(99)}'"""
FORMER_KEY, NOW_KEY = "(region, source, day, contributor)", "(region, day, source, contributor)"


async def fill(intake: Intake) -> None:
    """Two people, two regions, a weighed tube, a test after New Year's Eve, one held and one taken back."""
    await intake.receive(person(1), said(source(1), source(2, IN_FR_15), reading(1, at=1, tube=WEIGHED)), NOW)
    await intake.receive(person(1), said(reading(2, at=2, **LATE), reading(3, at=1), retraction(reading(3, at=1))), NOW)
    await intake.receive(person(2), said(reading(4, at=1), {**reading(4, at=1), "id": identifier(99)}), NOW)


def as_before(row: Row) -> tuple[str, dict[str, Any]]:
    """A row as the previous version had it: its change up to the record, and the time of sampling."""
    change: Json = json.decode(row.public or "")
    change |= {"contributor": row.contributor, "received_at": row.received_at, "record": None}
    envelope = json.encode(change).decode().removesuffix("null}")
    if isinstance(row, SourceRow) or not row.record:
        return envelope, {}
    moment = json.decode(row.record, type=dict[str, Any])["sampled_at"]
    assert row.day
    return envelope, {"sampled_at": moment, "month": "2000-01", "day": row.day - 1}


async def back(store: Store) -> None:
    """Turn the tables back into those of version 1006."""
    kept = await rows(store)
    async with store.exclusive() as connection:
        for table in ("sources", "tests"):
            await connection.run(f"ALTER TABLE {table} RENAME COLUMN public TO envelope")
        for row in kept:
            envelope, times = as_before(row)
            table = "sources" if isinstance(row, SourceRow) else "tests"
            values = {"envelope": envelope} | times
            what = ", ".join(f"{name} = {literal(value)}" for name, value in values.items())
            await connection.run(f"UPDATE {table} SET {what} WHERE id = '{row.id}'")
        await connection.run("UPDATE visits SET day = day - 1")
        await connection.run("DROP TABLE changed_visits")
        await connection.run(QUEUE.format(moment=MOMENT[store.on_sqlite]))
        if store.on_sqlite:
            await with_rowids(connection)
        for index in ("ix_tests_doubted", "ix_tests_from_cans"):
            await connection.run(f"DROP INDEX {index}")
        await connection.run(KEYED)
        await connection.run("CREATE INDEX ix_visits_region_month ON visits (region, month)")
        await connection.run("UPDATE alembic_version SET version_num = '1006'")


async def with_rowids(connection: Connection) -> None:
    """Keep rows apart from their keys, as up to version 1007."""
    for name, made in await connection.rows("SELECT name, sql FROM sqlite_master WHERE sql LIKE '%WITHOUT ROWID'"):
        asked = f"SELECT sql FROM sqlite_master WHERE tbl_name = '{name}' AND type = 'index' AND sql IS NOT NULL"
        indexes = [sql for (sql,) in await connection.rows(asked)]
        await connection.run(f"ALTER TABLE {name} RENAME TO later")
        await connection.run(made.replace("WITHOUT ROWID", "").replace(NOW_KEY, FORMER_KEY))
        await connection.run(f"INSERT INTO {name} SELECT * FROM later")
        await connection.run("DROP TABLE later")
        for sql in indexes:
            await connection.run(sql)


def literal(value: object) -> str:
    return str(value) if isinstance(value, int) else "'" + str(value).replace("'", "''") + "'"


async def test_stored_records_are_published_like_new_ones(intake: Intake, store: Store) -> None:
    await fill(intake)
    expected = await rows(store)
    async with store.read() as connection:
        before = await sequence.head(connection)
    await back(store)
    await migrate(store)
    for row, wanted in zip(await rows(store), expected, strict=True):
        assert json.decode(row.public or "", type=CHANGE) == json.decode(wanted.public or "", type=CHANGE)
        assert {name: getattr(row, name) for name in row.__struct_fields__ if name != "public"} == {
            name: getattr(wanted, name) for name in wanted.__struct_fields__ if name != "public"
        }
    async with store.read() as connection:
        head = await sequence.head(connection)
        kept = await connection.rows(IN_KEYS) if store.on_sqlite else [(6,)]
    assert (head.value, head.epoch != before.epoch) == (before.value, True)
    assert kept == [(6,)], "tables keep their rows in their keys again"


async def test_figures_use_whole_days_after_the_migration(intake: Intake, store: Store) -> None:
    await fill(intake)
    await back(store)
    await migrate(store)
    assert await recompute_all(store, NOW, keep=True) == []
