"""What regions teach, on both databases: the season, changes of level, and growth."""

from datetime import UTC, datetime, timedelta

from splitline import demo, learning
from splitline.intake import Intake
from splitline.learning import figures_in
from splitline.photos import Photos
from splitline.regions import regions
from splitline.statistics.lessons import Lessons
from splitline.store import figures, lessons, sequence, sources
from splitline.store.engine import Store
from splitline.store.migrate import migrate
from splitline.upkeep import keep_up

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


async def club(database_url: str, tmp_path) -> Store:
    """A store with the invented club in it."""
    store = Store(database_url)
    await migrate(store)
    await demo.fill(Intake(store, regions(), Photos(str(tmp_path / "photos"), store)), NOW)
    return store


async def known(store: Store) -> dict[str, object]:
    """Figures by the station's name."""
    async with store.read() as connection:
        taught = await lessons.due(connection, 0.0, NOW)
        rows = await sources.by_ids(connection, await sources.ids_in(connection, taught))
        kept = await figures.of_sources(connection, rows)
    return {learning.json.decode(rows[key].record)["name"]: figures_in(row) for key, row in kept.items()}


async def test_the_demo_is_read_as_it_was_made(database_url: str, tmp_path) -> None:
    """The unsteady station scatters most, the changes made are found and no other, winter is weaker than summer."""
    store = await club(database_url, tmp_path)
    async with store.read() as connection:
        taught = await learning.known(connection, ["FR-63", "FR-15", "FR-43", "FR-48", "FR-19"], [])
    found = await known(store)
    await store.close()
    assert set(taught) == {"FR-63", "FR-15", "FR-43", "FR-48", "FR-19"}
    for months in (lesson.months for lesson in taught.values()):
        assert months[0] < 0 < months[6]
    assert max(found, key=lambda name: found[name].estimate.tau) == "Pompe du Col venteux"
    moved = {name: [c.direction for c in figures.changes] for name, figures in found.items() if figures.changes}
    assert moved == {
        "Le Pont de basalte": ["down"],
        "Dépôt du Viaduc rouge": ["up"],
        "Relais de la Planèze": ["up"],  # Water: a tube takes it for ethanol.
    }


async def test_the_wrong_scale_is_known_to_its_region(database_url: str, tmp_path) -> None:
    """One member reads an uncorrected scale as a corrected one: about six points low, and nobody else."""
    store = await club(database_url, tmp_path)
    async with store.read() as connection:
        members = [who for (who,) in await connection.rows("SELECT contributor FROM region_contributors", [])]
        (taught,) = (await learning.known(connection, ["FR-63"], members)).values()
    await store.close()
    assert taught.offsets is not None
    low = [offset for offset in taught.offsets.values() if offset.offset < -3]
    assert len(low) == 1
    assert low[0].sources == 2


async def test_upkeep_learns_what_is_due_and_says_that_answers_changed(database_url: str, tmp_path) -> None:
    store = await club(database_url, tmp_path)
    async with store.read() as connection:
        before = (await sequence.head(connection)).value
    assert await keep_up(store, NOW) == []
    later = NOW + timedelta(days=8)
    assert len(await keep_up(store, later)) == 5
    async with store.read() as connection:
        after = (await sequence.head(connection)).value
        rows = await lessons.of_regions(connection, ["FR-63"])
    await store.close()
    assert after == before + 5
    assert rows["FR-63"].learned_at == later


async def test_a_region_with_few_tests_teaches_nothing() -> None:
    assert Lessons() == learning.NOTHING
    assert learning.NOTHING.months == (0.0,) * 12
