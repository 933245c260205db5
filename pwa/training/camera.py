"""The camera: light, blur, noise, tone and compression, then the samples that the app takes along the axis."""

import io

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter, map_coordinates, shift
from tube import Array, tint

# As chemistry/photo.ts: samples along the axis, and lines across it, three of them a strip.
BELOW, PER_COLUMN = 20, 400
STRIPS = np.arange(-20, 21) * 0.015
LINES = (-0.005, 0.0, 0.005)


def taken(rng: np.random.Generator, light: Array, fine: float) -> tuple[Array, Array]:
    """Return the picture as bytes and the same without noise (0 to 255). fine: pixels a sample."""
    rows, columns = light.shape[:2]
    v, u = np.mgrid[0:rows, 0:columns].astype(np.float32)
    falls = np.exp(rng.normal(0, 0.4) * (u / columns - 0.5) + rng.normal(0, 0.4) * (v / rows - 0.5))
    light = light * falls[..., None] * tint(rng, 0.12)
    usual = np.quantile(light.mean(axis=-1), rng.uniform(0.5, 0.98))
    light = light / usual * rng.uniform(0.25, 1.1)
    if rng.random() < 0.15:
        light = light + gaussian_filter(np.clip(light - 1, 0, 3), (20 * fine, 20 * fine, 0)) + rng.uniform(0, 0.08)
    soft = rng.uniform(0.4, 1.6) if rng.random() < 0.8 else rng.uniform(1.5, 3.0)
    light = gaussian_filter(np.clip(light, 0, 6), (soft, soft, 0))
    if rng.random() < 0.25:
        light = shaken(light, rng.normal(0, 2.0), rng.normal(0, 1.2))
    plain = light
    full = np.exp(rng.uniform(np.log(120), np.log(12000)))
    spread = np.sqrt(np.clip(light, 0, 1) / full + rng.uniform(0, 0.006) ** 2)
    noise = rng.normal(0, 1, light.shape).astype(np.float32) * spread
    smooth = rng.uniform(0.3, 1.2) if rng.random() < 0.5 else 0.0
    if smooth:
        noise = gaussian_filter(noise, (smooth, smooth, 0)) * (1 + smooth)
    knee = rng.uniform(0.0, 0.5)
    table = (255 * curve(np.linspace(0, 1, 4096), knee)).astype(np.float32)

    def tone(one: Array) -> Array:
        return table[(4095 * np.clip(one, 0, 1)).astype(np.int16)]

    file = io.BytesIO()
    Image.fromarray(tone(light + noise).astype(np.uint8)).save(file, "JPEG", quality=int(rng.integers(45, 96)))
    return np.asarray(Image.open(file), np.float32), tone(plain)


def shaken(light: Array, along: float, aside: float) -> Array:
    """Return the light of a camera that moved by some pixels."""
    ways = np.linspace(-0.5, 0.5, 5)
    return sum(shift(light, (along * way, aside * way, 0), order=1, mode="nearest") for way in ways) / len(ways)


def curve(light: Array, knee: float) -> Array:
    """Return sRGB's curve (IEC 61966-2-1), and a share of a camera's softer one."""
    plain = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return (1 - knee) * plain + knee * plain * plain * (3 - 2 * plain)


def sampled(picture: Array, origin: tuple[float, float], fine: float) -> Array:
    """Return strips (row, strip, colour) as the app reads them. origin: pixel of the water mark; fine: as above."""
    rows = (np.arange(BELOW + PER_COLUMN + 1) - BELOW) * fine
    lines = (STRIPS[:, None] + np.array(LINES)).ravel() * PER_COLUMN * fine
    where = np.broadcast_arrays(origin[0] + rows[:, None], origin[1] + lines[None, :])
    seen = np.stack([map_coordinates(picture[..., c], where, order=1, mode="nearest") for c in range(3)], axis=-1)
    return np.median(seen.reshape(len(rows), len(STRIPS), 3, 3), axis=2)
