"""What is behind the tube: one way of drawing it per family, so that nothing is learned from one kind of clutter.

A backdrop is a picture on a plane behind the tube, 3 pixels per 5 mm, out of focus the farther away it is. Colours of
things are invented.
"""

from collections.abc import Callable

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage

from study.tubes.things import Colour, Scene
from study.tubes.view import Array

SIDE = 512
Painter = Callable[[np.random.Generator, float], Array]


class Backdrop:
    """A painted plane at a distance, and what comes from the sides."""

    def __init__(self, scene: Scene) -> None:
        rng = np.random.default_rng((scene.seed, 5))
        self.distance = scene.behind
        # A far plane is seen in a larger field, so its things are drawn larger too.
        self.per_mm = 1.2 / (0.4 + scene.behind / 400.0)
        self.middle = 0.5 * scene.tube.height(scene.tube.fuel)
        painted = PAINTERS[scene.family](rng, self.per_mm)
        soft = 0.6 + self.per_mm * 0.012 * scene.behind
        self.plane = ndimage.gaussian_filter(painted, (soft, soft, 0), mode="mirror")
        self.ambient = np.array(scene.ambient)

    def at(self, x: Array, z: Array, sideways: Array) -> Array:
        """Return colours at points of the plane, mm from the tube's axis and bottom; sideways: share of ambient."""
        rows = SIDE / 2 - (z - self.middle) * self.per_mm
        columns = SIDE / 2 + x * self.per_mm
        light = np.stack(
            [ndimage.map_coordinates(self.plane[:, :, c], (rows, columns), order=1, mode="mirror") for c in range(3)],
            axis=-1,
        )
        return light + sideways[..., None] * (0.6 * self.ambient - light)


def _colour(rng: np.random.Generator, low: float, high: float, spread: float) -> Colour:
    level = rng.uniform(low, high)
    red, green, blue = np.clip(level * np.exp(rng.normal(0, spread, 3)), 0.005, 1.1)
    return float(red), float(green), float(blue)


def _canvas(colour: Colour) -> tuple[list[Image.Image], list[ImageDraw.ImageDraw]]:
    planes = [Image.new("F", (SIDE, SIDE), value) for value in colour]
    return planes, [ImageDraw.Draw(plane) for plane in planes]


def _done(planes: list[Image.Image]) -> Array:
    return np.stack([np.asarray(plane, dtype=float) for plane in planes], axis=-1)


def _bench(rng: np.random.Generator, per_mm: float) -> Array:
    """A workshop: a wall, a bench that ends somewhere low, boxes, tools and a shelf."""
    planes, pens = _canvas(_colour(rng, 0.15, 0.8, 0.12))
    for _ in range(int(rng.integers(0, 9))):
        wide, tall = np.exp(rng.uniform(np.log(12), np.log(260), 2))
        x, y = rng.uniform(-40, SIDE, 2)
        for pen, value in zip(pens, _colour(rng, 0.04, 0.85, 0.25), strict=True):
            pen.rectangle((x, y, x + wide, y + tall), fill=value)
    if rng.random() < 0.5:
        y = SIDE / 2 + rng.uniform(20, 200)
        for pen, value in zip(pens, _colour(rng, 0.1, 0.6, 0.2), strict=True):
            pen.rectangle((0, y, SIDE, SIDE), fill=value)
    return _done(planes) * np.exp(0.06 * ndimage.gaussian_filter(rng.normal(size=(SIDE, SIDE)), 2))[:, :, None]


def _forecourt(rng: np.random.Generator, per_mm: float) -> Array:
    """Outdoors: sky over ground with a soft skyline, cloudy everywhere, posts and a car's paint."""
    rough = ndimage.zoom(rng.normal(size=(9, 9)), SIDE / 9, order=3)[:SIDE, :SIDE]
    fine = ndimage.gaussian_filter(rng.normal(size=(SIDE, SIDE)), 5) * 6
    y = np.linspace(-1, 1, SIDE)[:, None]
    skyline = rng.uniform(-0.9, 1.1) + 0.06 * ndimage.gaussian_filter1d(rng.normal(size=SIDE), 12)[None, :] * 8
    ground = 1.0 / (1.0 + np.exp(-(y - skyline) * 60))
    sky, earth = (np.array(_colour(rng, *level)) for level in ((0.6, 1.0, 0.08), (0.08, 0.4, 0.1)))
    light = sky + ground[:, :, None] * (earth - sky)
    for _ in range(int(rng.integers(0, 4))):
        x, half = rng.uniform(0, SIDE), rng.uniform(3, 40)
        post = 1.0 / (1.0 + np.exp((np.abs(np.arange(SIDE) - x) - half) * 0.8))[None, :, None]
        light = light + post * (np.array(_colour(rng, 0.05, 0.9, 0.3)) - light)
    strength = rng.uniform(0.02, 0.25)
    return light * np.exp(strength * (rough + 0.4 * fine))[:, :, None]


def _kitchen(rng: np.random.Generator, per_mm: float) -> Array:
    """Indoors: tiles or a striped cloth, and in half of them the fingers of a hand behind the glass."""
    y, x = np.mgrid[:SIDE, :SIDE].astype(float)
    base, other = (np.array(_colour(rng, *level)) for level in ((0.3, 0.9, 0.06), (0.2, 0.8, 0.15)))
    form = rng.random()
    pitch, turn = rng.uniform(25, 120), rng.normal(0, 0.06)
    u, v = x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)
    if form < 0.35:
        mask = np.minimum(np.abs(np.mod(u, pitch) - 2), np.abs(np.mod(v, pitch) - 2)) < 1.5
    elif form < 0.55:
        mask = np.mod(u, pitch) < 0.4 * pitch
    else:
        mask = np.zeros_like(u, dtype=bool)
    light = np.where(mask[:, :, None], 0.5 * (base + other), base)
    if rng.random() < 0.5:
        skin = np.array((0.62, 0.36, 0.26)) * rng.uniform(0.3, 1.2)
        thick = rng.uniform(14, 20) * per_mm
        at = SIDE / 2 + rng.uniform(-150, 120) * per_mm
        for finger in range(int(rng.integers(1, 5))):
            off = (y - at - 1.05 * thick * finger - rng.normal(0, 0.06) * (x - SIDE / 2)) / (0.5 * thick)
            tip = rng.uniform(-10, 60) * per_mm * rng.choice([-1, 1])
            on = np.clip((1 - off**2) * 6, 0, 1) * (x < SIDE / 2 + tip)
            light += on[:, :, None] * (skin * (0.75 + 0.25 * np.clip(1 - off**2, 0, 1))[:, :, None] - light)
    return light


def _night(rng: np.random.Generator, per_mm: float) -> Array:
    """A dark place: a gradient, lamps out of focus, edges of a dashboard or door at any angle, perhaps a lit paper."""
    y, x = np.mgrid[:SIDE, :SIDE] / SIDE - 0.5
    turn = rng.uniform(0, 2 * np.pi)
    low, high = (np.array(_colour(rng, *level)) for level in ((0.02, 0.12, 0.2), (0.1, 0.5, 0.2)))
    light = low + (0.5 + 0.9 * (x * np.cos(turn) + y * np.sin(turn)))[:, :, None] * (high - low)
    for _ in range(int(rng.integers(0, 4))):
        turn, off = rng.uniform(0, np.pi), rng.uniform(-0.4, 0.4)
        side = x * np.sin(turn) + y * np.cos(turn) > off
        light = np.where(side[:, :, None], light * rng.uniform(0.5, 1.6), light)
    for _ in range(int(rng.integers(0, 12))):
        cx, cy = rng.uniform(-0.5, 0.5, 2)
        lamp = np.hypot(x - cx, y - cy) < rng.uniform(0.01, 0.06)
        light += lamp[:, :, None] * np.array(_colour(rng, 0.2, 1.5, 0.3))
    if rng.random() < 0.4:
        paper = (np.abs(x - rng.normal(0, 0.05)) < 0.12) & (np.abs(y) < 0.4)
        light = np.where(paper[:, :, None], np.array(_colour(rng, 0.5, 0.9, 0.04)), light)
    return np.clip(light, 0.0, 2.0)


PAINTERS: dict[str, Painter] = {"bench": _bench, "forecourt": _forecourt, "kitchen": _kitchen, "night": _night}
