"""The printed scale of a tube as a picture wrapped around the glass."""

from math import pi

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from photo.scene import Scene

Array = NDArray[np.float64]
PER_MM = 8


class Label:
    """Opacity of the ink by angle (0 faces the camera, radians) and height (mm)."""

    def __init__(self, ink: Array, radius: float, low: float) -> None:
        self.ink, self.radius, self.low = ink, radius, low

    def at(self, angle: Array, height: Array) -> Array:
        """Return the opacity at points of the glass."""
        rows, columns = self.ink.shape
        column = np.clip(((angle + pi / 2) * self.radius * PER_MM).astype(int), 0, columns - 1)
        row = np.clip(((height - self.low) * PER_MM).astype(int), 0, rows - 1)
        return self.ink[row, column]


def label(scene: Scene, per_pixel: float) -> Label:
    """Draw a scene's scale, blurred to the resolution of a pixel of `per_pixel` mm."""
    scale, radius = scene.scale, scene.radius + scene.wall
    low, high = -10.0, scene.height(1.05 * (scene.water + scene.fuel))
    size = (int(pi * radius * PER_MM), int((high - low) * PER_MM))
    image = Image.new("L", size, 0)
    draw = ImageDraw.Draw(image)
    font = ImageFont.load_default(int(3.2 * PER_MM))
    for number in range(1, round((scene.water + scene.fuel) / scale.step) + 1):
        volume = number * scale.step
        major = number % (10 if scale.step < 0.04 * (scene.water + scene.fuel) else 2) == 0
        middle = (scale.place + pi / 2) * radius
        half = (scale.major if major else scale.minor) * radius / 2
        if major and scale.rings:
            middle, half = pi / 2 * radius, pi / 2 * radius
        y = (scene.height(volume) - low) * PER_MM
        thick = scale.thickness * PER_MM / 2
        draw.rectangle(
            ((middle - half) * PER_MM, y - thick, (middle + half) * PER_MM, y + thick), fill=int(255 * scale.opacity)
        )
        if major and scale.numbers:
            _number(image, f"{volume:g}", (scale.number_place + pi / 2) * radius * PER_MM, y, font, scale.opacity)
    soft = image.filter(ImageFilter.GaussianBlur(0.5 * per_pixel * PER_MM))
    return Label(np.asarray(soft, dtype=float) / 255, radius, low)


def _number(image: Image.Image, text: str, x: float, y: float, font: ImageFont.ImageFont, opacity: float) -> None:
    """Write a number upright: the label's rows run upward."""
    box = font.getbbox(text)
    stamp = Image.new("L", (int(box[2]) + 2, int(box[3]) + 2), 0)
    ImageDraw.Draw(stamp).text((0, 0), text, fill=int(255 * opacity), font=font)
    turned = stamp.transpose(Image.Transpose.FLIP_TOP_BOTTOM)
    image.paste(255, (int(x - turned.width / 2), int(y - turned.height / 2)), turned)
