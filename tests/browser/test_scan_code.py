"""One phone's camera scans a code on another phone's screen.

Chromium plays a video as its camera; it shows what the first phone's screen showed, slightly skewed and out of
focus. On Linux its BarcodeDetector has no decoder (the class comes with a switch, and reads no format), so ZXing reads
the frames instead; everything before and after is the app's and the browser's own.
"""

import base64
import io
from collections.abc import Callable
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image, ImageFilter
from playwright.sync_api import BrowserContext, expect

from browser.phone import Phone, known_as, until
from browser.switches import ALLOWED, CAMERA
from helpers.server_process import Served

DECODER = """
globalThis.BarcodeDetector = class {
  static getSupportedFormats = async () => ["qr_code"];
  async detect(video) {
    const paper = new OffscreenCanvas(video.videoWidth, video.videoHeight);
    paper.getContext("2d").drawImage(video, 0, 0);
    const blob = await paper.convertToBlob();
    const bytes = new Uint8Array(await blob.arrayBuffer());
    const found = await readFrame(btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join("")));
    return found.map((rawValue) => ({ rawValue }));
  }
};
"""
FRAME = (640, 480)


def film(code: bytes, file: Path) -> list[str]:
    """Write a video of a screen held in front of a camera, and return the browser switches that play it."""
    screen = Image.open(io.BytesIO(code)).convert("L")
    screen = screen.resize((330, 330)).rotate(7, expand=True, fillcolor=190).filter(ImageFilter.GaussianBlur(0.8))
    picture = Image.new("L", FRAME, 190)
    picture.paste(screen, ((FRAME[0] - screen.width) // 2, (FRAME[1] - screen.height) // 2))
    frame = io.BytesIO()
    picture.convert("RGB").save(frame, "JPEG", quality=80)
    file.write_bytes(frame.getvalue() * 2)
    return [CAMERA, f"--use-file-for-fake-video-capture={file}"]


def with_decoder(context: BrowserContext) -> list[int]:
    """Use ZXing as the browser's decoder; the list gets the number of codes in each frame read."""
    read: list[int] = []

    def read_frame(picture: str) -> list[str]:
        found = [hit.text for hit in zxingcpp.read_barcodes(Image.open(io.BytesIO(base64.b64decode(picture))))]
        read.append(len(found))
        return found

    context.expose_function("readFrame", read_frame)
    context.add_init_script(DECODER)
    return read


@pytest.fixture
def shown(server: Served, phone: Callable[..., Phone], tmp_path: Path) -> tuple[str, bytes]:
    """The first phone's contributor ID, and a screenshot of its code."""
    with phone("old", server.url).open() as app:
        app.go("settings")
        number = known_as(app)
        app.go("settings/move")
        app.tap("Show the code")
        return number, app.page.get_by_role("img", name="QR code of this phone's secret").screenshot()


def test_the_secret_is_scanned_from_another_screen(
    server: Served, phone: Callable[..., Phone], shown: tuple[str, bytes], tmp_path: Path
) -> None:
    number, code = shown
    with phone("new", server.url).open(switches=[*film(code, tmp_path / "film.mjpeg"), ALLOWED]) as app:
        read = with_decoder(app.context)
        app.go("settings/move")
        app.tap("Scan the code")
        expect(app.page.get_by_role("dialog")).to_contain_text(number)
        assert sum(read) >= 1
        # The camera is released as soon as the code is found.
        expect(app.page.locator("video")).to_have_count(0)
        frames = len(read)
        app.tap("Use that identity")
        expect(app.page.get_by_text(f"This phone's contributor ID is now {number}")).to_be_visible()
        app.go("settings")
        until(lambda: known_as(app) == number)
        assert len(read) == frames
        assert app.faults == []


def test_without_camera_permission_the_text_is_offered(
    server: Served, phone: Callable[..., Phone], shown: tuple[str, bytes], tmp_path: Path
) -> None:
    with phone("new", server.url).open(switches=film(shown[1], tmp_path / "film.mjpeg")) as app:
        read = with_decoder(app.context)
        app.go("settings/move")
        app.tap("Scan the code")
        expect(app.page.get_by_text("The camera cannot be used.")).to_be_visible()
        expect(app.page.get_by_role("button", name="Scan the code")).to_be_visible()
        expect(app.page.get_by_role("textbox", name="Code as text")).to_be_visible()
        assert read == []


def test_a_browser_without_a_decoder_offers_the_text(
    server: Served, phone: Callable[..., Phone], shown: tuple[str, bytes], tmp_path: Path
) -> None:
    """Like Chromium on Linux, Firefox and Safari."""
    with phone("new", server.url).open(switches=film(shown[1], tmp_path / "film.mjpeg")) as app:
        app.go("settings/move")
        expect(app.page.get_by_role("textbox", name="Code as text")).to_be_visible()
        expect(app.page.get_by_role("button", name="Scan the code")).to_have_count(0)
