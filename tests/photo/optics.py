"""Light on its way through the tube: refraction by Snell, reflection by Fresnel, absorption by Lambert and Beer.

All rays of a picture at once: points and directions are arrays (n, 3).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from photo.scene import Scene
from photo.surroundings import Surroundings
from photo.things import Layer

Array = NDArray[np.float64]
AIR = 1.0
MOST_SEGMENTS = 40


@dataclass
class Inside:
    """The light after the liquids: scattered light, transmitted share, position and direction."""

    light: Array
    passed: Array
    point: Array
    direction: Array
    split: Array


def refract(direction: Array, normal: Array, ratio: Array | float) -> tuple[Array, Array]:
    """Return the refracted direction and whether the light is totally reflected; ratio: index before over behind."""
    ratio = np.broadcast_to(ratio, direction.shape[:1])
    cosine = -np.einsum("ij,ij->i", direction, normal)
    under = 1.0 - ratio**2 * (1.0 - cosine**2)
    root = np.sqrt(np.maximum(under, 0.0))
    bent = ratio[:, None] * direction + (ratio * cosine - root)[:, None] * normal
    return bent / np.linalg.norm(bent, axis=1, keepdims=True), under < 0.0


def reflectance(cosine: Array, before: Array, behind: Array) -> Array:
    """Return the share of unpolarised light that is reflected, by Fresnel's equations."""
    sine = before / behind * np.sqrt(np.maximum(1.0 - cosine**2, 0.0))
    inner = np.sqrt(np.maximum(1.0 - sine**2, 0.0))
    across = (before * cosine - behind * inner) / (before * cosine + behind * inner)
    along = (behind * cosine - before * inner) / (behind * cosine + before * inner)
    return np.where(sine >= 1.0, 1.0, 0.5 * (across**2 + along**2))


def cylinder(point: Array, direction: Array, radius: float, far: bool) -> tuple[Array, Array]:
    """Return the distance to a cylinder around z, its near or far side, and whether the ray hits it."""
    a = direction[:, 0] ** 2 + direction[:, 1] ** 2
    b = point[:, 0] * direction[:, 0] + point[:, 1] * direction[:, 1]
    c = point[:, 0] ** 2 + point[:, 1] ** 2 - radius**2
    under = b * b - a * c
    root = np.sqrt(np.maximum(under, 0.0))
    return (-b + (root if far else -root)) / np.maximum(a, 1e-12), under > 0.0


def outward(point: Array) -> Array:
    """Return the normal of a cylinder around z, pointing outward."""
    normal = point.copy()
    normal[:, 2] = 0.0
    return normal / np.linalg.norm(normal, axis=1, keepdims=True)


def through(scene: Scene, point: Array, direction: Array, around: Surroundings) -> Array:
    """Return the light that reaches the camera along rays that meet the inner wall of the tube at `point`."""
    layers = (*scene.layers, Layer(scene.layers[-1].high, 1e6, AIR, (0.0, 0.0, 0.0)))
    straight = _inside(scene, layers, point, direction, reflect_first=False)
    light = _out(straight, scene, around)
    split = straight.split > 1e-3
    if split.any():
        mirrored = _inside(scene, layers, point[split], direction[split], reflect_first=True)
        share = straight.split[split][:, None]
        light[split] = (1.0 - share) * light[split] + share * _out(mirrored, scene, around)
    return light


def _out(inside: Inside, scene: Scene, around: Surroundings) -> Array:
    """Let the light leave the far wall into the air and look up its origin."""
    heights = np.array([layer.high for layer in scene.layers])
    indices = np.array([*(layer.index for layer in scene.layers), AIR])
    index = indices[np.searchsorted(heights, inside.point[:, 2])]
    direction, _ = refract(inside.direction, -outward(inside.point), index / AIR)
    return inside.light + inside.passed * around.seen(inside.point, direction)


def _inside(scene: Scene, layers: tuple[Layer, ...], point: Array, direction: Array, reflect_first: bool) -> Inside:
    """Follow rays from layer to layer until they hit the wall; at the first border, refract or reflect as requested."""
    bounds = np.array([layer.low for layer in layers[1:]])
    low = np.array([layer.low for layer in layers])
    high = np.array([layer.high for layer in layers])
    index = np.array([layer.index for layer in layers])
    loss = np.array([layer.absorption for layer in layers]) + np.array([[layer.scattering] for layer in layers])
    haze = np.array([layer.haze for layer in layers]) * np.array([[layer.scattering] for layer in layers])
    haze = haze / np.maximum(loss, 1e-9)

    count = len(point)
    found = Inside(np.zeros((count, 3)), np.ones((count, 3)), point.copy(), direction.copy(), np.zeros(count))
    at = np.searchsorted(bounds, point[:, 2])
    todo, fresh = np.arange(count), np.ones(count, dtype=bool)
    for _ in range(MOST_SEGMENTS):
        if todo.size == 0:
            break
        here, toward, layer = found.point[todo], found.direction[todo], at[todo]
        to_wall, _ = cylinder(here, toward, scene.radius, far=True)
        rising = toward[:, 2] > 0.0
        border = np.where(rising, high[layer], low[layer])
        steep = np.where(np.abs(toward[:, 2]) < 1e-9, 1e-9, toward[:, 2])
        to_border = np.where(np.abs(toward[:, 2]) < 1e-9, np.inf, (border - here[:, 2]) / steep)
        crossing = to_border < to_wall
        way = np.where(crossing, to_border, to_wall)
        kept = np.exp(-loss[layer] * way[:, None])
        found.light[todo] += found.passed[todo] * haze[layer] * (1.0 - kept)
        found.passed[todo] *= kept
        found.point[todo] = here + toward * way[:, None]
        todo, toward, layer, rising = todo[crossing], toward[crossing], layer[crossing], rising[crossing]
        if todo.size == 0:
            break
        behind = np.clip(np.where(rising, layer + 1, layer - 1), 0, len(layers) - 1)
        closed = (~rising & (layer == 0)) | (rising & (layer == len(layers) - 1))
        normal = np.zeros_like(toward)
        normal[:, 2] = np.where(rising, -1.0, 1.0)
        bent, total = refract(toward, normal, index[layer] / index[behind])
        share = reflectance(np.abs(toward[:, 2]), index[layer], index[behind])
        first = fresh[todo] & (share > 1e-3)
        found.split[todo[first]] = share[first]
        turn = total | closed | (first & reflect_first)
        fresh[todo[first]] = False
        turned = toward * np.array([1.0, 1.0, -1.0])
        found.direction[todo] = np.where(turn[:, None], turned, bent)
        at[todo] = np.where(turn, layer, behind)
    return found
