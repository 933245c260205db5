"""Sources on a phone: what is listed and fetched, and a place entered twice."""

import json
import urllib.error
import urllib.request
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect

from browser.phone import Opened, Phone, until
from helpers.examples import drawing
from helpers.server_process import Served

PhoneOf = Callable[[str, str], Phone]


def fetched(app: Opened) -> None:
    """Open the list and wait until the demo's 14 stations are ranked with distances."""
    app.go("sources")
    app.tap("Use my location")
    expect(app.page.locator("main a.row")).to_have_count(14)
    expect(app.page.locator("main a.row").first).to_contain_text("km")


def names(page: Page) -> list[str]:
    """The names in the list, in order."""
    return page.locator("main a.row .row-name").all_inner_texts()


def has_photo(server: Served) -> bool:
    """Whether the server has a test with its photo."""
    with urllib.request.urlopen(f"{server.url}/api/v1/pull", timeout=60) as answer:
        changes = json.load(answer)["changes"]
    digests = [digest for change in changes if change["kind"] == "test" for digest in change["record"]["photos"]]
    try:
        return all(urllib.request.urlopen(f"{server.url}/api/v1/photos/{one}", timeout=60) for one in digests) and bool(
            digests
        )
    except urllib.error.HTTPError:
        return False


def test_the_lists_sorting_and_filters_persist(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        fetched(app)
        app.page.get_by_text("Search and sort").click()
        app.page.get_by_role("checkbox", name="level changed").check()
        rows = app.page.locator("main a.row")
        until(lambda: 0 < rows.count() < 14)
        # The two stations that changed supplier are marked in the list.
        assert all("since" in row for row in rows.all_inner_texts())
        few = rows.count()
        app.page.get_by_role("combobox", name="Within").select_option("50")
        until(lambda: rows.count() < few)
        near = names(app.page)
        app.reload()
        until(lambda: names(app.page) == near)
        app.picture("sources-chosen")
        app.page.get_by_text("Search and sort").click()
        app.tap("Show all again")
        expect(rows).to_have_count(14)

        # One region only: the others leave the phone, and come back when all are chosen.
        app.go("settings/regions")
        app.page.get_by_role("searchbox", name="Add a region").fill("cant")
        app.tap("Cantal")
        expect(app.page.get_by_text("Cantal (FR-15)")).to_be_visible()
        app.go("sources")
        expect(rows).to_have_count(4)
        app.go("settings/regions")
        app.tap("Download all regions")
        app.go("sources")
        expect(rows).to_have_count(14)
        assert app.faults == []


def test_a_known_place_is_offered_and_a_duplicate_can_be_withdrawn(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        fetched(app)
        app.page.get_by_role("link", name="Station du Lac rond").click()
        expect(app.page.get_by_role("heading", name="Station du Lac rond")).to_be_visible()
        expect(app.page.get_by_role("button", name="Withdraw this station")).to_have_count(0)
        there = app.page.get_by_role("region", name="Position").locator(".figure").inner_text()
        latitude, longitude = (float(part) for part in there.split(","))

        app.go("source/new")
        app.enter("Name", "Lac rond, station")
        app.choose("type it in")
        app.enter("Latitude, longitude", f"{latitude + 0.02:.5f}, {longitude}")
        expect(app.page.get_by_text("Is it one of these?")).to_have_count(0)
        app.enter("Latitude, longitude", f"{latitude + 0.005:.5f}, {longitude}")
        known = app.page.get_by_role("link", name="Station du Lac rond")
        expect(known).to_contain_text("0.6 km S")
        app.picture("known-place")
        app.tap("Save this station")

        expect(app.page.get_by_role("heading", name="Lac rond, station")).to_be_visible()
        app.tap("Share this station")
        expect(app.page.get_by_role("heading", name="There is already a station here")).to_be_visible()
        app.tap("Withdraw this station")
        app.page.get_by_role("dialog").get_by_role("button", name="Withdraw this station").click()
        expect(app.page.locator("main a.row").first).to_be_visible()
        until(lambda: "Lac rond, station" not in names(app.page))
        assert app.faults == []


def test_other_peoples_photos_are_loaded_when_online(server: Served, phone: PhoneOf, tmp_path: Path) -> None:
    shot = tmp_path / "tube.jpg"
    shot.write_bytes(drawing(1))
    with phone("giver", server.url).open() as app:
        app.go()
        app.begin_test("Relais du Sureau noir")
        app.read_line("88.8", shot)
        app.tap("Save and share this test")
        expect(app.page.get_by_role("heading", name="Saved")).to_be_visible()
        until(lambda: has_photo(server))
    with phone("taker", server.url).open() as app:
        app.go("sources")
        app.page.get_by_role("link", name="Relais du Sureau noir").click()
        app.page.get_by_text("1 photo").click()
        shown = app.page.get_by_role("img", name="Photo 1 of the tube")
        expect(shown).to_be_visible()
        until(lambda: shown.evaluate("image => image.naturalWidth > 0"))
        assert app.faults == []
