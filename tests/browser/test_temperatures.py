"""Measured and estimated temperatures and the tube of each run, from the sheet into the record."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from browser import stock
from browser.phone import Opened, Phone
from helpers.server_process import Served

SOURCE = "Relais du Sureau noir"
MINUTE = 60_000
NOTE = "Mixing has made the tube"
# Water at 10 degrees; 50 mL + 50 mL, line at 89 mL. By fixtures/published/extraction_equilibrium.json mixing heats
# this by 8.0 degrees, 7.0 including the glass; 37 % of that is left after half an hour.
COOLED = 12.6


def add_another_tube(app: Opened) -> None:
    """Add a tube of 25 mL + 25 mL."""
    app.tap("Add a tube")
    app.choose("Millilitres")
    app.enter("Water mark", "25")
    app.enter("Fuel mark", "50")
    app.tap("Save this tube")
    app.choose("100 mL tube")


def test_the_temperature_of_an_unmeasured_tube_is_estimated(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open() as app:
        app.page.clock.install()
        app.go()
        app.add_source_here(SOURCE)
        app.choose("Millilitres")
        app.tap("Save this tube")
        app.measure_water("10")
        app.tap("I have read this")
        app.fill_and_shake()
        note = app.page.get_by_text(NOTE)
        expect(note).to_contain_text("about 7 ± 4 °C warmer")
        expect(note).to_contain_text("1.0 points too high now, 0.7 in 10 minutes (± 0.6)")
        app.page.clock.fast_forward(30 * MINUTE)
        expect(note).to_contain_text("about 3 ± 4 °C warmer")
        app.enter("Line reading", "89")
        app.tap("Use this reading")
        app.tap("Save and share this test")
        expect(app.page.get_by_role("heading", name="Saved")).to_be_visible()
        (row,) = stock.rows(app.page, "own_tests")
        test = row["test"]
        assert test["temperature"] == pytest.approx(COOLED, abs=0.1)
        assert (test["temperature_measured"], test["model"]) == (False, 2)
        assert (test["water_temperature"], test["water_temperature_measured"]) == (10, True)
        assert (test["fuel_temperature"], test["fuel_temperature_measured"]) == (None, False)
        assert app.faults == []


def test_measured_temperatures_and_the_second_tube_are_recorded(
    server: Served, phone: Callable[[str, str], Phone]
) -> None:
    with phone("driver", server.url).open() as app:
        app.go()
        app.add_source_here(SOURCE)
        app.choose("Millilitres")
        app.tap("Save this tube")
        add_another_tube(app)
        app.enter("Fuel temperature", "14")
        app.page.get_by_role("group", name="fuel temperature").get_by_role("radio", name="measured").check()
        app.measure_water("10")
        app.tap("I have read this")
        app.fill_and_shake()
        app.read_line("89")
        app.tap("Start run 2")
        expect(app.page.get_by_text("Two different tubes check each other.")).to_be_visible()
        app.choose("50 mL tube")
        expect(app.page.get_by_text("Water to the 25 mL mark")).to_be_visible()
        app.fill_and_shake()
        app.read_line("44.5")
        app.reload()
        expect(app.page.get_by_role("main")).to_contain_text("50 mL tube")
        app.tap("Save and share this test")
        expect(app.page.get_by_role("heading", name="Saved")).to_be_visible()
        (row,) = stock.rows(app.page, "own_tests")
        test = row["test"]
        assert (test["temperature"], test["temperature_measured"]) == (20, True)
        assert (test["fuel_temperature"], test["fuel_temperature_measured"]) == (14, True)
        first, second = test["runs"]
        tubes = {tube["name"].replace("\u00a0", " "): tube["id"] for tube in stock.rows(app.page, "tubes")}
        assert (test["tube"]["id"], second["tube"]["id"]) == (tubes["100 mL tube"], tubes["50 mL tube"])
        assert "tube" not in first
        assert (second["water"], second["fuel"]) == (25, 25)
        assert app.faults == []
