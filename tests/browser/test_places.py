"""Sources on a phone: the map without a signal, what is shown and fetched, and a place entered twice."""

import json
import urllib.error
import urllib.request
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import FloatRect, Locator, Page, expect

from browser.phone import Opened, Phone, until
from invented import drawing
from serving import Served

PhoneOf = Callable[[str, str], Phone]


def fetched(app: Opened) -> None:
    """Open the list and wait until the club's 14 stations are ranked as seen from here."""
    app.go("sources")
    app.tap("Find where I am")
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


def outlines(app: Opened, number: int) -> None:
    """Wait until the outlines of so many regions have come."""
    stored = """async () => {
      const base = await new Promise((opened) => {
        const asked = indexedDB.open("splitline");
        asked.onsuccess = () => opened(asked.result);
      });
      const counted = base.transaction("outlines").objectStore("outlines").count();
      await new Promise((done) => { counted.onsuccess = done; });
      base.close();
      return counted.result;
    }"""
    until(lambda: app.page.evaluate(stored) == number)


def marks(app: Opened) -> Locator:
    """The marks on the map."""
    return app.page.locator(".map-box .map-mark")


def test_sources_are_on_a_map_without_a_signal(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        asked: list[str] = []
        app.page.on("request", lambda request: asked.append(request.url))
        fetched(app)
        app.installed()
        outlines(app, 5)
        app.tap("Show on a map")
        expect(marks(app)).to_have_count(14)
        app.offline()
        app.page.reload()
        expect(marks(app)).to_have_count(14)
        expect(app.page.locator(".map-outline").first).to_be_visible()
        assert app.page.locator(".map-outline").count() == 5
        app.picture("map")
        # The list below is the same, by the same numbers.
        listed = names(app.page)
        spoken = [str(mark.get_attribute("aria-label")) for mark in marks(app).all()]
        assert len(listed) == 14
        for number, name in enumerate(listed, 1):
            assert sum(one.startswith(f"{number}: {name}") for one in spoken) == 1
        assert all("%" in one or "never tested" in one for one in spoken)

        before = marks(app).first.bounding_box()
        box = app.page.locator(".map-box")
        area = box.bounding_box()
        assert before
        assert area
        x, y = area["x"] + area["width"] / 2, area["y"] + area["height"] - 40
        app.page.mouse.move(x, y)
        app.page.mouse.down()
        app.page.mouse.move(x - 60, y - 50, steps=5)
        app.page.mouse.up()
        moved = marks(app).first.bounding_box()
        assert moved
        assert (moved["x"] - before["x"], moved["y"] - before["y"]) == (-60, -50)
        app.page.get_by_role("button", name="Closer").click()
        expect(app.page.get_by_text("Map of the sources")).to_be_visible()
        nearer = marks(app).first.bounding_box()
        assert nearer != moved
        app.picture("map-closer")

        visible = next(mark for mark in marks(app).all() if inside(mark, area))
        name = str(visible.get_attribute("aria-label")).split(": ", 1)[1].split(",")[0]
        visible.click()
        expect(app.page.get_by_role("heading", name=name)).to_be_visible()
        # Back again the map is as it was left.
        app.page.go_back()
        expect(marks(app)).to_have_count(14)
        assert marks(app).first.bounding_box() == nearer
        assert all(one.startswith((club.url, "blob:")) for one in asked), "nobody else is asked"
        assert app.faults == []


def inside(mark: Locator, area: FloatRect) -> bool:
    """Whether all of a mark is in an area of the page, and nothing covers it."""
    box = mark.bounding_box()
    assert box
    across = area["x"] + 60 < box["x"] and box["x"] + box["width"] < area["x"] + area["width"]
    down = area["y"] < box["y"] and box["y"] + box["height"] < area["y"] + area["height"] - 30
    return across and down and bool(mark.evaluate(ON_TOP))


ON_TOP = """(mark) => {
  const { x, y, width, height } = mark.getBoundingClientRect();
  return mark.contains(document.elementFromPoint(x + width / 2, y + height / 2));
}"""


def test_the_map_can_be_used_with_keys(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        fetched(app)
        app.tap("Show on a map")
        expect(marks(app)).to_have_count(14)
        area = app.page.get_by_role("region", name="Map with 14")
        before = marks(app).first.bounding_box()
        area.focus()
        app.page.keyboard.press("ArrowRight")
        until(lambda: marks(app).first.bounding_box() != before)
        app.page.keyboard.press("+")
        mark = app.page.get_by_role("button", name="1: ").first
        name = str(mark.get_attribute("aria-label")).split(": ", 1)[1].split(",")[0]
        mark.focus()
        app.page.keyboard.press("Enter")
        expect(app.page.get_by_role("heading", name=name)).to_be_visible()
        assert app.faults == []


def test_a_region_is_drawn_without_a_signal(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        fetched(app)
        app.installed()
        outlines(app, 5)
        app.offline()
        app.go("region/FR-15")
        expect(app.page.get_by_role("heading", name="Cantal")).to_be_visible()
        expect(marks(app)).to_have_count(4)
        frame = app.page.locator(".map-box").bounding_box()
        assert frame
        for mark in app.page.locator(".map-number").all():
            box = mark.bounding_box()
            assert box
            assert frame["x"] < box["x"] < frame["x"] + frame["width"]
            assert frame["y"] < box["y"] < frame["y"] + frame["height"]
        app.picture("region")
        # A region that nobody has told this phone of has its code for a name, and no map.
        app.go("region/MT-01")
        expect(app.page.get_by_role("heading", name="MT-01")).to_be_visible()
        expect(app.page.locator(".map-box")).to_have_count(0)
        assert app.faults == []


def test_what_the_list_shows_stays_chosen(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        fetched(app)
        app.page.get_by_text("Show only…").click()
        app.page.get_by_role("checkbox", name="level changed").check()
        rows = app.page.locator("main a.row")
        until(lambda: 0 < rows.count() < 14)
        # The two stations that changed their supplier say so in the list.
        assert all("since" in row for row in rows.all_inner_texts())
        few = rows.count()
        app.page.get_by_role("combobox", name="Within").select_option("50")
        until(lambda: rows.count() < few)
        near = names(app.page)
        app.reload()
        until(lambda: names(app.page) == near)
        app.picture("sources-chosen")
        app.tap("Show all again")
        expect(rows).to_have_count(14)

        # One region only: the others leave the phone, and come back when all are wanted.
        app.go("settings/regions")
        app.page.get_by_role("searchbox", name="Add a region").fill("cant")
        app.tap("Cantal")
        expect(app.page.get_by_text("Cantal (FR-15)")).to_be_visible()
        app.go("sources")
        expect(rows).to_have_count(4)
        app.go("settings/regions")
        app.tap("Fetch all regions")
        app.go("sources")
        expect(rows).to_have_count(14)
        assert app.faults == []


def test_a_place_that_is_known_is_offered_and_a_double_can_go(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        fetched(app)
        app.page.get_by_role("link", name="Station du Lac rond").click()
        expect(app.page.get_by_role("heading", name="Station du Lac rond")).to_be_visible()
        expect(app.page.get_by_role("button", name="Take this source back")).to_have_count(0)
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
        app.tap("Keep this source")

        expect(app.page.get_by_role("heading", name="Lac rond, station")).to_be_visible()
        expect(app.page.get_by_role("heading", name="A source stands here already")).to_be_visible()
        app.tap("Take this source back")
        app.page.get_by_role("dialog").get_by_role("button", name="Take this source back").click()
        expect(app.page.locator("main a.row").first).to_be_visible()
        until(lambda: "Lac rond, station" not in names(app.page))
        assert app.faults == []


def test_photos_of_others_come_with_a_signal(server: Served, phone: PhoneOf, tmp_path: Path) -> None:
    shot = tmp_path / "tube.jpg"
    shot.write_bytes(drawing(1))
    with phone("giver", server.url).open() as app:
        app.go()
        app.begin_test("Relais du Sureau noir")
        app.read_line("88.8", shot)
        app.tap("Keep and share this test")
        expect(app.page.get_by_text("Kept")).to_be_visible()
        until(lambda: has_photo(server))
    with phone("taker", server.url).open() as app:
        app.go("sources")
        app.page.get_by_role("link", name="Relais du Sureau noir").click()
        app.page.get_by_text("1 photo").click()
        shown = app.page.get_by_role("img", name="Photo 1 of the tube")
        expect(shown).to_be_visible()
        until(lambda: shown.evaluate("image => image.naturalWidth > 0"))
        assert app.faults == []
