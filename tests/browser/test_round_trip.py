"""One reading from a phone with no signal to another phone's ranked list."""

import json
import urllib.error
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

from browser.phone import Phone, until
from helpers.server_process import Served

SOURCE = "Relais du Sureau noir"
LINES = ("88.8", "89.0")
# 88.8 and 89.0 mL from 50 + 50 mL at 20 degrees with 0.5 % water in the fuel: by the server's chemistry.
CONTENT = 82.8


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    """A picture like a phone camera's: large, with location metadata."""
    pixels = np.random.default_rng(1).integers(0, 255, (1500, 2000, 3), dtype=np.uint8)
    image, path = Image.fromarray(pixels), tmp_path / "tube.jpg"
    exif = Image.Exif()
    exif[0x010F] = "Camera"
    image.save(path, exif=exif, quality=80)
    return path


def pulled(server: Served) -> list[dict[str, Any]]:
    """Everything on the server."""
    with urllib.request.urlopen(f"{server.url}/api/v1/pull", timeout=60) as answer:
        return list(json.load(answer)["changes"])


def test_an_offline_reading_reaches_another_phones_ranked_list(
    server: Served, phone: Callable[[str, str], Phone], photo: Path
) -> None:
    driver = phone("driver", server.url)
    with driver.open() as app:
        app.go()
        app.installed()
        app.offline()
        app.add_source_here(SOURCE)
        app.add_tube("20")
        app.tap("I have read this")
        app.picture("sheet")
        app.fill_and_shake()
        app.reload()
        expect(app.page.get_by_role("timer")).to_be_visible()
        app.picture("settling")
        app.read_line(LINES[0], photo)
        app.tap("Start run 2")
        app.fill_and_shake()
        app.read_line(LINES[1])
        result = app.page.get_by_role("region", name="Result")
        expect(result).to_contain_text("82.8")
        app.reload()
        expect(result).to_contain_text("82.8")
        app.bring(result)
        app.picture("result")
        app.decide(share=True)
        expect(app.page.get_by_text("The test is on this phone.")).to_be_visible()
        assert app.faults == []

    with driver.open(offline=True) as app:
        app.go("log")
        expect(app.page.get_by_role("main")).to_contain_text(SOURCE)
        expect(app.page.get_by_role("main")).to_contain_text("82.8")
        app.picture("log-offline")
        assert pulled(server) == []
        app.offline(False)
        app.page.evaluate("dispatchEvent(new Event('online'))")
        until(lambda: len(pulled(server)) == 2)
        until(lambda: server_has_photo(server))
        app.page.reload()
        expect(app.page.get_by_role("main")).to_contain_text("sent", ignore_case=True)
        app.picture("log-sent")
        assert app.faults == []

    source, test = sorted(pulled(server), key=lambda change: change["kind"])
    assert source["region"].startswith("FR-")
    assert test["figures"]["content"] == pytest.approx(CONTENT, abs=0.1)
    assert test["record"]["content"] == pytest.approx(test["figures"]["content"], abs=1e-6)
    assert test["flags"] == []

    with phone("another", server.url).open() as app:
        app.go("sources")
        row = app.page.get_by_role("link", name=SOURCE)
        expect(row).to_be_visible()
        expect(row).to_contain_text("83 %")
        app.picture("sources-of-another-phone")
        row.click()
        expect(app.page.get_by_role("heading", name=SOURCE)).to_be_visible()
        expect(app.page.locator(".chart circle").first).to_be_visible()
        expect(app.page.get_by_role("main")).to_contain_text("82.8")
        app.picture("source-of-another-phone")
        assert app.faults == []


def server_has_photo(server: Served) -> bool:
    """Whether the only test's picture has arrived, without metadata."""
    (digest,) = next(change for change in pulled(server) if change["kind"] == "test")["record"]["photos"]
    try:
        with urllib.request.urlopen(f"{server.url}/api/v1/photos/{digest}", timeout=60) as answer:
            image = Image.open(answer)
            image.load()
    except urllib.error.HTTPError:
        return False
    assert max(image.size) == 1600
    assert len(image.getexif()) == 0
    return True
