"""A phone that is full, that dies during a test, or that loses its database connection."""

import os
import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import CDPSession, Error, expect

from browser import stock
from browser.phone import Opened, Phone
from helpers.server_process import Served

PATIENCE = 60
MEGA = 1_000_000
Phones = Callable[[str, str], Phone]


def devtools(app: Opened) -> CDPSession:
    """Open a session with the browser's developer tools."""
    return app.context.new_cdp_session(app.page)


def allow(app: Opened, server: Served, quota: int) -> None:
    """Set the app's storage quota, bytes; do this first, since the browser caches the quota."""
    devtools(app).send("Storage.overrideQuotaForOrigin", {"origin": server.url, "quotaSize": quota})


def fill_up(app: Opened) -> list[str]:
    """Store pictures that the server has until no more fit; return their digests, oldest first."""
    digests: list[str] = []
    while True:
        try:
            digests += stock.keep_pictures(app.page, ["sent"], MEGA // 2)
        except Error as fault:
            if "QuotaExceeded" not in str(fault):
                raise
            return digests


def noise(path: Path) -> Path:
    """Make a photo that compresses badly."""
    Image.effect_noise((1600, 1200), 90).convert("RGB").save(path, quality=95)
    return path


def test_a_full_phone_deletes_sent_pictures_and_never_unsent_ones(
    server: Served, phone: Phones, tmp_path: Path
) -> None:
    photo = noise(tmp_path / "tube.jpg")
    with phone("driver", server.url).open() as app:
        allow(app, server, 31 * MEGA // 2)
        app.go()
        app.installed()
        app.offline()
        app.begin_test()
        (waiting,) = stock.keep_pictures(app.page, ["waiting"], 2 * MEGA)
        sent = fill_up(app)
        app.read_line("88.8", photo)
        app.decide(share=True)
        kept = {row["digest"] for row in stock.rows(app.page, "photos")}
        (test,) = stock.rows(app.page, "own_tests")
        assert set(test["test"]["photos"]) < kept
        assert waiting in kept
        assert not set(sent) <= kept
        assert stock.count(app.page, "outbox") == 2
        assert app.faults == []


def test_a_phone_without_any_space_says_so_in_one_sentence(server: Served, phone: Phones, tmp_path: Path) -> None:
    photo = noise(tmp_path / "tube.jpg")
    with phone("driver", server.url).open() as app:
        allow(app, server, 4 * MEGA)
        app.go()
        app.installed()
        app.offline()
        app.begin_test()
        (waiting,) = stock.keep_pictures(app.page, ["waiting"], 2 * MEGA)
        app.tap("It has settled, skip the timer")
        app.page.locator("input[type=file]").first.set_input_files(photo)
        alerts = app.page.get_by_role("alert").filter(visible=True)
        expect(alerts).to_have_count(1, timeout=PATIENCE * 1000)
        expect(alerts).to_contain_text("full")
        app.picture("full")
        allow(app, server, 100 * MEGA)
        app.page.locator("input[type=file]").first.set_input_files(photo)
        expect(app.page.locator("main img").first).to_be_visible()
        expect(alerts).to_have_count(0)
        assert waiting in {row["digest"] for row in stock.rows(app.page, "photos")}
        assert app.faults == []


def test_a_test_survives_a_killed_browser(server: Served, phone: Phones, tmp_path: Path) -> None:
    driver = phone("driver", server.url)
    with driver.open() as app:
        app.go()
        app.installed()
        app.offline()
        app.begin_test()
        expect(app.page.get_by_role("timer")).to_be_visible()
        app.read_line("88.8")
        expect(app.page.get_by_role("region", name="Result")).to_contain_text("82.6")
        app.written()
        kill(tmp_path / "driver")
        with pytest.raises(Error):
            app.page.reload()
    with driver.open(offline=True) as app:
        app.go()
        expect(app.page.get_by_role("region", name="Result")).to_contain_text("82.6")
        app.tap("Save and share this test")
        expect(app.page.get_by_role("heading", name="Saved")).to_be_visible()
        assert stock.count(app.page, "outbox") == 2
        assert app.faults == []


def kill(profile: Path) -> None:
    """Kill the browser of this profile, like a phone that runs out of power."""
    for entry in Path("/proc").glob("[0-9]*"):
        try:
            arguments = (entry / "cmdline").read_bytes()
        except OSError:
            continue
        if f"--user-data-dir={profile}".encode() in arguments.split(b"\0"):
            os.kill(int(entry.name), signal.SIGKILL)


def test_the_app_survives_a_lost_database_connection(server: Served, desktop_phone: Phones) -> None:
    with desktop_phone("driver", server.url).open() as app:
        app.go()
        app.installed()
        app.begin_test()
        app.written()
        tools = app.context.new_page()
        tools.goto("chrome://indexeddb-internals")
        tools.get_by_text("Force close").first.click()
        tools.close()
        expect(app.page.get_by_role("timer")).to_be_visible()
        app.page.reload()
        expect(app.page.get_by_role("timer")).to_be_visible()
        assert app.page.get_by_role("alert").count() == 0
        assert app.faults == []
