"""What a drawn photo of a tube shows, thing by thing.

Lengths mm, volumes mL, angles radians, colours linear red, green, blue with 1 for white paper in this light. Nothing
here or beside it imports the product: `judged.py` is the only module that knows what is under judgement.
"""

from dataclasses import dataclass, field
from math import pi
from typing import Literal

Colour = tuple[float, float, float]
Kind = Literal["clear", "milky"]


@dataclass(frozen=True)
class Slab:
    """A liquid, or the air above it, between two heights along the tube: what it absorbs and scatters per mm."""

    low: float
    high: float
    index: float
    absorbs: Colour
    scatters: float = 0.0
    white: Colour = (0.85, 0.85, 0.85)


@dataclass(frozen=True)
class Filling:
    """What is in the tube, from the bottom. lean: how far the level rises per mm, across and away from the camera.

    meniscus: how high the border creeps up the glass, of the fuel and of the water. skirt: how dark that looks.
    mirror: share of the reflection at the border that is left (froth takes it away).
    """

    slabs: tuple[Slab, ...]
    lean: tuple[float, float]
    meniscus: tuple[float, float]
    skirt: float
    mirror: float
    border: float
    top: float


@dataclass(frozen=True)
class Tube:
    """Glass and marks; the marks' volumes include what is below them."""

    radius: float
    wall: float
    glass: float
    bottom: float
    water: float
    fuel: float

    def height(self, volume: float) -> float:
        """Return how high over the bottom a volume reaches, mm."""
        return 1000.0 * volume / (pi * self.radius**2)


@dataclass(frozen=True)
class Print:
    """What is printed on the glass: ladders of lines with digits, perhaps rings, perhaps a field to write on.

    ladders: angle of each ladder's free ends and its direction (+1 to the right); longest: of the lines, radians.
    """

    ink: Colour
    opacity: float
    thick: float
    step: float
    ladders: tuple[tuple[float, int], ...]
    longest: float
    rings: bool
    digits: float
    field: tuple[float, float, float, float] | None


@dataclass(frozen=True)
class Shine:
    """A reflection on the glass: angles and heights it covers, how bright, how soft, bars of a window across it."""

    angles: tuple[float, float]
    heights: tuple[float, float]
    bright: float
    soft: float
    bars: int = 0


@dataclass(frozen=True)
class Shot:
    """The camera, the light and the hand: pixels unless said otherwise.

    focal: in heights of the picture. fill: how much of the picture's height the marks span. middle: where their middle
    is, shares of the picture. above: angle from which the line is seen, positive from above. light: exposure of white
    paper. noise: electrons for white at an exposure of 1, and read noise in the same unit as light.
    """

    size: tuple[int, int]
    focal: float
    fill: float
    middle: tuple[float, float]
    above: float
    roll: float
    light: float
    cast: Colour
    uneven: tuple[float, float, float]
    blur: float
    shake: tuple[float, float]
    electrons: float
    read: float
    smear: float
    glow: float
    quality: int


@dataclass(frozen=True)
class Scene:
    """One photo to be drawn. line: true volume at the parting line. tags: what to count it under."""

    family: str
    kind: Kind
    seed: int
    tube: Tube
    filling: Filling
    print: Print
    shines: tuple[Shine, ...]
    shot: Shot
    line: float
    behind: float
    ambient: Colour
    tags: tuple[str, ...] = field(default=())
