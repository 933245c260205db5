"""What is seen through the glass: bent at two walls, coloured and clouded by what is inside, mirrored at the border.

Glass and liquid are rings around one axis. The distance at which a ray passes the axis is therefore divided by the
refractive index of each ring and comes back on the way out, so every ray has a closed form and none is followed.
"""

from dataclasses import dataclass

import numpy as np

from study.tubes.backdrop import Backdrop
from study.tubes.things import Filling, Scene, Slab
from study.tubes.view import Array, Rays, turned


@dataclass(frozen=True)
class Chord:
    """The way of rays through the liquid. over, climb: height over the border at the start, and its change per mm."""

    start: Array
    length: Array
    climb: Array
    over: Array
    steep: Array
    first: Array


def through(scene: Scene, rays: Rays, backdrop: Backdrop) -> tuple[Array, Array, Array]:
    """Return colours of rays that meet the tube, and angle and height of where they meet it."""
    tube, filling = scene.tube, scene.filling
    outer = tube.radius + tube.wall
    offset = np.clip(rays.offset / outer, -0.9999, 0.9999) * outer
    way = rays.before - np.sqrt(outer**2 - offset**2)
    height = rays.start + way * rays.climb(1.0)
    angle = np.arctan2(
        offset * rays.away - np.sqrt(outer**2 - offset**2) * rays.across, 1e-9 + _facing(rays, offset, outer)
    )
    in_glass = offset / rays.bends(tube.glass)
    wet = np.abs(in_glass) < 0.995 * tube.radius
    inner = np.clip(in_glass, -0.995 * tube.radius, 0.995 * tube.radius)
    ring = np.sqrt(outer**2 - in_glass**2) - np.sqrt(tube.radius**2 - inner**2)
    start = height + ring * rays.climb(tube.glass)
    slabs = filling.slabs
    level = start - filling.lean[0] * inner + filling.lean[1] * np.sqrt(tube.radius**2 - inner**2)
    first = np.clip(np.searchsorted([slab.high for slab in slabs], level), 0, len(slabs) - 1)
    index = np.array([slab.index for slab in slabs])[first]
    chord_offset = offset / rays.bends(index)
    wet &= np.abs(chord_offset) < 0.998 * tube.radius
    chord_offset = np.clip(chord_offset, -0.998 * tube.radius, 0.998 * tube.radius)
    bend = np.arcsin(offset / outer) - np.arcsin(in_glass / outer)
    bend = bend + np.arcsin(inner / tube.radius) - np.arcsin(chord_offset / tube.radius)
    chord = _chord(scene, rays, chord_offset, bend, start, index, first)
    seen = _looked_up(scene, rays, backdrop, chord, bend, offset, ring)
    bare = 0.45 * backdrop.at(offset, height, np.zeros(len(offset)))
    light = np.where(wet[:, None], seen, bare)
    facing = np.sqrt(1.0 - (offset / outer) ** 2)
    mirror = (0.04 + 0.96 * (1.0 - facing) ** 5)[:, None]
    return (1.0 - mirror) * light + mirror * np.array(scene.ambient), angle, height


def _facing(rays: Rays, offset: Array, outer: float) -> Array:
    """Return how far the point where a ray meets the glass is before the axis, mm."""
    return np.asarray(offset * rays.across + np.sqrt(outer**2 - offset**2) * rays.away)


def _chord(scene: Scene, rays: Rays, offset: Array, bend: Array, start: Array, index: Array, first: Array) -> Chord:
    """Return the way through the liquid and how it stands to the border, which leans a little."""
    x, d = turned(rays.across, rays.away, bend)
    half = np.sqrt(scene.tube.radius**2 - offset**2)
    climb = rays.climb(index)
    lean = scene.filling.lean
    over = start - scene.filling.border - lean[0] * (offset * d - half * x) + lean[1] * (offset * x + half * d)
    return Chord(start, 2.0 * half, climb, over, climb - lean[0] * x - lean[1] * d, first)


def _looked_up(
    scene: Scene, rays: Rays, backdrop: Backdrop, chord: Chord, bend: Array, offset: Array, ring: Array
) -> Array:
    """Return the light that comes out of the near wall: what is behind, straight on or mirrored at the border."""
    x, d = turned(rays.across, rays.away, 2.0 * bend)
    outer = scene.tube.radius + scene.tube.wall
    beside = offset * d + np.sqrt(outer**2 - offset**2) * x
    glass = ring * rays.climb(scene.tube.glass)
    reach = backdrop.distance / np.maximum(d, 0.2)
    sideways = np.clip(1.4 - 2.0 * d, 0.0, 1.0)
    tip, dark = _skirt(scene.filling, chord)

    def behind(climb: Array, out: Array, leaves: Array) -> Array:
        height = out + np.sign(climb) * np.abs(glass) + reach * (np.sign(climb) * np.abs(rays.climb(1.0)) + tip)
        return backdrop.at(beside + reach * x, height, sideways) * leaves

    straight, passed = _gathered(scene.filling, chord, scene.ambient)
    light = straight + passed * behind(chord.climb, chord.start + chord.climb * chord.length, np.ones((len(x), 1)))
    share, before = _mirrored(scene.filling, chord)
    if (some := share > 0.002).any():
        own = np.array([slab.absorbs for slab in scene.filling.slabs])[chord.first]
        haze = np.array([slab.scatters for slab in scene.filling.slabs])[chord.first]
        white = np.array([slab.white for slab in scene.filling.slabs])[chord.first] * np.array(scene.ambient)
        kept = np.exp(-(own + haze[:, None]) * chord.length[:, None])
        turn = chord.start + chord.climb * (2.0 * before - chord.length)
        other = behind(-chord.climb, turn, kept) + white * (1.0 - np.exp(-haze * chord.length))[:, None]
        light = np.where(some[:, None], (1.0 - share)[:, None] * light + share[:, None] * other, light)
    return light * (1.0 - dark)[:, None]


def _gathered(filling: Filling, chord: Chord, ambient: tuple[float, float, float]) -> tuple[Array, Array]:
    """Return the light scattered toward the camera on the straight way, and the share of what is behind that passes.

    Borders lean with the parting line; the two orders in which a ray meets the slabs are worked out apart.
    """
    ends = chord.over, chord.over + chord.steep * chord.length
    low, high = np.minimum(*ends), np.maximum(*ends)
    spread = np.maximum(high - low, 1e-9)

    def passes(slabs: tuple[Slab, ...]) -> tuple[Array, Array]:
        light, left = np.zeros((len(low), 3)), np.ones((len(low), 3))
        for slab in slabs:
            top, bottom = slab.high - filling.border, slab.low - filling.border
            part = np.maximum(np.minimum(high, top) - np.maximum(low, bottom), 0.0) / spread
            way = (part * chord.length)[:, None]
            loss = np.array(slab.absorbs) + slab.scatters
            kept = np.exp(-loss * way)
            glow = np.array(slab.white) * slab.scatters / np.maximum(loss, 1e-9) * np.array(ambient)
            light += left * glow * (1.0 - kept)
            left = left * kept
        return light, left

    up, down = passes(filling.slabs), passes(filling.slabs[::-1])
    rising = (chord.steep > 0.0)[:, None]
    return np.where(rising, up[0], down[0]), np.where(rising, up[1], down[1])


def _mirrored(filling: Filling, chord: Chord) -> tuple[Array, Array]:
    """Return the share of light mirrored at the first border a ray meets (Fresnel), and the way to it.

    Froth between the layers scatters and does not mirror, so its borders count as `filling.mirror` says.
    """
    slabs = filling.slabs
    rising = chord.steep > 0.0
    tops = np.array([slab.high for slab in slabs]) - filling.border
    lows = np.array([slab.low for slab in slabs]) - filling.border
    border = np.where(rising, tops[chord.first], lows[chord.first])
    way = (border - chord.over) / np.where(np.abs(chord.steep) < 1e-9, 1e-9, chord.steep)
    other = np.clip(np.where(rising, chord.first + 1, chord.first - 1), 0, len(slabs) - 1)
    index = np.array([slab.index for slab in slabs])
    before, behind = index[chord.first], index[other]
    cosine = np.abs(chord.steep) / np.sqrt(1.0 + chord.climb**2)
    inner = np.sqrt(np.maximum(1.0 - (before / behind) ** 2 * (1.0 - cosine**2), 0.0))
    s = ((before * cosine - behind * inner) / (before * cosine + behind * inner + 1e-12)) ** 2
    p = ((before * inner - behind * cosine) / (before * inner + behind * cosine + 1e-12)) ** 2
    meets = (way > 0.0) & (way < chord.length) & (other != chord.first) & (before != behind)
    air = np.maximum(before, behind) - np.minimum(before, behind) > 0.2
    return np.where(meets, 0.5 * (s + p) * np.where(air, 1.0, filling.mirror), 0.0), np.clip(way, 0.0, chord.length)


def _skirt(filling: Filling, chord: Chord) -> tuple[Array, Array]:
    """Return how far the borders' rims at the glass tip rays up, and how much they darken them; near and far wall."""
    tip, dark = np.zeros(len(chord.over)), np.zeros(len(chord.over))
    ends = chord.over, chord.over + chord.steep * chord.length
    for at, creep in ((0.0, filling.meniscus[0]), (filling.top - filling.border, filling.meniscus[1])):
        if creep > 0.0:
            for over, strength in ((ends[0], 1.0), (ends[1], 0.6)):
                part = (over - at) / creep
                within = (part > 0.0) & (part < 1.0)
                tip += np.where(within, 0.12 * strength * part, 0.0)
                dark += np.where(within, filling.skirt * strength * np.sin(np.pi * np.clip(part, 0.0, 1.0)) ** 0.7, 0.0)
    return tip, np.minimum(dark, 0.95)
