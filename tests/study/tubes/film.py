"""From light to the bytes of a photo: exposure, lens, sensor, what the phone's own program does, JPEG."""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from study.tubes.things import Shot
from study.tubes.view import Array


def exposed(light: Array, shot: Shot) -> Array:
    """Return light on the sensor: 1 is as bright as it can tell."""
    return light * shot.light * np.array(shot.cast)


def levels(light: Array) -> Array:
    """Return linear light as sRGB levels from 0 to 255 (IEC 61966-2-1), not rounded."""
    light = np.clip(light, 0.0, 1.0)
    return 255.0 * np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)


def noise(light: Array, shot: Shot) -> Array:
    """Return the standard deviation of a pixel's light."""
    return np.asarray(np.sqrt(np.maximum(light, 0.0) / shot.electrons + shot.read**2))


def developed(light: Array, shot: Shot, seed: int) -> NDArray[np.uint8]:
    """Return a photo as RGBA bytes."""
    rng = np.random.default_rng((seed, 7))
    light = exposed(light, shot)
    if shot.glow:
        over = np.maximum(light - 1.0, 0.0)
        for _ in range(3):
            over = ndimage.uniform_filter(over, (41, 41, 1))
        light = light + shot.glow * over
    light = np.clip(_moved(light, shot), 0.0, 1.3)
    light = light + noise(light, shot) * rng.normal(size=light.shape)
    if shot.smear:
        grey = light.mean(axis=2, keepdims=True)
        tint = ndimage.gaussian_filter(light - grey, (2.5 * shot.smear, 2.5 * shot.smear, 0))
        light = ndimage.gaussian_filter(grey, (shot.smear, shot.smear, 0)) + tint
    file = io.BytesIO()
    Image.fromarray(np.round(levels(light)).astype(np.uint8)).save(file, "JPEG", quality=shot.quality)
    return np.asarray(Image.open(file).convert("RGBA"))


def _moved(light: Array, shot: Shot) -> Array:
    """Blur by the lens and by a hand that moves evenly along a line."""
    soft = ndimage.gaussian_filter(light, (shot.blur, shot.blur, 0))
    if not any(shot.shake):
        return np.asarray(soft)
    path = np.zeros((9, 9))
    for share in np.linspace(-0.5, 0.5, 33):
        x, y = 4.0 + share * shot.shake[0], 4.0 + share * shot.shake[1]
        column, row = int(x), int(y)
        across, down = np.array([1.0 - x + column, x - column]), np.array([1.0 - y + row, y - row])
        path[row : row + 2, column : column + 2] += np.outer(down, across)
    return np.asarray(ndimage.convolve(soft, path[:, :, None] / path.sum(), mode="nearest"))
