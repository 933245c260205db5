"""Importing a log file on another person's phone, and a recovery file on one's own: nothing is sent without consent."""

import json
import urllib.request
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import expect

from browser.phone import Opened, Phone, until
from helpers.server_process import Served

Phones = Callable[[str, str], Phone]


def pulled(server: Served) -> list[str]:
    """The kinds of records on the server."""
    with urllib.request.urlopen(f"{server.url}/api/v1/pull", timeout=60) as answer:
        return sorted(change["kind"] for change in json.load(answer)["changes"])


def save(app: Opened, button: str, path: Path) -> Path:
    """Save a file by its button."""
    app.go("settings/files")
    with app.page.expect_download() as saved:
        app.tap(button, exact=True)
    saved.value.save_as(path)
    return path


def open_file(app: Opened, path: Path) -> None:
    """Choose a file to import."""
    app.go("settings/files")
    app.page.locator("input[type=file]").set_input_files(path)


def test_an_imported_file_publishes_nothing_by_itself(server: Served, phone: Phones, tmp_path: Path) -> None:
    with phone("author", server.url).open() as app:
        app.go()
        app.installed()
        app.offline()
        app.keep_test()
        log = save(app, "Log as JSON", tmp_path / "log.json")
        recovery = save(app, "Recovery file", tmp_path / "recovery.json")

    with phone("friend", server.url).open() as app:
        for path in (log, recovery):
            open_file(app, path)
            if path == recovery:
                app.tap("Only import the log")
            expect(app.page.get_by_text("Imported:")).to_be_visible()
        app.tap("Log", exact=True)
        app.tap("Sync now")
        until(lambda: "Last synced" in app.standing())
        assert pulled(server) == []
        app.page.locator("main a.row").first.click()
        expect(app.page.get_by_text("From a file, not shared from this phone")).to_be_visible()
        expect(app.page.get_by_text("Only their phone, or their recovery file opened here")).to_be_visible()
        expect(app.page.get_by_role("button", name="Share this test")).to_have_count(0)
        assert app.faults == []

    with phone("author's new", server.url).open() as app:
        open_file(app, recovery)
        app.tap("Use that identity")
        expect(app.page.get_by_text("1 test of yours had not been sent.")).to_be_visible()
        app.bring(app.page.get_by_role("button", name="Share 1 test"))
        app.picture("import-unsent")
        assert pulled(server) == []
        app.tap("Share 1 test")
        until(lambda: pulled(server) == ["source", "test"])
        expect(app.page.get_by_text("1 test will be sent.")).to_be_visible()
        assert app.faults == []
