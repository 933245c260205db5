"""Scenes drawn at random, by family: bench, forecourt, kitchen and night differ in light, print, shine and camera."""

from dataclasses import dataclass
from math import pi, radians

import numpy as np

from study.tubes.fillings import filled, volumes
from study.tubes.things import Colour, Kind, Print, Scene, Shine, Shot, Tube

Range = tuple[float, float]


@dataclass(frozen=True)
class Family:
    """What is usual in one kind of place. light: exposure of white paper, sun: share of scenes in hard sunlight."""

    light: Range
    electrons: Range
    warm: Range
    behind: Range
    white_ink: float
    printed: float
    rings: float
    windows: float
    streaks: Range
    sun: float
    uneven: float
    blur: Range
    shake: float


FAMILIES = {
    "bench": Family(
        (0.5, 1.1), (1500, 8000), (-0.1, 0.2), (40, 900), 0.25, 0.95, 0.25, 0.35, (0, 3), 0.05, 0.35, (0.7, 2.0), 0.2
    ),
    "forecourt": Family(
        (0.5, 1.1), (3000, 12000), (-0.1, 0.1), (150, 1600), 0.35, 0.9, 0.1, 0.15, (1, 3), 0.45, 0.3, (0.7, 1.8), 0.25
    ),
    "kitchen": Family(
        (0.35, 0.9), (800, 5000), (0.0, 0.35), (25, 400), 0.15, 0.95, 0.2, 0.6, (0, 2), 0.0, 0.5, (0.8, 2.2), 0.25
    ),
    "night": Family(
        (0.25, 0.8), (150, 900), (-0.25, 0.5), (60, 1200), 0.5, 0.9, 0.15, 0.1, (0, 3), 0.0, 0.8, (1.0, 2.6), 0.4
    ),
}
INKS: tuple[Colour, ...] = ((0.02, 0.02, 0.02), (0.02, 0.03, 0.2), (0.25, 0.03, 0.02), (0.1, 0.07, 0.03))
FILLS = ((50.0, 50.0), (50.0, 50.0), (40.0, 60.0), (25.0, 25.0), (10.0, 10.0), (5.0, 10.0))


def scene(family: str, kind: Kind, seed: int) -> Scene:
    """Return the scene of a family and seed."""
    rng = np.random.default_rng((seed, 11, list(FAMILIES).index(family)))
    usual = FAMILIES[family]
    tube = _tube(rng)
    line, top = volumes(rng, tube)
    filling, names = filled(rng, kind, tube, line, top)
    sun = bool(rng.random() < usual.sun)
    shot = _shot(rng, usual, sun)
    if sun:
        names = (*names, "sun")
    if shot.light * shot.electrons < 400:
        names = (*names, "low light")
    return Scene(
        family=family,
        kind=kind,
        seed=seed,
        tube=tube,
        filling=filling,
        print=_print(rng, usual, tube),
        shines=_shines(rng, usual, tube, sun),
        shot=shot,
        line=line,
        behind=float(np.exp(rng.uniform(*np.log(usual.behind)))),
        ambient=tuple(rng.uniform(0.4, 0.9) * rng.uniform(0.9, 1.0, 3)),
        tags=names,
    )


def _tube(rng: np.random.Generator) -> Tube:
    water, fuel = FILLS[rng.integers(len(FILLS))]
    total = water + fuel
    # A bore this many times as tall as wide up to the fuel mark.
    slender = rng.uniform(5.0, 11.0)
    radius = float((1000.0 * total / (2.0 * pi * slender)) ** (1.0 / 3.0))
    bottom = total * float(rng.choice([0.05, 0.1, 0.2]))
    return Tube(radius, float(rng.uniform(0.9, 2.2)), float(rng.uniform(1.47, 1.52)), bottom, water, total)


def _print(rng: np.random.Generator, usual: Family, tube: Tube) -> Print:
    step = tube.fuel * float(rng.choice([0.01, 0.01, 0.02]))
    turn = rng.uniform(-0.7, 0.7)
    ladders: list[tuple[float, int]] = [(turn, 1)]
    if rng.random() < 0.3:
        ladders.append((turn - rng.uniform(0.15, 0.5), -1))
    elif rng.random() < 0.5:
        ladders = [(turn, -1)]
    white = rng.random() < usual.white_ink
    low = tube.height(tube.water * rng.uniform(0.1, 0.6))
    field = (rng.uniform(0.5, 0.8), 1.5, low, low + rng.uniform(12, 40)) if rng.random() < 0.15 else None
    return Print(
        ink=(0.8, 0.8, 0.8) if white else INKS[rng.integers(len(INKS))],
        opacity=float(rng.uniform(0.5, 0.97)) if rng.random() < usual.printed else 0.0,
        thick=min(float(rng.uniform(0.25, 0.7)), 0.4 * tube.height(step)),
        step=step,
        ladders=tuple(ladders),
        longest=float(rng.uniform(0.35, 1.2)),
        rings=bool(rng.random() < usual.rings),
        digits=float(rng.uniform(2.2, 4.0)) if rng.random() < 0.85 else 0.0,
        field=field,
    )


def _shines(rng: np.random.Generator, usual: Family, tube: Tube, sun: bool) -> tuple[Shine, ...]:
    tall = tube.height(tube.fuel)
    shines = []
    for _ in range(rng.integers(usual.streaks[0], usual.streaks[1] + 1)):
        at, wide, low = rng.uniform(-1.2, 1.2), rng.uniform(0.03, 0.18), rng.uniform(-0.3, 0.6) * tall
        shines.append(
            Shine(
                (at, at + wide),
                (low, low + rng.uniform(0.3, 1.3) * tall),
                rng.uniform(0.05, 1.0),
                rng.uniform(0.02, 0.1),
            )
        )
    if rng.random() < usual.windows:
        at, low, wide = rng.uniform(-1.0, 0.7), rng.uniform(0.0, 0.8) * tall, rng.uniform(0.15, 0.4)
        heights = (low, low + rng.uniform(0.1, 0.4) * tall)
        shines.append(Shine((at, at + wide), heights, rng.uniform(0.1, 0.9), 0.02, int(rng.integers(0, 3))))
    if sun:
        at = rng.uniform(-1.0, 1.0)
        shines.append(Shine((at, at + rng.uniform(0.04, 0.12)), (-30.0, 1.3 * tall), rng.uniform(2.0, 8.0), 0.04))
    return tuple(shines)


def _shot(rng: np.random.Generator, usual: Family, sun: bool) -> Shot:
    tall = int(rng.choice([1200, 1600, 1600]))
    warm = rng.uniform(*usual.warm)
    fill = rng.uniform(0.45, 0.8)
    shake = rng.uniform(0.5, 3.5) if rng.random() < usual.shake else 0.0
    turn = rng.uniform(0, 2 * pi)
    noisy = usual.electrons[1] < 1000
    return Shot(
        size=(int(0.75 * tall), tall),
        focal=rng.uniform(0.75, 1.8),
        fill=fill,
        middle=(0.5 + rng.uniform(-0.15, 0.15), 0.5 + rng.uniform(-0.5, 0.5) * (0.9 - fill)),
        above=radians(float(np.clip(rng.normal(2.0, 3.0), -4.0, 9.0))),
        roll=radians(float(np.clip(rng.normal(0, 5), -20, 20))),
        light=rng.uniform(*usual.light) * (1.3 if sun else 1.0),
        cast=(float(np.exp(0.5 * warm)), float(np.exp(rng.normal(0, 0.03))), float(np.exp(-0.9 * warm))),
        uneven=tuple(rng.normal(0, usual.uneven, 3)),
        blur=rng.uniform(*usual.blur),
        shake=(shake * np.cos(turn), shake * np.sin(turn)),
        electrons=float(np.exp(rng.uniform(*np.log(usual.electrons)))),
        read=rng.uniform(0.001, 0.006) * (2.0 if noisy else 1.0),
        smear=rng.uniform(0.4, 1.4) if noisy else 0.0,
        glow=rng.uniform(0.3, 2.0) if sun else 0.0,
        quality=int(rng.integers(70, 90)),
    )
