"""Several vehicles on one phone: which of them the fuel is enough for, and their fill-ups over time."""

from collections.abc import Callable

from playwright.sync_api import expect

from browser.phone import Opened, Phone
from helpers.server_process import Served

STATION = "Relais du Sureau noir"


def vehicle(app: Opened, name: str, litres: str, minimum: str) -> None:
    """Add a vehicle, which is then in use."""
    app.go("fuel/vehicle/new")
    app.enter("Vehicle name", name)
    app.enter("Tank capacity", litres)
    app.enter("Minimum ethanol", minimum)
    app.tap("Save this vehicle")
    expect(app.page.get_by_role("heading", name="Tank")).to_be_visible()


def fill_up(app: Opened, before: str, litres: str, sensed: str) -> None:
    """Enter a fill-up with other fuel of 80 +- 2 %, and the sensor's reading."""
    app.go("fuel/fill")
    app.enter("In the tank before", before)
    if app.page.get_by_role("region", name="Tank contents").count():
        asked = app.page.get_by_role("region", name="Tank contents")
        asked.get_by_role("textbox", name="Ethanol content").fill("80")
        asked.get_by_role("textbox", name="Uncertainty").fill("2")
    app.enter("Amount added", litres)
    app.page.get_by_role("textbox", name="Ethanol content").last.fill("80")
    app.page.get_by_role("textbox", name="Uncertainty").last.fill("2")
    app.enter("Sensor reading", sensed)
    app.tap("Save this fill-up")
    expect(app.page.get_by_role("heading", name="Fill-ups")).to_be_visible()


def test_the_result_says_which_vehicles_it_is_enough_for(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open() as app:
        # One unnamed tank.
        app.go("fuel/tank")
        app.enter("Tank capacity", "60")
        app.enter("In the tank now", "45")
        app.tap("Save")
        expect(app.page.get_by_role("img", name="Tank: 45.0 L of 60.0 L")).to_be_visible()
        expect(app.page.get_by_role("radio", name="Vehicle 1")).to_have_count(0)
        vehicle(app, "Blue hatchback", "50", "70")
        vehicle(app, "Van", "80", "90")
        app.page.get_by_role("radio", name="Blue hatchback").check()
        expect(app.page.get_by_text("No tank entered yet.")).to_be_visible()
        app.picture("vehicles")
        # The minimum in the settings is that of the vehicle in use.
        app.go("settings")
        expect(app.page.get_by_text("Minimum of Blue hatchback.")).to_be_visible()
        app.enter("Your minimum", "72")

        app.go()
        app.begin_test(STATION)
        app.read_line("88.8")
        result = app.page.get_by_role("region", name="Result")
        sure = "Blue hatchback: more than 99 % likely to meet its 72 % minimum."
        expect(result).to_contain_text(sure)
        expect(result).to_contain_text("Van: less than 1 % likely to meet its 90 % minimum.")
        expect(result).not_to_contain_text("Vehicle 1")
        result.scroll_into_view_if_needed()
        app.picture("vehicles-result")

        app.tap("Save and share this test")

        # The test's result goes into the empty tank of the vehicle in use and is named in its history.
        app.go("fuel/fill")
        app.enter("In the tank before", "0")
        app.enter("Amount added", "60")
        app.page.get_by_role("radio", name=STATION).check()
        app.page.get_by_role("combobox", name="Content from").select_option(index=1)
        app.tap("Save this fill-up")
        expect(app.page.get_by_role("alert")).to_contain_text("more than the tank holds")
        app.enter("Amount added", "30")
        app.tap("Save this fill-up")
        main = app.page.get_by_role("main")
        expect(main).to_contain_text(f"30.0 L from {STATION}")
        expect(main).to_contain_text("82.6 ± 1.7 % · from a test · assumes 0.5 ± 0.5 % water in the fuel")
        expect(main).to_contain_text("Should then hold 30.0 L at 82.6 ± 1.7 %.")
        # The sensor is read later and saved with the fill-up.
        app.go("fuel/sensor")
        app.enter("Sensor reading", "84")
        app.tap("Save it with the fill-up")
        app.go("fuel/fills")
        expect(main).to_contain_text("Sensor: 84.0 ± 5.7 %.")

        app.go("fuel")
        app.page.get_by_role("radio", name="Vehicle 1").check()
        expect(app.page.get_by_role("img", name="Tank: 45.0 L of 60.0 L")).to_be_visible()
        app.tap("Vehicle details")
        app.tap("Remove this vehicle")
        expect(app.page.get_by_role("radio", name="Vehicle 1")).to_have_count(0)
        app.tap("Undo")
        expect(app.page.get_by_role("img", name="Tank: 45.0 L of 60.0 L")).to_be_visible()
        assert app.faults == []


def test_a_drifting_sensor_shows_in_the_fill_ups(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open() as app:
        vehicle(app, "Blue hatchback", "60", "70")
        fill_up(app, "10", "40", "81")
        # All added fuel has 80 %, so the tank has too; sqrt((0.2 * 2)² + (0.8 * 2)²) = 1.6, by hand.
        main = app.page.get_by_role("main")
        expect(main).to_contain_text("Should then hold 50.0 L at 80.0 ± 1.6 %.")
        expect(main).to_contain_text("+1.0 ± 5.9 points off: within both uncertainties.")
        for shown in ("88", "89"):
            fill_up(app, "10", "40", shown)
        expect(main).not_to_contain_text("in a row")
        fill_up(app, "10", "40", "88")
        expect(main).to_contain_text("3 times in a row the sensor was off by more than both uncertainties")
        expect(main).to_contain_text("It may have drifted")
        app.picture("fill-ups")
        app.page.get_by_role("button", name="Remove").nth(1).scroll_into_view_if_needed()
        app.picture("fill-ups-list")
        # Undo removes it without a trace.
        app.tap("Undo")
        expect(main).not_to_contain_text("in a row")
        expect(app.page.get_by_role("button", name="Remove")).to_have_count(3)
        app.page.get_by_role("button", name="Remove").first.click()
        expect(app.page.get_by_role("button", name="Remove")).to_have_count(2)
        app.tap("Undo")
        expect(app.page.get_by_role("button", name="Remove")).to_have_count(3)
        app.go("fuel")
        expect(app.page.get_by_role("img", name="Tank: 50.0 L of 60.0 L")).to_be_visible()
        app.picture("tank")
        assert app.faults == []


def test_a_blend_can_be_planned_without_a_tank(server: Served, phone: Callable[[str, str], Phone]) -> None:
    with phone("driver", server.url).open() as app:
        app.go("fuel/can/new")
        app.enter("Name of the can", "Red can")
        app.enter("In the can now", "20")
        app.enter("Ethanol content", "85")
        app.tap("Save this can")
        expect(app.page.get_by_role("alert")).to_contain_text("Enter the uncertainty too")
        app.enter("Uncertainty", "2")
        app.tap("Save this can")
        expect(app.page.get_by_role("link", name="Red can")).to_contain_text("typed, not tested")
        app.picture("can-typed")
        app.tap("What to add")
        # 20 L at 10 % and x of 85 % make 30 %: x = 20 * 20 / 55 = 7.3, by hand.
        app.enter("In the tank now", "20")
        app.enter("Ethanol content", "10")
        app.enter("Uncertainty", "2")
        app.enter("Target ethanol", "30")
        app.enter("Room in the tank", "40")
        expect(app.page.get_by_role("region", name="Plan")).to_contain_text("Add 7.3 L from Red can.")
        app.tap("Done, I added it")
        expect(app.page.get_by_role("img", name="Tank: 27.3 L")).to_be_visible()
        expect(app.page.get_by_role("link", name="Red can")).to_contain_text("12.7 L left")
        app.tap("Undo")
        expect(app.page.get_by_text("No tank entered yet.")).to_be_visible()
        expect(app.page.get_by_role("link", name="Red can")).to_contain_text("20.0 L left")
        app.tap("Engine figures")
        app.enter("Ethanol content", "85")
        app.enter("Uncertainty", "2")
        expect(app.page.get_by_role("main")).to_contain_text("Lower heating value")
        app.picture("engine")
        assert app.faults == []
