"""A photo of a scene and the crosses as a hand sets them on it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from study.tubes.backdrop import Backdrop
from study.tubes.film import developed
from study.tubes.glass import inked, shone
from study.tubes.liquid import through
from study.tubes.things import Scene
from study.tubes.view import Array, View, front

# How far off a cross is set, pixels along and across the tube: standard deviation, and the farthest.
ALONG, ACROSS = (1.2, 3.0), (2.5, 7.0)
Place = tuple[float, float]


@dataclass(frozen=True)
class Picture:
    """RGBA bytes row by row; bottom, water and fuel mark as set by hand; where the line really is seen."""

    scene: Scene
    pixels: NDArray[np.uint8]
    marks: dict[str, Place]
    truth: Place
    tilt: float


def draw(scene: Scene) -> Picture:
    """Return the photo of a scene."""
    view, backdrop = View(scene), Backdrop(scene)
    rows, columns = np.mgrid[view.upper : view.lower, view.left : view.right] + 0.5
    light = _around(view, backdrop)
    part = _part(scene, view)
    light[part] = _tube(scene, view, backdrop, columns[part], rows[part], light[part])
    light *= uneven(scene, view, columns, rows)
    rng = np.random.default_rng((scene.seed, 3))
    places = {
        name: front(scene, view, volume)
        for name, volume in (("bottom", scene.tube.bottom), ("water", scene.tube.water), ("fuel", scene.tube.fuel))
    }
    axis = places["fuel"] - places["bottom"]
    corner = np.array([view.left, view.upper])
    marks = {name: _set(rng, place - corner, axis) for name, place in places.items()}
    truth = front(scene, view, scene.line) - corner
    pixels = developed(light, scene.shot, scene.seed)
    return Picture(scene, pixels, marks, (float(truth[0]), float(truth[1])), float(np.degrees(view.tilt)))


def _set(rng: np.random.Generator, at: Array, axis: Array) -> Place:
    along = axis / np.linalg.norm(axis)
    off = [float(np.clip(rng.normal(0, spread), -most, most)) for spread, most in (ALONG, ACROSS)]
    moved = at + off[0] * along + off[1] * np.array([-along[1], along[0]])
    return float(moved[0]), float(moved[1])


def _around(view: View, backdrop: Backdrop) -> Array:
    """Return the picture without the tube, worked out at every third pixel."""
    rows, columns = np.mgrid[view.upper : view.lower : 3, view.left : view.right : 3] + 1.5
    rays = view.rays(columns.ravel(), rows.ravel())
    reach = rays.before + backdrop.distance / np.maximum(rays.away, 0.2)
    x = rays.offset * rays.away + (reach - rays.before) * rays.across
    coarse = backdrop.at(x, rays.start + reach * rays.climb(1.0), np.zeros(x.shape)).reshape(*rows.shape, 3)
    fine = np.repeat(np.repeat(coarse, 3, 0), 3, 1)
    return np.asarray(fine[: view.lower - view.upper, : view.right - view.left].astype(np.float32))


def _part(scene: Scene, view: View) -> tuple[slice, slice]:
    """Return the rows and columns that hold the tube from a little below the bottom mark up."""
    outer = scene.tube.radius + scene.tube.wall
    ends = (-15.0, 1.12 * scene.tube.height(scene.tube.fuel))
    corners = np.array([view.pixel(x, d, z) for x in (-outer, outer) for d in (-outer, outer) for z in ends])
    corners -= (view.left, view.upper)
    (left, upper), (right, lower) = np.floor(corners.min(0)).astype(int) - 2, np.ceil(corners.max(0)).astype(int) + 2
    return slice(max(upper, 0), max(lower, 0)), slice(max(left, 0), max(right, 0))


def _tube(scene: Scene, view: View, backdrop: Backdrop, columns: Array, rows: Array, light: Array) -> Array:
    """Lay the tube, its print and its reflections over a part of the picture."""
    outer = scene.tube.radius + scene.tube.wall
    on = np.abs(view.rays(columns, rows).offset) < outer
    rays = view.rays(columns[on], rows[on])
    seen, angle, height = through(scene, rays, backdrop)
    mm = float(np.linalg.norm(view.origin)) / view.focal
    ink = inked(scene, angle, height, mm)[:, None]
    seen = (1.0 - ink) * seen + ink * np.array(scene.print.ink) * np.array(scene.ambient)
    seen += shone(scene.shines, angle, height)[:, None]
    there = (height > -14.0) & (height < 1.1 * scene.tube.height(scene.tube.fuel))
    light = light.copy()
    light[on] = np.where(there[:, None], seen, light[on])
    return light


def uneven(scene: Scene, view: View, columns: Array, rows: Array) -> Array:
    """Return how much brighter than on average each part of the picture is lit."""
    u, v = columns / view.width - 0.5, rows / view.height - 0.5
    a, b, c = scene.shot.uneven
    return np.asarray(np.exp(a * u + b * v + c * (u * v + v**2 - 0.08)) * (1.0 - 0.25 * (u**2 + v**2)))[..., None]
