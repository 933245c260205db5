"""Starred sources on a phone: at the top of the list, with their news, and in the log file."""

import json
import urllib.request
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import expect

from browser.phone import Opened, Phone, until
from helpers.examples import Json, reading, secret, source
from helpers.server_process import Served

Phones = Callable[[str, str], Phone]


def push(server: Served, who: int, *records: Json) -> None:
    """Send records as an invented person."""
    body = json.dumps({"records": records}).encode()
    headers = {"Authorization": f"Bearer {secret(who)}", "Content-Type": "application/json"}
    request = urllib.request.Request(f"{server.url}/api/v1/push", body, headers, method="POST")
    with urllib.request.urlopen(request, timeout=60) as answer:
        answers = json.load(answer)["answers"]
    assert all(one["status"] in ("stored", "held") for one in answers), answers


def names(app: Opened) -> list[str]:
    """The names in the list, in order."""
    return app.page.locator("main a.row .row-name").all_inner_texts()


def fetch(app: Opened, rows: int) -> None:
    """Open the list and wait until this many sources are in it."""
    app.go("sources")
    expect(app.page.locator("main a.row")).to_have_count(rows)


def test_starred_sources_are_on_top_with_their_news(server: Served, phone: Phones, tmp_path: Path) -> None:
    far = (45.05, 2.55)
    push(server, 1, source(1), source(2, far), source(3, (45.75, 3.20)), reading(1, 1), reading(2, 2), reading(3, 3))
    with phone("driver", server.url).open() as app:
        fetch(app, 3)
        app.installed()
        # Only changes after the first complete download can be news.
        expect(app.page.locator(".fetched")).to_contain_text("just now")
        until(lambda: len(names(app)) == 3)
        last = names(app)[-1]
        number = int(last.split()[-1])
        star = app.page.get_by_role("button", name=f"Star {last}")
        expect(star).to_have_attribute("aria-pressed", "false")
        star.click()
        expect(app.page.get_by_role("heading", name="Starred")).to_be_visible()
        expect(app.page.get_by_role("region", name="Starred").locator("a.row")).to_contain_text(last)
        assert names(app)[0] == last
        expect(star).to_have_attribute("aria-pressed", "true")
        expect(star).to_be_focused()
        app.reload()
        until(lambda: names(app)[:1] == [last])
        expect(app.page.locator(".row-news")).to_have_count(0)

        push(server, 1, reading(30, number), reading(60, number))
        app.tap("Refresh")
        news = app.page.locator(".row-news")
        expect(news).to_contain_text("New since")
        expect(news).to_contain_text("2 tests")
        app.picture("stars")
        app.page.get_by_text("Search and sort").click()
        expect(app.page.get_by_role("radio", name="steadiest")).to_be_visible()
        app.picture("stars-tools")

        # It is the same offline, and the source's page has the star too.
        app.offline()
        app.page.get_by_role("link", name=last).click()
        expect(app.page.get_by_role("heading", name=last)).to_be_visible()
        expect(app.page.get_by_role("button", name=f"Star {last}")).to_have_attribute("aria-pressed", "true")
        app.picture("stars-source")
        app.page.go_back()
        expect(news).to_contain_text("2 tests")
        app.go("settings/files")
        with app.page.expect_download() as saved:
            app.tap("Log as JSON", exact=True)
        saved.value.save_as(tmp_path / "log.json")
        assert app.faults == []

    with phone("new", server.url).open() as app:
        app.go("settings/files")
        app.page.locator("input[type=file]").set_input_files(tmp_path / "log.json")
        expect(app.page.get_by_text("Also:")).to_contain_text("1 starred station")
        fetch(app, 3)
        until(lambda: names(app)[0] == last)
        expect(app.page.get_by_role("region", name="Starred").locator("a.row")).to_have_count(1)
        expect(app.page.locator(".row-news")).to_have_count(0)
        star = app.page.get_by_role("button", name=f"Star {last}")
        star.click()
        expect(app.page.get_by_role("heading", name="Starred")).to_have_count(0)
        assert app.faults == []
