"""What is in front of the camera: a tube, its contents, the background. All numbers come from one random generator.

Lengths are mm, the tube's axis is z, the camera looks along +y. Colours are linear red, green, blue from 0 to 1. The
refractive indices (aqueous layer 1.335 to 1.364, hydrocarbons 1.39 to 1.43, glass 1.47 to 1.52) are from memory.
"""

from dataclasses import dataclass
from math import pi
from typing import Literal

import numpy as np

from photo.things import Behind, Camera, Colour, Glare, Layer, Scale
from splitline.chemistry.extraction import line_of_content

Kind = Literal["clear", "milky"]

# Absorption per mm for red, green, blue of a strong filling; scaled down at random.
FUEL_DYES: dict[str, Colour] = {
    "clear": (0.0003, 0.0010, 0.0060),
    "straw": (0.0005, 0.0040, 0.0250),
    "amber": (0.0020, 0.0200, 0.0900),
    "red": (0.0030, 0.0800, 0.0600),
    "green": (0.0500, 0.0060, 0.0400),
    "blue": (0.0800, 0.0300, 0.0040),
}
INKS: tuple[Colour, ...] = ((0.02, 0.02, 0.02), (0.85, 0.85, 0.85), (0.03, 0.08, 0.35), (0.35, 0.08, 0.03))


@dataclass(frozen=True)
class Scene:
    """A filled tube with its surroundings; volumes in mL."""

    kind: Kind
    what: str
    radius: float
    wall: float
    glass: float
    bottom_volume: float
    water: float
    fuel: float
    line: float
    top: float
    layers: tuple[Layer, ...]
    scale: Scale
    behind: Behind
    camera: Camera
    glares: tuple[Glare, ...]
    ring: float

    def height(self, volume: float) -> float:
        """Return the height in mm of a volume in mL."""
        return 1000.0 * volume / (pi * self.radius**2)


def random_scene(seed: int, kind: Kind, elevation: tuple[float, float]) -> Scene:
    """Return the scene of a seed; elevation: range of camera elevations, degrees."""
    rng = np.random.default_rng(seed)
    water, fuel = _fills(rng)
    # Graduated cylinders are five to seven times as tall as wide, long tubes up to eleven times.
    total, slender = water + fuel, rng.uniform(5.0, 11.0)
    radius = (1000.0 * total / (2.0 * pi * slender)) ** (1.0 / 3.0)
    tall = 2.0 * slender * radius
    content = rng.uniform(8, 95) if rng.random() < 0.3 else rng.uniform(50, 93)
    line = line_of_content(content, water, fuel, 20.0, 0.5)
    top = line + fuel * (1.0 - content / 100.0)
    per = tall / total
    what, layers = _layers(rng, kind, water * per, line * per, top * per, radius)
    return Scene(
        kind=kind,
        what=what,
        radius=radius,
        wall=rng.uniform(0.8, 2.0),
        glass=rng.uniform(1.47, 1.52),
        bottom_volume=rng.choice([0.05, 0.1, 0.1, 0.2]) * total,
        water=water,
        fuel=fuel,
        line=line,
        top=top,
        layers=layers,
        scale=_scale(rng, total, per),
        behind=_behind(rng),
        camera=_camera(rng, elevation, tall),
        glares=tuple(_glare(rng, tall) for _ in range(rng.integers(0, 4))),
        ring=rng.uniform(0.0, 0.8),
    )


def _fills(rng: np.random.Generator) -> tuple[float, float]:
    choices = [(50.0, 50.0), (50.0, 50.0), (40.0, 60.0), (10.0, 10.0), (100.0, 100.0), (5.0, 10.0)]
    return choices[rng.integers(len(choices))]


def _layers(
    rng: np.random.Generator, kind: Kind, water: float, line: float, top: float, radius: float
) -> tuple[str, tuple[Layer, ...]]:
    """Return the name of the tube's contents and its layers from the bottom; heights in mm."""
    name = str(rng.choice(list(FUEL_DYES)))
    # Real narrow tubes look paler; absorption is not adjusted to width, which keeps that variation.
    strength = rng.uniform(0.6, 1.3)
    dye = tuple(strength * value for value in FUEL_DYES[name])
    kept = rng.choice([0.0, 0.05, 0.15])
    lower_tint = tuple(kept * value + extra for value, extra in zip(dye, rng.uniform(0, 0.0006, 3), strict=True))
    if name in ("clear", "straw") and rng.random() < 0.35:
        name, lower_tint = f"{name}, water dyed", _water_dye(rng)
    upper = Layer(line, top, rng.uniform(1.39, 1.43), dye)
    lower = Layer(-15.0, line, rng.uniform(1.335, 1.364), lower_tint)
    if rng.random() < 0.25:
        cloudy = rng.uniform(0.002, 0.03)
        name += ", cloudy"
        if rng.random() < 0.5:
            upper = Layer(upper.low, upper.high, upper.index, upper.absorption, cloudy)
        else:
            lower = Layer(lower.low, lower.high, lower.index, lower.absorption, cloudy)
    if kind == "clear":
        return name, (lower, upper)
    return _milky(rng, name, lower, upper, top - water)


def _water_dye(rng: np.random.Generator) -> Colour:
    strength = rng.uniform(0.3, 1.0)
    colours = ((0.06, 0.02, 0.003), (0.004, 0.05, 0.04), (0.04, 0.004, 0.03))
    return tuple(strength * value for value in colours[rng.integers(3)])


def _milky(
    rng: np.random.Generator, name: str, lower: Layer, upper: Layer, column: float
) -> tuple[str, tuple[Layer, ...]]:
    """Put an emulsion between the layers: a band, a band with soft borders, or a gradual change without a border."""
    form = str(rng.choice(["band", "soft band", "slow change"]))
    line = lower.high
    thick = column * (rng.uniform(0.2, 0.6) if form == "slow change" else rng.uniform(0.06, 0.4))
    # Leave some clear fuel above and clear water below, so that the band is visible.
    lowest, highest = upper.high - 0.85 * column, upper.high - 0.06 * column
    thick = min(thick, highest - lowest)
    low = float(np.clip(line - rng.uniform(0.2, 0.8) * thick, lowest, highest - thick))
    high = low + thick
    white = rng.uniform(0.02, 0.3)
    haze = tuple(rng.uniform(0.6, 0.95) * np.ones(3) * rng.uniform(0.92, 1.0, 3))
    # A gradual change reflects nothing, so all layers have the same refractive index.
    index = 0.5 * (lower.index + upper.index)
    slices = 1 if form == "band" else 24
    made = []
    for number in range(slices):
        share = (number + 0.5) / slices
        milk = white if slices == 1 else white * (np.sin(pi * share) if form == "soft band" else 0.0)
        mixed = tuple((1 - share) * a + share * b for a, b in zip(lower.absorption, upper.absorption, strict=True))
        cloud = (1 - share) * lower.scattering + share * upper.scattering
        ends = low + (high - low) * np.array([number, number + 1]) / slices
        made.append(Layer(ends[0], ends[1], index, mixed, cloud + milk, haze))
    first = Layer(lower.low, low, index, lower.absorption, lower.scattering, lower.haze)
    last = Layer(high, upper.high, index, upper.absorption, upper.scattering, upper.haze)
    return f"{name}: {form}", (first, *made, last)


def _scale(rng: np.random.Generator, total: float, per: float) -> Scale:
    step = total * rng.choice([0.01, 0.01, 0.02, 0.05])
    return Scale(
        ink=INKS[rng.integers(len(INKS))],
        opacity=rng.uniform(0.5, 0.98),
        thickness=min(rng.uniform(0.2, 0.6), 0.35 * step * per),
        step=step,
        place=rng.uniform(-0.9, 0.9),
        minor=rng.uniform(0.15, 0.4),
        major=rng.uniform(0.4, 0.9),
        rings=bool(rng.random() < 0.2),
        numbers=bool(rng.random() < 0.85),
        number_place=rng.uniform(-0.9, 0.9),
    )


def _behind(rng: np.random.Generator) -> Behind:
    def colour() -> Colour:
        return tuple(rng.uniform(0.25, 0.9) * rng.uniform(0.8, 1.0, 3))

    edges = tuple((rng.uniform(-100, 300), colour()) for _ in range(rng.integers(1, 3) if rng.random() < 0.2 else 0))
    return Behind(
        distance=float(np.exp(rng.uniform(np.log(40), np.log(2000)))),
        wall=colour(),
        texture=rng.choice([0.0, rng.uniform(0.02, 0.25)]),
        grain=rng.uniform(5, 120),
        table=colour() if rng.random() < 0.4 else None,
        table_height=rng.uniform(-30, -3),
        edges=edges,
        stripes=rng.choice([0.0, 0.0, 0.0, rng.uniform(0.05, 0.4)]),
        stripe_width=rng.uniform(8, 80),
        room=colour(),
        seed=int(rng.integers(2**31)),
    )


def _camera(rng: np.random.Generator, elevation: tuple[float, float], tall: float) -> Camera:
    fill = rng.uniform(0.45, 0.8)
    return Camera(
        height=int(rng.choice([1200, 1600])),
        distance=tall * rng.uniform(1.0, 3.5),
        elevation=np.radians(rng.uniform(*elevation)),
        tilt=np.radians(rng.uniform(-35, 35)) if rng.random() < 0.6 else None,
        roll=np.radians(rng.uniform(-35, 35) if rng.random() < 0.25 else rng.normal(0, 4)),
        fill=fill,
        across=rng.uniform(-0.12, 0.12),
        up=rng.uniform(-0.4, 0.4) * (0.85 - fill),
        blur=rng.uniform(0.6, 2.2),
        motion=rng.choice([0.0, 0.0, rng.uniform(0.5, 4.0)]),
        motion_angle=rng.uniform(0, pi),
        noise=rng.uniform(0.3, 2.0),
        exposure=rng.uniform(0.75, 1.25),
        balance=tuple(rng.uniform(0.85, 1.15, 3)),
        sharpening=rng.choice([0.0, rng.uniform(0.2, 0.8)]),
        unevenness=rng.uniform(0.0, 0.5),
        seed=int(rng.integers(2**31)),
    )


def _glare(rng: np.random.Generator, tall: float) -> Glare:
    low = rng.uniform(-0.2, 0.6) * tall
    return Glare(
        rng.uniform(-1.1, 1.1),
        rng.uniform(0.02, 0.12),
        rng.uniform(0.2, 2.0),
        low,
        low + rng.uniform(0.3, 1.2) * tall,
    )
