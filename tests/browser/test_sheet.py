"""The screenshot sheet has every screen in every state."""

from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Playwright

from browser.sheet import Sheet, draw
from browser.sheet_pages import ADDRESSES, FEW, SCHEMES, STATES, WIDTHS, addresses_in, missing

SOURCE = Path(__file__).parents[2] / "pwa" / "src"


@pytest.fixture(scope="module")
def sheet(playwright: Playwright, chromium: Path) -> Sheet:
    """The sheet as the suite takes it: each screen in each state once, in one look after the other."""
    return draw(playwright, chromium, FEW)


def sources() -> dict[str, str]:
    """Every file of the app."""
    return {path.relative_to(SOURCE).as_posix(): path.read_text("utf-8") for path in SOURCE.rglob("*.ts*")}


def test_every_address_in_the_app_is_on_the_sheet() -> None:
    assert missing(sources(), (SOURCE / "shell" / "app.tsx").read_text("utf-8")) == []


def test_a_forgotten_address_is_found() -> None:
    frame = "const SCREENS: Record<string, Screen> = {\n  test: TestScreen,\n  chart: Chart,\n};"
    assert missing({"a.tsx": 'href={to("log", row.id, "copy")}', "b.ts": 'go(["tubes", id], true)'}, frame) == [
        "a.tsx leads to log/*/copy",
        "nothing of chart is shown",
    ]
    assert addresses_in('to("fuel", "can", wordOf(can), "label")') == {"fuel/can/*/label"}


def test_every_screen_is_drawn_in_every_state(sheet: Sheet) -> None:
    for state in ("empty", "loading", "error", "filled"):
        assert {address for address, drawn in sheet.drawn if drawn == state} >= set(ADDRESSES)
    assert {drawn for _, drawn in sheet.drawn} == set(STATES)
    assert sheet.faults == []


def test_every_picture_has_its_width_and_shows_something(sheet: Sheet) -> None:
    assert {look for look, _ in FEW} == set(SCHEMES)
    assert {width for _, width in FEW} == set(WIDTHS)
    assert {file.stem.rsplit(".", 1)[1] for file in sheet.files} == {f"{look}-{width}" for look, width in FEW}
    wide = []
    for file in sheet.files:
        with Image.open(file) as picture:
            dark, light = picture.convert("L").getextrema()
            assert dark != light, file.name
            if picture.width != int(file.stem.rsplit("-", 1)[1]):
                wide.append(f"{file.name} is {picture.width} wide")
    assert wide == []
