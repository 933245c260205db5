"""Chromium's command-line switches."""

SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--in-process-gpu",
    "--disable-extensions",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
# A film as the camera, and permission to use it: the headless shell asks nobody.
CAMERA = "--use-fake-device-for-media-stream"
ALLOWED = "--use-fake-ui-for-media-stream"
# Text twice as large (the default is 16), as people with poor eyesight set it; and a mouse, as Playwright sets it.
MOUSE = "primaryHoverType=2,availableHoverTypes=2,primaryPointerType=4,availablePointerTypes=4"
LARGE_TEXT = f"--blink-settings={MOUSE},defaultFontSize=32"
