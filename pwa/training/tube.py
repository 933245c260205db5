"""A filled tube, drawn as its picture along the axis: layers, border, surface, glass, and what is behind it.

Lengths are shares of the way from the water mark to the fuel mark: y along the axis from the water mark, x across it.
A ray that meets the front wall at a height leaves the back wall lower by twice the slope of the view (`Tube.sight`)
times the depth. This gives each layer's share of the ray, and with it colour, milk and how far the view is bent.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy.ndimage import gaussian_filter, map_coordinates, zoom

Array = np.ndarray
THIN = 1e-4


@dataclass(frozen=True)
class Layer:
    """Liquid from `low` up to `high`: absorbance of red, green, blue and milk across the bore; its lens."""

    low: float
    high: float
    absorbs: tuple[float, float, float]
    milk: float
    bends: float


@dataclass(frozen=True)
class Creep:
    """A border's edge on the glass: `height` and direction, how dark (negative: bright), and its shape."""

    at: float
    height: float
    dark: float
    power: float
    colour: tuple[float, float, float]


@dataclass(frozen=True)
class Tube:
    """A tube in the picture.

    sight: tangent of the view from above, and `bent` times this in the liquid; thick: the wall, so far behind the print
    is the liquid; arch: the round glass bows what is behind; mirror: the border mirrors what is behind.
    """

    middle: float
    turn: float
    radius: float
    bore: float
    sight: float
    bent: float
    thick: float
    arch: float
    lean: float
    layers: tuple[Layer, ...]
    creeps: tuple[Creep, ...]
    white: tuple[float, float, float]
    mirror: float
    edge: tuple[float, float]
    wall: float
    behind: Array = field(repr=False)


def colours(tube: Tube, x: Array, y: Array) -> tuple[Array, Array]:
    """Return linear light at every place, and each place's height on the front of the glass."""
    across = x - tube.middle - tube.turn * y
    light = seen(tube.behind, x, y)
    glass = np.abs(across) < tube.radius
    light[glass] = wall(tube, across[glass], y[glass])
    bore = np.abs(across) < tube.bore
    light[bore] = within(tube, across[bore], y[bore])
    outer = np.clip(across / tube.radius, -1, 1)
    on_glass = y - tube.radius * tube.sight * (1 - np.sqrt(1 - outer**2))
    return light, np.where(glass, on_glass, np.nan)


def wall(tube: Tube, across: Array, y: Array) -> Array:
    """Return the light through the wall beside the bore, darker at its outer edge."""
    rim = np.exp(-(((np.abs(across) - 0.98 * tube.radius) / (0.04 * tube.radius)) ** 2))[..., None]
    return seen(tube.behind, tube.middle - 0.6 * across, y) * tube.wall * (1 - 0.6 * rim)


def within(tube: Tube, across: Array, y: Array) -> Array:
    """Return the light through the bore: the liquids, and the edges of their borders on the glass."""
    inside = np.clip(across / tube.bore, -1, 1)
    deep = np.sqrt(1 - inside**2)
    drop = tube.bore * tube.sight * tube.bent
    front = y - tube.thick * tube.sight / 1.5 - drop * (1 - deep) + tube.lean * across
    back = front - 2 * drop * deep
    light = liquid(tube, y, inside, deep, front, back)
    for creep in tube.creeps:
        light = crept(light, creep, front, 1.0)
        light = crept(light, creep, back, 0.5)
    return light * (1 - tube.edge[0] * np.abs(inside) ** tube.edge[1])[..., None]


def liquid(tube: Tube, y: Array, inside: Array, deep: Array, front: Array, back: Array) -> Array:
    """Return the light that comes through the layers."""
    parts = shares(tube, front, back)
    depth = deep + 0.05
    absorbs = [np.array(layer.absorbs, np.float32) for layer in tube.layers]
    absorbed = sum(part[..., None] * one for part, one in zip(parts, absorbs, strict=True))
    milk = sum(part * np.float32(layer.milk) for part, layer in zip(parts, tube.layers, strict=True))
    bends = sum(part * np.float32(layer.bends) for part, layer in zip(parts, tube.layers, strict=True))
    mixed = np.clip(4 * parts[0] * (1 - parts[0]), 0, 1) if tube.mirror else np.zeros_like(y)
    bow = tube.arch * (np.maximum(bends, -3) - 1) * tube.bore * inside**2
    light = seen(tube.behind, tube.middle + bends * inside * tube.bore, y + bow + tube.mirror * mixed * 0.2)
    through = light * np.exp(-absorbed * depth[..., None])
    cover = (1 - np.exp(-milk * depth))[..., None]
    return through * (1 - cover) + cover * np.array(tube.white, np.float32) * np.exp(-0.3 * absorbed)


def shares(tube: Tube, front: Array, back: Array) -> list[Array]:
    """Return the share of each ray in each layer."""
    low, high = np.minimum(front, back) - THIN, np.maximum(front, back) + THIN
    length = high - low
    parts = [
        np.clip((np.minimum(high, layer.high) - np.maximum(low, layer.low)) / length, 0, 1) for layer in tube.layers
    ]
    if tube.mirror and tube.sight > 0 and len(parts) >= 2:
        both = np.minimum(parts[0], parts[1])
        parts[0] = np.where(both > 0, 0, parts[0])
        parts[1] = np.where(both > 0, 1 - sum(parts[2:]), parts[1])
    return parts


def crept(light: Array, creep: Creep, height: Array, much: float) -> Array:
    """Return the light with a border's edge on the glass drawn on it."""
    way = (height - creep.at) / creep.height
    shape = np.where((way > 0) & (way < 1), (1 - np.clip(way, 0, 1)) ** creep.power, 0)[..., None] * much
    if creep.dark >= 0:
        return light * (1 - creep.dark * shape)
    return light + (-creep.dark) * shape * np.array(creep.colour, np.float32)


def seen(behind: Array, x: Array, y: Array) -> Array:
    """Return what is behind the tube at places; `behind` covers 2.2 columns each way, mirrored beyond."""
    size = behind.shape[0] - 1
    rows = (np.asarray(y) + 0.6) / 2.2 * size
    columns = (np.asarray(x) + 1.1) / 2.2 * size
    rows, columns = np.broadcast_arrays(rows, columns)
    return np.stack(
        [map_coordinates(behind[..., c], [rows, columns], order=1, mode="mirror") for c in range(3)], axis=-1
    )


def backdrop(rng: np.random.Generator) -> Array:
    """Return something to stand behind a tube: surfaces, edges, stripes, noise, more or less out of focus."""
    size = 320
    picture = np.ones((size, size, 3), np.float32) * np.exp(rng.normal(-0.9, 0.7)) * tint(rng, 0.15)
    v, u = np.mgrid[0:size, 0:size].astype(np.float32) / size
    picture *= np.exp(rng.normal(0, 0.4) * (u - 0.5) + rng.normal(0, 0.6) * (v - 0.5))[..., None]
    if rng.random() < 0.3:
        picture *= patches(rng, size)
    for _ in range(rng.integers(0, 9)):
        picture = shaped(rng, picture, u, v)
    if rng.random() < 0.3:
        picture = striped(rng, picture, u, v)
    if rng.random() < 0.6:
        rough = sum(
            zoom(gaussian_filter(rng.normal(0, 1, (size // 4, size // 4)).astype(np.float32), wide) * wide, 4, order=1)
            for wide in rng.uniform(0.3, 8, 3)
        )
        picture *= np.exp(rng.uniform(0, 0.35) * rough / (rough.std() + 1e-6))[..., None]
    soft = float(np.exp(rng.uniform(np.log(0.4), np.log(14))))
    return np.clip(gaussian_filter(picture, (soft, soft, 0), truncate=2.5), 0.003, 4)


def patches(rng: np.random.Generator, size: int) -> Array:
    """Return leaves, shelves, lights: patches of all sizes in colours of their own, some of them bright."""
    rows, columns = rng.integers(3, 50, 2)
    cells = np.exp(rng.normal(0, rng.uniform(0.1, 0.8), (rows, columns, 1)) + rng.normal(0, 0.2, (rows, columns, 3)))
    cells *= np.where(rng.random((rows, columns, 1)) < rng.choice([0, 0, 0.02]), rng.uniform(3, 20), 1)
    at = rng.integers(rows, size=2)
    v, u = np.mgrid[0:size, 0:size] / size
    v = v + rng.choice([0.0, 0.03]) * np.sin(u * rng.uniform(5, 40))
    where = [(v * rows + at[0]) % rows, (u * columns) % columns]
    order = int(rng.integers(0, 2))
    return np.stack([map_coordinates(cells[..., c], where, order=order, mode="wrap") for c in range(3)], axis=-1)


def shaped(rng: np.random.Generator, picture: Array, u: Array, v: Array) -> Array:
    """Return the picture with a half plane, a bar, a box or a disc of another colour."""
    turn = rng.choice([0, np.pi / 2, rng.uniform(0, np.pi)]) + rng.normal(0, 0.04)
    along = (u - rng.uniform(0.1, 0.9)) * np.cos(turn) + (v - rng.uniform(0.1, 0.9)) * np.sin(turn)
    aside = (v - rng.uniform(0.1, 0.9)) * np.cos(turn) - (u - rng.uniform(0.1, 0.9)) * np.sin(turn)
    form = rng.integers(4)
    if form == 0:
        where = along > 0
    elif form == 1:
        where = np.abs(along) < rng.uniform(0.01, 0.12)
    elif form == 2:
        where = (np.abs(along) < rng.uniform(0.03, 0.3)) & (np.abs(aside) < rng.uniform(0.03, 0.3))
    else:
        where = along**2 + aside**2 < rng.uniform(0.02, 0.25) ** 2
    other = np.exp(rng.normal(0, 0.9)) * tint(rng, 0.35)
    return np.where(where[..., None], picture * other, picture)


def striped(rng: np.random.Generator, picture: Array, u: Array, v: Array) -> Array:
    """Return the picture with boards, tiles or a grid."""
    step = rng.uniform(0.02, 0.2)
    gap = rng.uniform(0.05, 0.5)
    lines = np.mod(v + rng.random(), step) < gap * step
    if rng.random() < 0.5:
        lines = lines | (np.mod(u + rng.random(), step * rng.uniform(0.7, 3)) < gap * step)
    if rng.random() < 0.3:
        lines = lines.T
    return np.where(lines[..., None], picture * np.exp(rng.normal(0, 0.6)) * tint(rng, 0.2), picture)


def tint(rng: np.random.Generator, much: float) -> Array:
    """Return a factor for red, green and blue."""
    return np.exp(rng.normal(0, much, 3)).astype(np.float32)
