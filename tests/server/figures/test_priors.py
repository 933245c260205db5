"""Priors from regions, on both databases: season, changes of level, tube offsets, and the daily update."""

import asyncio
import shutil
from collections.abc import AsyncIterator, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from msgspec import json, structs

from server.conftest import ENGINES, sibling, statement, with_driver
from splitline.demo import scenario
from splitline.figures import figure_rows, priors
from splitline.figures.figure_rows import figures_in
from splitline.figures.recompute import recompute_all
from splitline.figures.schedule import Schedule, bring_up
from splitline.figures.worker import Here
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.statistics.season import unknown_of
from splitline.statistics.visits import Visit
from splitline.store import figure_values, figures, region_priors, sequence, sources
from splitline.store.engine import Store
from splitline.store.migrate import migrate

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
CLUB = ["FR-63", "FR-15", "FR-43", "FR-48", "FR-19"]


@pytest.fixture(scope="module", params=ENGINES)
def filled(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The URL of a database with the demo club's records and figures, filled once and only copied."""
    folder = tmp_path_factory.mktemp("club")
    url = f"sqlite:///{folder / 'club.sqlite3'}"
    if request.param == "postgresql":
        server = request.getfixturevalue("postgresql_url")
        asyncio.run(statement(server, "CREATE DATABASE club"))
        url = sibling(server, "club")

    async def fill() -> None:
        store = Store(with_driver(url))
        await migrate(store)
        await scenario.fill(Intake(store, regions(), Photos(str(folder / "photos"), store)), NOW)
        await bring_up(store, lambda: NOW)
        await store.close()

    asyncio.run(fill())
    return url


@pytest.fixture
def club_url(filled: str, request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of a copy of it."""
    if filled.startswith("sqlite"):
        shutil.copy(filled.removeprefix("sqlite:///"), tmp_path / "copy.sqlite3")
        yield with_driver(f"sqlite:///{tmp_path / 'copy.sqlite3'}")
        return
    server = request.getfixturevalue("postgresql_url")
    asyncio.run(statement(server, "CREATE DATABASE club_copy TEMPLATE club"))
    yield with_driver(sibling(server, "club_copy"))
    asyncio.run(statement(server, "DROP DATABASE club_copy WITH (FORCE)"))


@pytest.fixture
async def club(club_url: str) -> AsyncIterator[Store]:
    """A store with the demo club's records."""
    store = Store(club_url)
    yield store
    await store.close()


async def known(store: Store) -> dict[str, object]:
    """Figures by station name."""
    async with store.read() as connection:
        rows = await sources.by_ids(connection, await sources.ids_in(connection, CLUB))
        found = await figures.of_sources(connection, rows)
    return {json.decode(rows[key].record)["name"]: figures_in(row) for key, row in found.items()}


async def test_the_demo_is_estimated_as_it_was_made(club: Store) -> None:
    """The unsteady station scatters most, exactly the real changes are found, and winter is weaker than summer."""
    async with club.read() as connection:
        taught = await figure_rows.known(connection, CLUB, [])
    found = await known(club)
    for lesson in taught.values():
        winter, summer = lesson.season.deviations[1], lesson.season.deviations[13]
        assert winter < 0 < summer
    assert max(found, key=lambda name: found[name].estimate.tau) == "Pompe du Col venteux"
    moved = {name: [c.direction for c in figures.changes] for name, figures in found.items() if figures.changes}
    assert moved == {
        "Le Pont de basalte": ["down"],
        "Dépôt du Viaduc rouge": ["up"],
        "Relais de la Planèze": ["up"],  # Water: the tube reads it as ethanol.
    }


async def test_a_tube_with_the_wrong_scale_is_found_in_its_region(club: Store) -> None:
    """One member reads an uncorrected scale as a corrected one, about six points low; nobody else does."""
    async with club.read() as connection:
        offsets = await region_priors.offsets_in(connection, "FR-63")
    low = [offset for offset in offsets if offset.offset < -3]
    assert [offset.sources for offset in low] == [2]


async def test_figures_follow_the_season_every_day(club: Store) -> None:
    before = await known(club)
    async with club.read() as connection:
        first = await sequence.head(connection)
    later = NOW + timedelta(days=60)
    schedule = Schedule(club, Here(), lambda: later)
    await schedule.catch_up()
    async with club.read() as connection:
        head = await sequence.head(connection)
        taught = await region_priors.of_regions(connection, CLUB)
    after = await known(club)
    assert await recompute_all(club, later, keep=False) == []
    assert head.value == first.value, "no record changed"
    assert head.figures > first.figures, "but answers changed"
    assert {row.learned_at for row in taught.values()} == {later}
    assert all(after[name].estimate.typical != before[name].estimate.typical for name in before)


async def test_a_region_with_few_tests_gives_no_priors() -> None:
    few = [Visit(20500.0 + n, 80.0 + n, 0.5, 0.5, "a", "t") for n in range(9)]
    assert priors.learned({"one": few}, {}, 9, None) == priors.Learned(priors.NOTHING, (0.0,) * 24, {"a": 0.005})
    assert priors.learned({"one": few}, {}, 10, None).priors != priors.NOTHING
    # A season nobody has seen may be wrong by points, half a year on, and so is a level that was found then.
    assert unknown_of(priors.NOTHING.season, [20000.0], [1.0], 20182.0)[0] > 1.0


def test_priors_are_stored_in_tenths() -> None:
    visits = {
        name: [Visit(20000.0 + 9 * n, 70.0 + n % 7, 0.7, 0.5, who, who) for n in range(40) for who in "ab"]
        for name in ("one", "two")
    }
    found = priors.learned(visits, {}, 160, None)
    assert found.priors.offsets
    values = [*found.priors.season.deviations, *found.season, found.priors.prior_scale]
    values += [part for offset in found.priors.offsets.values() for part in (offset.offset, offset.uncertainty)]
    assert all(value == pytest.approx(round(10 * value) / 10, abs=1e-12) for value in values)
    assert any(values)


@pytest.mark.parametrize(("tests", "weight"), [(0, 0), (9, 0), (10, 8), (15, 8), (16, 16), (1000, 512), (1025, 1024)])
def test_the_season_is_weighted_by_tests_rounded_down_to_a_power_of_two(tests: int, weight: float) -> None:
    assert priors.weight_of(tests) == weight


async def test_figures_of_an_earlier_estimator_are_readable_until_recomputed(club: Store) -> None:
    """Rows are as the previous version stored them: no season covariance, no gross errors, 12 months."""
    right = await everything(club)
    async with club.write() as connection:
        for row in await region_priors.of_country(connection, "FR"):
            former = {"months": [0.5] * 12, "prior_scale": 1.5, "offsets": None}
            old = structs.replace(row, lessons=json.encode(former).decode(), season=json.encode([0.5] * 12).decode())
            await region_priors.put(connection, row.region, old, await region_priors.offsets_in(connection, row.region))
        found = await figures.of_sources(connection, await sources.ids_in(connection, CLUB))
        await figures.put_sources(connection, found, [as_before(row) for row in found.values()])
        found_priors = await figure_rows.known(connection, CLUB, [])
    assert {one.season for one in found_priors.values()} == {priors.NOTHING.season}
    assert all(one.estimate.typical > 0 and one.wrong == () for one in (await known(club)).values())
    schedule = Schedule(club, Here(), lambda: NOW)
    await schedule.catch_up()
    assert await everything(club) == right
    assert await recompute_all(club, NOW, keep=False) == []


def as_before(row: figures.SourceFiguresRow) -> figures.SourceFiguresRow:
    """Figures as the previous version stored them."""
    text = json.decode(row.figures)
    for name in ("season_uncertainty", "wrong"):
        del text["estimate"][name]
    former = {"estimate": {**text["estimate"], "typical": 50.0}, "changes": text["changes"]}
    return structs.replace(row, figures=json.encode(former).decode())


async def everything(store: Store) -> figure_values.Figures:
    async with store.read() as connection:
        return await figure_values.everything(connection)
