"""What is on the glass and before it: print, shine, drops, dirt, fingers, bands."""

import numpy as np
from scipy.ndimage import gaussian_filter
from tube import Array, Tube, tint


def over(rng: np.random.Generator, tube: Tube, light: Array, x: Array, y: Array, glass: Array) -> Array:
    """Return the light with everything on and before the glass; glass: heights on its front, NaN beside it."""
    on = np.nan_to_num(glass, nan=99.0)
    around = np.arcsin(np.clip((x - tube.middle - tube.turn * y) / tube.radius, -1, 1))
    if rng.random() < 0.9:
        deep = 2 * tube.radius * tube.sight * np.cos(around)
        ink, cover = inked(rng, around, on, on - deep)
        light = light * (1 - cover[..., None]) + cover[..., None] * ink
    for _ in range(rng.integers(0, 3) if rng.random() < 0.5 else 0):
        light = spotted(rng, light, tube, around, on)
    if rng.random() < 0.15:
        light = beaded(rng, light, on)
    return shone(rng, light, around, on)


def inked(rng: np.random.Generator, around: Array, on: Array, behind: Array) -> tuple[Array, Array]:
    """Return the print's colour, and how much it covers. behind: heights on the back of the glass."""
    step = float(rng.choice([0.01, 0.0125, 0.02, 0.02, 0.025, 0.04, 0.05, 0.1, 0.2]))
    thick = min(rng.uniform(0.0015, 0.008), 0.35 * step)
    number = np.round(on / step)
    off = np.abs(on - number * step)
    start, way = rng.uniform(-1.0, 1.0), rng.choice([-1, 1])
    longest = rng.uniform(0.3, 1.6)
    per = int(rng.choice([5, 10]))
    lengths = np.where(number % per == 0, 1.0, np.where((number * 2) % per == 0, 0.75, rng.uniform(0.4, 0.75)))
    beside = way * (around - start)
    drawn = (off < thick / 2) & (beside > 0) & (beside < longest * lengths)
    if rng.random() < 0.25:
        rings = int(rng.choice([1, per]))
        drawn |= (off < thick / 2) & (number % rings == 0)
        if rng.random() < 0.5:
            drawn |= np.abs(behind - np.round(behind / (rings * step)) * rings * step) < thick / 2
    if rng.random() < 0.25:
        drawn |= (off < thick / 2) & (-beside > 0.2) & (-beside < 0.2 + longest * lengths)
    drawn &= (on > rng.uniform(-0.3, 0.05)) & (on < rng.uniform(0.95, 1.3))
    if rng.random() < 0.85:
        drawn |= digits(rng, around, on, step * per, start + way * (longest + 0.1))
    if rng.random() < 0.25:
        drawn |= field(rng, around, on)
    cover = drawn * rng.uniform(0.35, 1.0)
    if rng.random() < 0.4:
        worn = gaussian_filter(rng.normal(0, 1, on.shape).astype(np.float32), 4)
        cover = cover * np.clip(0.7 + worn / (worn.std() + 1e-6), 0, 1)
    light = rng.random() < 0.3
    ink = rng.uniform(0.5, 1.0) * tint(rng, 0.1) if light else rng.uniform(0.0, 0.12) * tint(rng, 0.8)
    return ink.astype(np.float32), cover.astype(np.float32)


def digits(rng: np.random.Generator, around: Array, on: Array, apart: float, start: float) -> Array:
    """Return where figures stand beside the long strokes: marks of a few cells, as figures look from afar."""
    tall = min(rng.uniform(0.012, 0.05), 0.7 * apart)
    wide = tall * rng.uniform(2.5, 6)
    which = np.round(on / apart).astype(int)
    row = np.floor(((on - which * apart) / tall + 0.5) * 5).astype(int)
    column = np.floor((around - start) / wide * 7 + 3.5).astype(int)
    glyphs = rng.random((40, 5, 7)) < 0.55
    inside = (row >= 0) & (row < 5) & (column >= 0) & (column < 7)
    return inside & glyphs[which % 40, np.clip(row, 0, 4), np.clip(column, 0, 6)]


def field(rng: np.random.Generator, around: Array, on: Array) -> Array:
    """Return where a maker's field is printed: a box, solid or written."""
    low, high = np.sort(rng.uniform(-0.1, 1.1, 2))
    high = min(high, low + 0.3)
    left = rng.uniform(-1.4, 0.8)
    inside = (on > low) & (on < high) & (around > left) & (around < left + rng.uniform(0.2, 1.0))
    if rng.random() < 0.4:
        return inside
    cells = rng.random((60, 60)) < 0.5
    rows = np.clip(np.nan_to_num(on, nan=0) * rng.uniform(60, 200), -900, 900).astype(int) % 60
    return inside & cells[rows, (around * rng.uniform(8, 20)).astype(int) % 60]


def spotted(rng: np.random.Generator, light: Array, tube: Tube, around: Array, on: Array) -> Array:
    """Return the light with drops, bubbles or dirt on the glass: dark rings, bright middles."""
    above = max(layer.low for layer in tube.layers)
    low = above if rng.random() < 0.5 and above < 1.1 else -0.05
    for _ in range(rng.integers(1, 25)):
        middle, at, size = rng.uniform(-1.2, 1.2), rng.uniform(low, 1.05), np.exp(rng.uniform(-6.2, -4.0))
        rows = np.flatnonzero(np.any(np.abs(on - at) < 2.5 * size, axis=1))
        near = slice(rows[0], rows[-1] + 1) if len(rows) else slice(0)
        far = np.hypot((around[near] - middle) * tube.radius, on[near] - at) / size
        light[near] *= (1 - rng.uniform(0, 0.7) * np.exp(-(((far - 1) / 0.4) ** 2)))[..., None]
        light[near] *= (1 + rng.uniform(-0.4, 0.6) * (far < 0.7))[..., None]
    return light


def beaded(rng: np.random.Generator, light: Array, on: Array) -> Array:
    """Return the light with the glass covered in fine drops or dirt, all over or between two heights."""
    rough = gaussian_filter(rng.normal(0, 1, on.shape).astype(np.float32), np.exp(rng.uniform(-0.4, 1.1)))
    rough /= rough.std() + 1e-6
    low, high = np.sort(rng.uniform(-0.2, 1.2, 2)) if rng.random() < 0.6 else (-1, 2)
    where = (on > low) & (on < high) & (rough > rng.uniform(0.3, 2.0))
    shade = np.where(np.roll(rough, 1, axis=0) > rough, rng.uniform(0.4, 1.0), rng.uniform(1.0, 1.8))
    return light * np.where(where, shade, 1.0)[..., None]


def shone(rng: np.random.Generator, light: Array, around: Array, on: Array) -> Array:
    """Return the light with lamps, windows and the sky mirrored on the glass."""
    whole = np.where(np.abs(on) < 50, 1.0, 0.0)
    for _ in range(rng.integers(0, 4)):
        at, wide = rng.uniform(-1.3, 1.3), np.exp(rng.uniform(np.log(0.02), np.log(0.35)))
        low = rng.uniform(-0.6, 0.9)
        high = low + rng.uniform(0.1, 1.6)
        soft = np.exp(rng.uniform(np.log(0.003), np.log(0.1)))
        shape = np.exp(-(np.abs((around - at) / wide) ** rng.choice([2, 8]))) * whole
        shape = shape * risen((on - low) / soft) * risen((high - on) / soft)
        if rng.random() < 0.25:
            bars = np.abs(np.mod((on - low) / rng.uniform(0.08, 0.4), 1) - 0.5) < rng.uniform(0.02, 0.1)
            shape = np.where(bars, 0.2 * shape, shape)
        bright = np.exp(rng.uniform(np.log(0.02), np.log(4.0)))
        light = light + (bright * shape)[..., None] * tint(rng, 0.15)
    return light


def risen(way: Array) -> Array:
    """Return a soft step from 0 to 1."""
    return 1 / (1 + np.exp(-np.clip(way, -30, 30)))


def held(rng: np.random.Generator, light: Array, x: Array, y: Array, line: float | None) -> tuple[Array, bool]:
    """Return the light with fingers, a clamp or a band before the tube, and whether they hide the line."""
    hidden = False
    for _ in range(rng.integers(1, 3)):
        thin = rng.random() < 0.4
        high = rng.uniform(0.006, 0.025) if thin else rng.uniform(0.04, 0.3)
        low = rng.uniform(-0.1, 1.0)
        covers = line is not None and low - 0.012 < line < low + high + 0.012
        if covers and rng.random() < 0.6:
            continue
        bent = rng.normal(0, 0.3) * x**2 + rng.normal(0, 0.05) * x
        side = rng.uniform(-0.15, 0.3) if rng.random() < 0.4 else -9.0
        where = (y > low + bent) & (y < low + high + bent) & (x > side)
        round_ = 0.5 + 0.5 * np.sin(np.pi * np.clip((y - low - bent) / high, 0, 1))
        colour = rng.uniform(0.02, 0.9) * tint(rng, 0.4)
        light = np.where(where[..., None], round_[..., None] * colour, light)
        hidden |= covers and side < 0.03
    return light, hidden
