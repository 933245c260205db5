"""Sources on a map: offline, by keyboard, for one region, and with an operator's map tiles."""

import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import FloatRect, Locator, Page, expect

from browser.phone import Opened, Phone, until
from helpers.server_process import UNLIMITED, Served, served

PhoneOf = Callable[[str, str], Phone]
# Labels that the map's edge cuts although their mark is on the map.
CUT_OFF = """() => {
  const box = document.querySelector(".map-box").getBoundingClientRect();
  const isWithin = ({ left, right }) => left >= box.left && right <= box.right;
  return [...document.querySelectorAll(".map-mark:enabled .map-writing:not(.map-hidden)")]
    .filter((one) => isWithin(one.previousElementSibling.getBoundingClientRect()))
    .filter((one) => !isWithin(one.getBoundingClientRect()))
    .map((one) => one.textContent);
}"""


def fetched(app: Opened) -> None:
    """Open the list and wait until the demo's 14 stations are ranked with distances."""
    app.go("sources")
    app.tap("Use my location")
    expect(app.page.locator("main a.row")).to_have_count(14)
    expect(app.page.locator("main a.row").first).to_contain_text("km")


def names(page: Page) -> list[str]:
    """The names in the list, in order."""
    return page.locator("main a.row .row-name").all_inner_texts()


def outlines(app: Opened, number: int) -> None:
    """Wait until this many region outlines have arrived."""
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


def test_sources_are_on_a_map_offline(club: Served, phone: PhoneOf) -> None:
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
        assert app.page.evaluate(CUT_OFF) == []
        # The list below has the same sources with the same numbers.
        listed = names(app.page)
        spoken = [str(mark.get_attribute("aria-label")) for mark in marks(app).all()]
        assert len(listed) == 14
        for number, name in enumerate(listed, 1):
            assert sum(one.startswith(f"{number}: {name}") for one in spoken) == 1
        assert all("%" in one or "not tested yet" in one for one in spoken)

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
        app.page.get_by_role("button", name="Zoom in").click()
        expect(app.page.get_by_text("Map of the stations")).to_be_visible()
        assert marks(app).first.bounding_box() != moved
        nearer = on_map(app)
        app.picture("map-closer")

        visible = next(mark for mark in marks(app).all() if mark.is_enabled() and inside(mark, area))
        name = str(visible.get_attribute("aria-label")).split(": ", 1)[1].split(",")[0]
        visible.click()
        expect(app.page.get_by_role("heading", name=name)).to_be_visible()
        # Going back shows the map as it was.
        app.page.go_back()
        expect(marks(app)).to_have_count(14)
        until(lambda: on_map(app) == nearer)
        assert all(one.startswith((club.url, "blob:")) for one in asked), "no other host is contacted"
        assert app.faults == []


def on_map(app: Opened) -> tuple[float, float] | None:
    """The first mark's position on the map, independent of scrolling; None while there is none."""
    box, mark = app.page.locator(".map-box").bounding_box(), marks(app).first.bounding_box()
    return (mark["x"] - box["x"], mark["y"] - box["y"]) if box and mark else None


def inside(mark: Locator, area: FloatRect) -> bool:
    """Whether a mark is completely inside an area of the page and not covered."""
    box = mark.bounding_box()
    assert box
    across = area["x"] + 60 < box["x"] and box["x"] + box["width"] < area["x"] + area["width"]
    down = area["y"] < box["y"] and box["y"] + box["height"] < area["y"] + area["height"] - 30
    return across and down and bool(mark.evaluate(ON_TOP))


ON_TOP = """(mark) => {
  const { x, y, width, height } = mark.getBoundingClientRect();
  return mark.contains(document.elementFromPoint(x + width / 2, y + height / 2));
}"""


def test_the_map_works_by_keyboard(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        fetched(app)
        app.tap("Show on a map")
        expect(marks(app)).to_have_count(14)
        area = app.page.get_by_role("region", name="Map with 14")
        before = on_map(app)
        area.focus()

        def moved() -> bool:
            # The map ignores a key while it is still moving.
            app.page.keyboard.press("ArrowRight")
            return on_map(app) != before

        until(moved)
        app.page.keyboard.press("+")
        mark = app.page.get_by_role("button", name="1: ").first
        name = str(mark.get_attribute("aria-label")).split(": ", 1)[1].split(",")[0]
        mark.focus()
        app.page.keyboard.press("Enter")
        expect(app.page.get_by_role("heading", name=name)).to_be_visible()
        assert app.faults == []


def test_a_region_is_drawn_offline(club: Served, phone: PhoneOf) -> None:
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
        # A region unknown to this phone has its code as a name, and no map.
        app.go("region/MT-01")
        expect(app.page.get_by_role("heading", name="MT-01")).to_be_visible()
        expect(app.page.locator(".map-box")).to_have_count(0)
        assert app.faults == []


@contextmanager
def pictures(asked: list[str]) -> Iterator[str]:
    """A tile server open to every page; it records each request and its referring page."""
    written = BytesIO()
    Image.new("RGB", (256, 256), "#b8c8a0").save(written, "PNG")

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(f"{self.path} for {self.headers['Referer']}")
            self.send_response(200)
            self.send_header("Content-Type", "image/png")
            self.send_header("Access-Control-Allow-Origin", "*")
            self.end_headers()
            self.wfile.write(written.getvalue())

        def log_message(self, *_: object) -> None:
            """Log nothing."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def free_port() -> str:
    """A free port."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return str(probe.getsockname()[1])


def test_the_operators_map_tiles_also_reach_an_already_installed_app(phone: PhoneOf, tmp_path: Path) -> None:
    place = ("--demo", *UNLIMITED, "--port", free_port())
    asked: list[str] = []
    with served(tmp_path / "data", *place) as running, phone("driver", running.url).open() as app:
        fetched(app)
        app.installed()
        app.tap("Show on a map")
        expect(marks(app)).to_have_count(14)
        expect(app.page.get_by_text("Invented Maps")).to_have_count(0)
    with pictures(asked) as origin:
        named = ("--tiles", f"{origin}/{{z}}/{{x}}/{{y}}.png", "--tiles-attribution", "Invented Maps")
        with served(tmp_path / "data", *place, *named) as running, phone("driver", running.url).open() as app:
            app.go("sources/map")
            # The page still has the old security policy.
            expect(app.page.get_by_text("Invented Maps")).to_be_visible()
            expect(marks(app)).to_have_count(14)
            until(lambda: renewed(app, origin))
            assert asked == []
            app.page.reload()
            expect(app.page.locator(".leaflet-tile-loaded").first).to_be_visible()
            expect(app.page.locator(".map-box.map-tiled")).to_be_visible()
            app.picture("map-tiles")
            assert all(one.endswith(f"for {running.url}/") for one in asked), "the referrer names the app, not the page"
            outlines(app, 5)
            app.offline()
            app.page.reload()
            expect(marks(app)).to_have_count(14)
            expect(app.page.locator(".map-outline")).to_have_count(5)
            assert app.faults == []


def renewed(app: Opened, origin: str) -> bool:
    """Whether the cached page allows pictures from there."""
    policy = """async () => {
      const kept = await caches.match("/index.html", { ignoreSearch: true });
      return kept.headers.get("Content-Security-Policy");
    }"""
    return origin in str(app.page.evaluate(policy))
