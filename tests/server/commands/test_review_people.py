"""`splitline review` about contributors and about changes of sources, as a process of its own, on both databases."""

import json
import re
from datetime import UTC, datetime, timedelta
from math import hypot
from typing import Any

import pytest

from helpers.command import splitline
from helpers.examples import IN_FR_15, Json, identifier, person, reading, source, texts
from splitline.answers import Answer
from splitline.intake.intake import Intake
from splitline.store import figures
from splitline.store.engine import Store

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
WHO = person(1).id


class Keeper:
    """An operator who runs commands on the machine with the database."""

    def __init__(self, url: str) -> None:
        self._at = ("--database", url.replace("+asyncpg", "").replace("+aiosqlite", ""))

    def says(self, *arguments: str) -> str:
        ran = splitline("review", *arguments, *self._at)
        assert (ran.returncode, ran.stderr) == (0, ""), ran.stderr
        return ran.stdout

    def json(self, *arguments: str) -> Any:
        return json.loads(self.says(*arguments, "--json"))

    def fails(self, *arguments: str) -> str:
        ran = splitline("review", *arguments, *self._at)
        assert (ran.returncode, ran.stdout, ran.stderr.count("\n")) == (2, "", 1)
        return ran.stderr


@pytest.fixture
def keeper(database_url: str) -> Keeper:
    return Keeper(database_url)


async def push(intake: Intake, *records: Json, by: int = 1) -> tuple[Answer, ...]:
    return await intake.receive(person(by), texts(*records), NOW)


async def tests_at(store: Store) -> int:
    async with store.read() as connection:
        known = await figures.of_sources(connection, [identifier(1)])
    return known[identifier(1)].tests if known else 0


async def test_an_attack_is_listed_withheld_and_released(intake: Intake, store: Store, keeper: Keeper) -> None:
    moments = [f"{NOW - timedelta(days=4 * n):%Y-%m-%d}T08" for n in range(1, 13)]
    burst = [reading(n, at=1, sampled_at=f"{at}:00:00Z", tested_at=f"{at}:20:00Z") for n, at in enumerate(moments)]
    await push(intake, source(1), *burst)
    await push(intake, reading(40, at=1), by=2)
    assert await tests_at(store) == 13
    said = keeper.says("odd")
    assert f"burst: 12 readings of {WHO} arrived at once on 2026-04-01 at 12:00 UTC" in said
    assert f"more: splitline review contributor {WHO}" in said
    about = keeper.says("contributor", WHO)
    assert about.startswith(f"contributor {WHO}\nfirst seen on 2026-04-01; records received on 1 day\n")
    assert "tests: 12 counted, 0 held, 0 withheld, 0 withdrawn\n  sampled 2026-02-12 to 2026-03-28" in about
    assert re.search(r"weight \(0..1, no uncertainty given\): FR-63 0\.\d\d\n", about)
    assert "Station 1 (FR-63), added by them; 12 tests by them, others tested there" in about

    done = keeper.json("withhold", WHO, "--why", "invented readings", "--by", "Ada")
    assert (done["kind"], done["state"], done["records"]) == ("contributor", "withheld", 12)
    assert await tests_at(store) == 1
    [later] = await push(intake, reading(50, at=1))
    assert (later.status, later.problems[0].code, later.problems[0].value) == (
        "held",
        "all_withheld",
        "invented readings",
    )
    listed = keeper.says()
    assert listed.startswith(f"contributor {WHO}, withheld as a whole by Ada on ")
    assert ": 13 tests\n  invented readings\n" in listed
    assert keeper.says("odd") == "Nothing looks odd.\n"
    assert ", withheld as a whole\n" in keeper.says("contributor", WHO)

    assert keeper.says("release", WHO).startswith(f"13 records of {WHO} are back to what they were. ")
    assert await tests_at(store) == 14
    assert keeper.says() == "Nothing waits.\n"
    assert [one["action"] for one in keeper.json("contributor", WHO)["decisions"]] == ["withhold", "release"]


async def test_a_source_change_is_shown_confirmed_and_refused(intake: Intake, store: Store, keeper: Keeper) -> None:
    await push(intake, source(1, pump="left"))
    await push(intake, reading(1, at=1), by=2)
    await push(intake, source(1, IN_FR_15, revision=2, name="Halt am Moor"))
    said = keeper.says()
    assert f"change of source {identifier(1)}, by {WHO} on 2026-04-01: others tested there\n" in said
    assert "  is:       Station 1, pump left (FR-63), 45.75000 3.05000\n" in said
    assert "  would be: Halt am Moor (FR-15), 45.05000 2.55000, 87." in said
    [change] = keeper.json()["changes"]
    assert (change["revision"], change["then"]["region"]) == (2, "FR-15")
    # 0.7 degrees north, and 0.5 degrees east at 45.4 degrees of latitude: 77.8 and 39.0 km.
    assert change["distance"] == pytest.approx(hypot(77.8, 39.0), abs=0.2)
    refused = keeper.says("withhold", identifier(1), "--why", "it is still there")
    assert refused == f"The change of source {identifier(1)} was refused; the source stays as it was (revision 1).\n"
    assert keeper.says() == "Nothing waits.\n"

    await push(intake, source(1, IN_FR_15, revision=3))
    said_refused = keeper.json("withhold", identifier(1))
    assert (said_refused["kind"], said_refused["state"]) == ("change", "refused")
    await push(intake, source(1, IN_FR_15, revision=4))
    confirmed = keeper.says("release", identifier(1))
    assert confirmed == f"Source {identifier(1)} now has its contributor's change (revision 4).\n"
    async with store.read() as connection:
        assert [row.region for row in await figures.regions(connection)] == ["FR-15"]
    assert keeper.json("withhold", identifier(1))["state"] == "withheld", (
        "without a pending change the id means the source"
    )


async def test_a_long_list_is_cut_and_says_how_much_is_missing(intake: Intake, keeper: Keeper) -> None:
    places = [source(n, (45.6 + 0.02 * n, 3.05)) for n in range(1, 25)]
    await push(intake, *places)
    said = keeper.says("contributor", WHO)
    assert "sources: 24\n" in said
    assert "  4 more (--most 0 shows all)\n" in said
    assert "more (" not in keeper.says("contributor", WHO, "--most", "0")
    assert len(keeper.json("contributor", WHO)["sources"]) == 24


def test_an_unknown_contributor_gives_one_sentence(keeper: Keeper) -> None:
    for arguments in (("contributor", "0" * 16), ("withhold", "0" * 16), ("release", "0" * 16)):
        assert "0" * 16 in keeper.fails(*arguments)
