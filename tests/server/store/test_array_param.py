"""A list of texts as one statement parameter: any length, any text, using the index."""

import pytest
from sqlalchemy import select

from splitline.store.array_param import among
from splitline.store.driver import add, fetch
from splitline.store.engine import Store
from splitline.store.schema import departures

NAMES = ["a", "B", "it's", 'a "quoted" \\ one', "é – 雪 🜁", "a,b", "[1]", ""]
CHOSEN = select(departures.c.id).where(among(departures.c.id, "ids"))


@pytest.fixture
async def filled(store: Store) -> Store:
    async with store.write() as connection:
        await add(connection, departures, [(name, "XX-1") for name in [*NAMES, "another", "A"]])
    return store


async def test_any_text_is_found(filled: Store) -> None:
    async with filled.read() as connection:
        assert sorted(name for (name,) in await fetch(connection, CHOSEN, ids=NAMES)) == sorted(NAMES)
        assert [*(await fetch(connection, CHOSEN, ids={"A", "missing"}))[0]] == ["A"]


async def test_more_texts_than_statement_parameters_are_found(filled: Store) -> None:
    many = [f"missing {number}" for number in range(70_000)]
    async with filled.read() as connection:
        assert [name for (name,) in await fetch(connection, CHOSEN, ids=[*many, "another"])] == ["another"]


async def test_an_empty_list_finds_nothing(filled: Store) -> None:
    async with filled.read() as connection:
        assert await fetch(connection, CHOSEN, ids=[]) == []


async def test_texts_are_looked_up_by_the_index(store: Store) -> None:
    """Also on PostgreSQL while it has no statistics."""
    texts = [str(number) for number in range(1000)]
    explain, value = ("EXPLAIN QUERY PLAN", "[]") if store.on_sqlite else ("EXPLAIN", texts)
    async with store.read() as connection:
        said = str(CHOSEN.compile(dialect=connection.dialect))
        plan = [str(row[-1]) for row in await connection.rows(f"{explain} {said}", [value])]
    found_by = "SEARCH departures USING COVERING INDEX sqlite_autoindex_departures_1 (id=?)"
    assert any(found_by in step or "Index Only Scan using pk_departures" in step for step in plan), plan
    assert not any("SCAN departures" in step or "Seq Scan" in step for step in plan), plan
