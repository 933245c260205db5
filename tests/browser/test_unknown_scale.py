"""A tube with an unknown scale: checked on the phone, its test recomputed and revised on the server."""

import json
import urllib.request
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

from browser.phone import Opened, Phone, until
from helpers.server_process import Served

SOURCE = "Relais du Sureau noir"
# 50 mL + 50 mL, scale at 78 %, water and tube 20 degrees measured, 0.5 % water in the fuel: by the server's chemistry,
# with scale unknown and linear.
SPAN = ("76.8", "83.0")
MIDDLE, EVEN = 79.900, 82.987
# Heights in mm on a tube with its water mark at 40 and its fuel mark at 190: a linear scale has 20, 50 and 80 % at
# 70, 115 and 160.
WATER, FUEL = "40", "190"
HEIGHTS = ("70", "115", "160")


def only_test(server: Served) -> dict[str, Any] | None:
    """The only test on the server, with its record and figures."""
    with urllib.request.urlopen(f"{server.url}/api/v1/pull", timeout=60) as answer:
        changes = json.load(answer)["changes"]
    return next((change for change in changes if change["kind"] == "test"), None)


def revision_on(server: Served) -> int:
    """The revision of the only test; 0 before it arrives."""
    found = only_test(server)
    return int(found["revision"]) if found else 0


def keep_a_test(app: Opened) -> None:
    """Save a test in a new tube with a per cent scale of unknown kind."""
    app.add_source_here(SOURCE)
    app.choose("Per cent, kind not known")
    app.tap("Save this tube")
    app.measure_water("20")
    app.tap("I have read this")
    app.fill_and_shake()
    app.tap("It has settled, skip the timer")
    app.measure_tube()
    app.enter("Scale reading", "78")
    app.tap("Use this reading")
    result = app.page.get_by_role("region", name="Result")
    expect(result).to_contain_text(f"{SPAN[0]} to {SPAN[1]} %")
    expect(result.get_by_role("link", name="Check its scale")).to_be_visible()
    app.tap("Save and share this test")
    expect(app.page.get_by_text("The test is on this phone.")).to_be_visible()


def check_the_scale(app: Opened) -> None:
    """Enter the heights and accept the result."""
    app.go("tubes")
    app.page.locator("main a.row").first.click()
    expect(app.page.get_by_text("1 test, calculated with what is known now.")).to_be_visible()
    app.tap("Check its scale")
    app.enter("Water mark at", WATER)
    app.enter("Fuel mark at", FUEL)
    for number, height in enumerate(HEIGHTS, start=1):
        app.enter(f"Height of mark {number}", height)
    expect(app.page.get_by_role("heading", name="The scale is evenly spaced.")).to_be_visible()
    app.picture("scale-check")
    app.tap("Set it to evenly spaced")


def test_checking_a_scale_recomputes_its_test(server: Served, phone: Callable[[str, str], Phone]) -> None:
    driver = phone("driver", server.url)
    with driver.open() as app:
        app.go()
        app.installed()
        keep_a_test(app)
        until(lambda: revision_on(server) == 1)
        first = only_test(server)
        assert first
        assert first["record"]["tube"]["scale"] == "unknown"
        assert first["figures"]["content"] == pytest.approx(MIDDLE, abs=0.001)

        app.offline()
        check_the_scale(app)
        offer = app.page.get_by_text("would change with what is known")
        expect(offer).to_contain_text("+3.1 points: 79.9 ± 4.2 % becomes 83.0 ± 1.3 %")
        app.picture("tube")
        app.tap("Recalculate 1 test")
        expect(app.page.get_by_text("1 test recalculated.", exact=True)).to_be_visible()
        assert app.faults == []

    with driver.open(offline=True) as app:
        app.go("log")
        expect(app.page.locator("main a.row").first).to_contain_text("83.0")
        app.page.locator("main a.row").first.click()
        app.page.get_by_text("Earlier revisions").click()
        expect(app.page.get_by_role("main")).to_contain_text("Revision 1: 79.9 ± 4.2 %")
        assert revision_on(server) == 1
        app.offline(False)
        app.page.evaluate("dispatchEvent(new Event('online'))")
        until(lambda: revision_on(server) == 2)
        assert app.faults == []

    second = only_test(server)
    assert second
    assert second["record"]["tube"]["scale"] == "linear"
    assert second["record"]["content"] == pytest.approx(EVEN, abs=0.001)
    assert second["figures"]["content"] == pytest.approx(EVEN, abs=0.001)
    assert second["figures"]["expanded_uncertainty"] < first["figures"]["expanded_uncertainty"]
    assert second["flags"] == []
