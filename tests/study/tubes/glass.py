"""What is on the glass: printed scale and reflections, by angle (0 faces the camera, positive right) and height."""

from math import pi

import numpy as np
from PIL import Image, ImageDraw, ImageFont
from scipy import ndimage

from study.tubes.things import Print, Scene, Shine, Tube
from study.tubes.view import Array

FINE = 10
BELOW = 12.0


def inked(scene: Scene, angle: Array, height: Array, mm_per_pixel: float) -> Array:
    """Return the opacity of the print at points of the glass, softened to what a pixel can tell apart."""
    sheet = _sheet(scene.tube, scene.print)
    soft = ndimage.gaussian_filter(sheet, 0.4 * mm_per_pixel * FINE)
    outer = scene.tube.radius + scene.tube.wall
    rows = (_top(scene.tube) - height) * FINE
    columns = (angle + pi / 2) * outer * FINE
    return np.asarray(ndimage.map_coordinates(soft, (rows, columns), order=1, mode="constant"))


def _top(tube: Tube) -> float:
    return tube.height(1.06 * tube.fuel)


def _sheet(tube: Tube, printed: Print) -> Array:
    """Draw the scale flat: as wide as the half of the glass that faces the camera."""
    outer = tube.radius + tube.wall
    size = (int(pi * outer * FINE), int((_top(tube) + BELOW) * FINE))
    image = Image.new("L", size, 0)
    pen = ImageDraw.Draw(image)
    font = ImageFont.load_default(max(printed.digits, 1.0) * FINE)

    def row(volume: float) -> float:
        return (_top(tube) - tube.height(volume)) * FINE

    def column(angle: float) -> float:
        return (angle + pi / 2) * outer * FINE

    ink = int(255 * printed.opacity)
    for count in range(1, round(tube.fuel / printed.step) + 1):
        rank = 0 if count % 10 == 0 else 1 if count % 5 == 0 else 2
        y, half = row(count * printed.step), 0.5 * printed.thick * FINE
        if printed.rings and rank == 0:
            pen.rectangle((0, y - half, size[0], y + half), fill=ink)
        for start, way in printed.ladders:
            ends = sorted((column(start), column(start + way * printed.longest * (1.0, 0.75, 0.5)[rank])))
            pen.rectangle((ends[0], y - half, ends[1], y + half), fill=ink)
            if rank == 0 and printed.digits:
                at = column(start + way * (printed.longest + 0.5 * printed.digits / outer))
                pen.text((at, y), f"{count * printed.step:g}", fill=ink, font=font, anchor="lm" if way > 0 else "rm")
    if printed.field is not None:
        left, right, low, high = printed.field
        pen.rectangle((column(left), row(high), column(right), row(low)), fill=ink)
    return np.asarray(image, dtype=float) / 255


def shone(shines: tuple[Shine, ...], angle: Array, height: Array) -> Array:
    """Return the light that the glass reflects, the same for all three colours."""
    total = np.zeros(angle.shape)
    for shine in shines:
        u = (angle - shine.angles[0]) / (shine.angles[1] - shine.angles[0])
        v = (height - shine.heights[0]) / (shine.heights[1] - shine.heights[0])
        wide, tall = shine.soft / (shine.angles[1] - shine.angles[0]), 12.0 * shine.soft / np.ptp(shine.heights)
        lit = _within(u, wide) * _within(v, float(tall))
        for bar in range(shine.bars):
            place = (bar + 1) / (shine.bars + 1)
            lit = lit * (1.0 - _within((v - place) / 0.06 + 0.5, 0.3))
        if shine.bars:
            lit = lit * (1.0 - _within((u - 0.5) / 0.14 + 0.5, 0.3))
        total += shine.bright * lit
    return total


def _within(share: Array, soft: float) -> Array:
    """Return 1 between 0 and 1 and 0 outside, with soft borders."""
    return np.asarray(
        1.0 / (1.0 + np.exp(-np.clip(share / (0.25 * soft), -60, 60)))
        - 1.0 / (1.0 + np.exp(-np.clip((share - 1.0) / (0.25 * soft), -60, 60)))
    )
