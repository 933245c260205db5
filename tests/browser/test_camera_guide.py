"""A tube is held against the outline on the camera preview; one tap takes the photo and gives the reading.

Chromium plays a video as its camera: a tube drawn by the study's renderer, held against the outline by an unsteady
hand. The renderer knows nothing of the app; the test knows how much of the picture the outline spans.
"""

import io
import re
from collections.abc import Callable
from dataclasses import replace
from itertools import count
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import CDPSession, expect

from browser.phone import Opened, Phone
from browser.switches import ALLOWED, CAMERA
from helpers.server_process import Served
from study.tubes.families import scene
from study.tubes.picture import draw
from study.tubes.sight import visible
from study.tubes.things import Scene
from study.tubes.view import View, front

SOURCE = "Relais du Sureau noir"
# Pixels; the outline's own share of the height, from its bottom mark to its fuel mark.
FRAME = (900, 1200)
# The outline's bottom mark and fuel mark for 10, 50 and 100 mL: shares of the picture's height.
BOTTOM, FUEL = 0.9478, 0.4278
# How far off the hand holds the tube in each frame, pixels across and down.
HAND = ((4, -7), (-6, 5), (3, 8), (-2, -5), (7, 3), (-5, -8))


def held(one: Scene) -> Scene:
    """The scene with its bottom and fuel marks on the outline's, seen from slightly above the line."""
    middle, fill = 0.5 * (BOTTOM + FUEL), BOTTOM - FUEL
    shot = replace(one.shot, size=FRAME, focal=0.8, roll=0.0, shake=(0.0, 0.0), above=float(np.radians(1.0)))
    for _ in range(4):
        one = replace(one, shot=replace(shot, middle=(0.5, middle), fill=fill))
        low, high = (front(one, View(one), volume)[1] / FRAME[1] for volume in (one.tube.bottom, one.tube.fuel))
        middle += 0.5 * (BOTTOM + FUEL) - 0.5 * (low + high)
        fill *= (BOTTOM - FUEL) / (low - high)
    return one


def on_a_bench() -> Scene:
    """The first random 50 mL + 50 mL tube with a printed scale and a visible line."""
    for seed in count(1):
        one = scene("bench", "clear", seed)
        printed = one.print.opacity > 0.5 and one.print.step == 1.0
        if (one.tube.bottom, one.tube.water, one.tube.fuel) != (10.0, 50.0, 100.0) or not printed:
            continue
        if visible(one := held(one)):
            return one
    raise AssertionError


def whole(one: Scene) -> NDArray[np.uint8]:
    """The full picture around the rendered part; the rest repeats its edges."""
    view, part = View(one), draw(one).pixels[:, :, :3]
    width, height = FRAME
    below, right = height - view.upper - part.shape[0], width - view.left - part.shape[1]
    return np.pad(part, ((view.upper, below), (view.left, right), (0, 0)), mode="edge")


def film(picture: NDArray[np.uint8], file: Path) -> list[str]:
    """Write the video and return the browser switches that play it as the camera."""
    frames = io.BytesIO()
    for across, down in HAND:
        moved = np.roll(picture, (down, across), axis=(0, 1))
        Image.fromarray(moved).save(frames, "JPEG", quality=90)
    file.write_bytes(frames.getvalue())
    return [CAMERA, f"--use-file-for-fake-video-capture={file}"]


@pytest.fixture(scope="module")
def tube() -> Scene:
    """The tube in front of the camera."""
    return on_a_bench()


@pytest.fixture
def switches(tube: Scene, tmp_path: Path) -> list[str]:
    """Switches for a browser whose camera sees the tube."""
    return film(whole(tube), tmp_path / "film.mjpeg")


def to_the_line(app: Opened) -> None:
    """Do a first run offline up to the line."""
    app.go()
    app.offline()
    app.begin_test(SOURCE)
    app.tap("It has settled, skip the timer")


def lean(phone: CDPSession, beta: float) -> None:
    """Tilt the phone, degrees; 90 is upright."""
    phone.send("DeviceOrientation.setDeviceOrientationOverride", {"alpha": 0.0, "beta": beta, "gamma": 0.0})


def test_one_tap_takes_the_photo_and_the_reading(
    server: Served, phone: Callable[..., Phone], tube: Scene, switches: list[str]
) -> None:
    with phone("driver", server.url).open(switches=[*switches, ALLOWED]) as app:
        app.context.grant_permissions(["camera", "geolocation", "accelerometer", "gyroscope"])
        to_the_line(app)
        app.tap("Photo with a guide")
        water = app.page.locator(".guide-outline [data-mark=water]")
        expect(water).to_have_count(1)
        for mark, share in (("bottom", BOTTOM), ("fuel", FUEL)):
            at = float(app.page.locator(f"[data-mark={mark}]").get_attribute("data-y") or 0)
            assert at / FRAME[1] == pytest.approx(share, abs=0.001)
        sensors = app.context.new_cdp_session(app.page)
        lean(sensors, 91.0)
        expect(app.page.get_by_text("Level", exact=True)).to_be_visible()
        lean(sensors, 80.0)
        expect(app.page.get_by_text("Camera looks 10° down")).to_be_visible()
        app.picture("guide-live")
        app.tap("Take the photo")
        said = app.page.get_by_text(re.compile("The photo gives"))
        expect(said).to_be_visible()
        # The camera is released as soon as the photo is taken.
        expect(app.page.locator("video")).to_have_count(0)
        app.picture("guide-found")
        line, half_width = map(float, re.findall(r"(\d+\.\d+)", said.inner_text()))
        assert abs(line - tube.line) <= 0.01 * (tube.tube.fuel - tube.tube.water)
        assert abs(line - tube.line) <= half_width < 1.0
        app.tap("Use this reading")
        expect(app.page.get_by_text("Read from the photo")).to_be_visible()
        app.reload()
        expect(app.page.get_by_text("Read from the photo")).to_be_visible()
        assert app.faults == []


def test_marks_set_by_hand_adjust_the_next_outline(
    server: Served, phone: Callable[..., Phone], switches: list[str]
) -> None:
    with phone("driver", server.url).open(switches=[*switches, ALLOWED]) as app:
        to_the_line(app)
        app.tap("Photo with a guide")
        water = app.page.locator("[data-mark=water]")
        expect(water).to_have_count(1)
        before = float(water.get_attribute("data-y") or 0)
        app.tap("Take the photo")
        app.tap("Set the marks by hand")
        handle = app.page.locator(".photo-handle-water")
        for _ in range(3):
            handle.press("Shift+ArrowUp")
        app.tap("Take this reading")
        app.tap("Remove this photo")
        app.tap("Photo with a guide")
        expect(water).to_have_count(1)
        # Thirty pixels up, give or take what the printed scale had moved the marks by.
        assert before - 50 < float(water.get_attribute("data-y") or 0) < before - 10
        assert app.faults == []


def test_without_a_visible_line_the_marks_start_at_the_outline(
    server: Served, phone: Callable[..., Phone], tmp_path: Path
) -> None:
    """A grey wall."""
    wall = film(np.full((FRAME[1], FRAME[0], 3), 150, np.uint8), tmp_path / "wall.mjpeg")
    with phone("driver", server.url).open(switches=[*wall, ALLOWED]) as app:
        to_the_line(app)
        app.tap("Photo with a guide")
        app.tap("Take the photo")
        expect(app.page.get_by_text("No clear line in this photo")).to_be_visible()
        # Only the sheet's own field for a typed line.
        expect(app.page.get_by_role("button", name="use this reading")).to_have_count(1)
        app.tap("Set the marks by hand")
        handle = app.page.get_by_role("button", name=re.compile("^Bottom mark, "))
        expect(handle).to_have_attribute("aria-label", re.compile(f" {round(BOTTOM * FRAME[1])} down$"))
        expect(app.page.get_by_role("button", name="Take this reading")).to_have_count(0)
        assert app.faults == []


def test_without_camera_permission_a_file_can_be_chosen(
    server: Served, phone: Callable[..., Phone], switches: list[str]
) -> None:
    with phone("driver", server.url).open(switches=switches) as app:
        to_the_line(app)
        app.tap("Photo with a guide")
        expect(app.page.get_by_text("The camera cannot be used here.")).to_be_visible()
        expect(app.page.locator("input[type=file]")).to_be_attached()
        expect(app.page.locator("video")).to_have_count(0)
        app.picture("guide-refused")
        assert app.faults == []
