"""Tank, blend and sensor on a phone, and the region of a source near a border."""

import json
import re
import urllib.request
from collections.abc import Callable

from playwright.sync_api import expect

from browser.phone import Opened, Phone, until
from helpers.server_process import Served

# Between the Cantal and the Puy-de-Dôme, far from any station.
AT_THE_BORDER = "45.3900, 2.7000"


def tank(app: Opened, litres: str, content: str) -> None:
    """Enter the contents of a 60 L tank."""
    app.go("fuel/tank")
    app.enter("Tank capacity", "60")
    app.enter("In the tank now", litres)
    app.enter("Ethanol content", content)
    app.enter("Uncertainty", "2")
    app.tap("Save")
    expect(app.page.get_by_role("heading", name="Tank")).to_be_visible()


def can(app: Opened, name: str, litres: str) -> None:
    """Enter a can of untested fuel."""
    app.go("fuel/can/new")
    app.enter("Name of the can", name)
    app.enter("In the can now", litres)
    app.tap("Save this can")
    expect(app.page.get_by_role("link", name=name)).to_be_visible()


def test_a_blend_of_two_fuels_is_planned_and_the_sensor_compared(
    server: Served, phone: Callable[[str, str], Phone]
) -> None:
    with phone("driver", server.url).open() as app:
        app.go()
        app.begin_test("Relais du Sureau noir")
        app.read_line("88.8")
        app.page.get_by_role("region", name="Result")
        expect(app.page.get_by_role("region", name="How we got this")).to_contain_text("would make it ±")
        app.tap("Save and share this test")

        # 82.58 % at the pump, 8 % elsewhere; 20 L at 10 %, 40 L more to 52 %: (3120 - 200 - 8 * 40) / 74.58, by hand.
        tank(app, "20", "10")
        app.tap("What to add")
        app.enter("Target ethanol", "52")
        app.choose("fill up with two fuels")
        app.page.get_by_text("Use a pump too").click()
        app.page.get_by_role("radio", name="Relais du Sureau noir").check()
        app.page.get_by_text("Use another fuel too").click()
        app.enter("Ethanol content", "8")
        app.enter("Uncertainty", "2")
        plan = app.page.get_by_role("region", name="Plan")
        expect(plan).to_contain_text("Add 34.9 L from Relais du Sureau noir.")
        expect(plan).to_contain_text("Add 5.1 L from Other fuel.")
        app.picture("blend")
        app.enter("Target ethanol", "80")
        expect(plan).to_contain_text("No split of these two reaches the target")
        app.enter("Target ethanol", "52")
        app.tap("Done, I added it")
        expect(app.page.get_by_role("main")).to_contain_text("60.0 L of 60.0 L")

        app.tap("Check the sensor")
        app.choose("hertz")
        app.enter("Sensor reading", "106")
        expect(app.page.get_by_role("main")).to_contain_text("They agree: the sensor is +4.0 points off")
        app.enter("Sensor reading", "185")
        expect(app.page.get_by_role("alert")).to_contain_text("contaminated fuel")
        app.tap("What was in the tank before?")
        app.enter("Sensor reading", "50")
        app.enter("Amount added", "40")
        app.enter("Ethanol content", "70")
        app.page.get_by_role("textbox", name=re.compile("^Uncertainty")).fill("2")
        expect(app.page.get_by_role("main")).to_contain_text("The 20.0 L from before must have been")
        expect(app.page.get_by_role("main")).to_contain_text("10± 17")
        app.picture("heel")
        assert app.faults == []


def regions(server: Served) -> list[tuple[str | None, str]]:
    """For every source, the region the user chose and the one the server stored."""
    with urllib.request.urlopen(f"{server.url}/api/v1/pull", timeout=60) as answer:
        changes = json.load(answer)["changes"]
    return [(change["record"]["subdivision"], change["region"]) for change in changes if change["kind"] == "source"]


def test_near_a_border_the_user_chooses_the_region(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open() as app:
        app.go("source/new")
        app.enter("Name", "Halte de la Crête")
        app.choose("type it in")
        app.enter("Latitude, longitude", AT_THE_BORDER)
        app.tap("Save this station")
        app.tap("Share this station")
        until(lambda: len(regions(server)) == 1)
        ask = app.page.get_by_role("region", name="Which region?")
        taken = {"FR-15": "Cantal", "FR-63": "Puy-de-Dôme"}[str(regions(server)[0][1])]
        expect(ask).to_contain_text(f"took it as {taken}")
        app.picture("region-choice")
        ask.get_by_role("button", name="Puy-de-Dôme").click()
        expect(ask).to_have_count(0)
        until(lambda: regions(server) == [("FR-63", "FR-63")])
        app.page.reload()
        expect(app.page.get_by_role("heading", name="Halte de la Crête")).to_be_visible()
        expect(ask).to_have_count(0)
        assert app.faults == []
