"""A device clock two years off: ahead is refused with a sentence, behind is stored; both record the skew."""

from datetime import UTC, datetime, timedelta

from faults.conftest import Place, Tell
from faults.counting import counted
from faults.phones import push
from helpers.examples import Json, reading, source
from helpers.server_process import served
from helpers.stored_rows import rows
from splitline.config import settings
from splitline.store.engine import Store

TWO_YEARS = timedelta(days=730)


def told(number: int, at: datetime) -> Json:
    return reading(number, at=1, sampled_at=at.isoformat(), tested_at=at.isoformat())


async def skews(place: Place) -> dict[str, float | None]:
    store = Store(settings({"database": place.url}, {}).database)
    found = {row.id: row.clock_skew for row in await rows(store)}
    await store.close()
    return found


async def test_a_clock_ahead_is_refused_and_a_clock_behind_is_stored(place: Place, tell: Tell) -> None:
    now = datetime.now(UTC)
    station, right = source(1), told(1, now - timedelta(hours=1))
    ahead, behind = told(2, now + TWO_YEARS), told(3, now - TWO_YEARS)
    with served(place.folder, *place.options) as server:
        early = (await push(server.url, [station, right], sent_at=now.isoformat())).json()["answers"]
        assert [answer["status"] for answer in early] == ["stored", "stored"]
        [late] = (await push(server.url, [ahead], sent_at=(now + TWO_YEARS).isoformat())).json()["answers"]
        assert late["status"] == "refused"
        assert [problem["code"] for problem in late["problems"]] == ["time_ahead"]
        assert (
            "more than two days ahead of the server's clock; set the device's clock" in late["problems"][0]["sentence"]
        )
        [kept] = (await push(server.url, [behind], sent_at=(now - TWO_YEARS).isoformat())).json()["answers"]
        assert (kept["status"], [problem["code"] for problem in kept["problems"]]) == ("stored", ["clock_off"])
        # The user sets the clock and corrects the time: the same test is now stored.
        three = (now - timedelta(hours=3)).isoformat()
        corrected = {**ahead, "sampled_at": three, "tested_at": three}
        assert (await push(server.url, [corrected])).json()["answers"][0]["status"] == "stored"
        found = counted(server.url, [station, right, behind, corrected])
    stored = await skews(place)
    assert abs((stored[behind["id"]] or 0) - TWO_YEARS.total_seconds()) < 600
    assert abs(stored[right["id"]] or 0) < 600
    assert stored[corrected["id"]] is None, "the answer has no Date"
    tell("clock two years off", place.engine, found)
