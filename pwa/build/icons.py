"""Draws the app's icons as PNG from the same shape as public/icons/mark.svg; run by hand when the mark changes.

The mark is the tube glyph: an outlined tube, its lower layer filled to the parting line, the uncertainty a soft band.
"""

from pathlib import Path

from PIL import Image, ImageDraw

PAPER, INK, LAYER, BAND = "#f2eddc", "#201b13", "#0a5a66", "#8fb3ae"
FOLDER = Path(__file__).parent.parent / "public" / "icons"
# Drawn larger and scaled down, because Pillow does not smooth lines.
OVERSAMPLING = 4


def draw(size: int, filled: float) -> Image.Image:
    """Return the mark on paper, `size` pixels square; `filled`: the tube's height as a share of the square."""
    side = size * OVERSAMPLING
    image = Image.new("RGB", (side, side), PAPER)
    pen = ImageDraw.Draw(image)
    unit = side * filled / 100.0
    centre, top = side / 2.0, side / 2.0 - 50.0 * unit

    def tube(inset: float, above: float, colour: str) -> None:
        """Draw a round-bottomed column, `inset` inside the glass, its surface `above` units below the rim."""
        left, right = centre - (20.0 - inset) * unit, centre + (20.0 - inset) * unit
        bottom, radius = top + (100.0 - inset) * unit, (20.0 - inset) * unit
        pen.rectangle((left, top + above * unit, right, bottom - radius), fill=colour)
        pen.ellipse((left, bottom - 2.0 * radius, right, bottom), fill=colour)

    tube(0.0, 2.0, INK)
    tube(5.0, 2.0, PAPER)
    tube(5.0, 30.0, BAND)
    tube(5.0, 42.0, LAYER)
    pen.rounded_rectangle((centre - 29.0 * unit, top, centre + 29.0 * unit, top + 6.0 * unit), 3.0 * unit, fill=INK)
    pen.rectangle((centre - 15.0 * unit, top + 35.0 * unit, centre + 15.0 * unit, top + 37.5 * unit), fill=INK)
    return image.resize((size, size), Image.Resampling.LANCZOS)


def main() -> None:
    """Write the three sizes; a maskable icon keeps its drawing inside the inner circle."""
    for name, size, filled in (("mark-192", 192, 0.8), ("mark-512", 512, 0.8), ("mark-maskable-512", 512, 0.58)):
        draw(size, filled).quantize(32).save(FOLDER / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
