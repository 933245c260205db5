"""The parts of a rendered scene. Lengths are mm, colours linear red, green, blue from 0 to 1."""

from dataclasses import dataclass

Colour = tuple[float, float, float]


@dataclass(frozen=True)
class Layer:
    """A liquid between two heights: refractive index, absorption and scattering per mm, colour of what it scatters."""

    low: float
    high: float
    index: float
    absorption: Colour
    scattering: float = 0.0
    haze: Colour = (0.8, 0.8, 0.8)


@dataclass(frozen=True)
class Scale:
    """A printed scale: ink, opacity, thickness, step in mL, position and length of the lines (radians)."""

    ink: Colour
    opacity: float
    thickness: float
    step: float
    place: float
    minor: float
    major: float
    rings: bool
    numbers: bool
    number_place: float


@dataclass(frozen=True)
class Behind:
    """The background: a wall, perhaps a table in front of it, perhaps stripes or a shelf."""

    distance: float
    wall: Colour
    texture: float
    grain: float
    table: Colour | None
    table_height: float
    edges: tuple[tuple[float, Colour], ...]
    stripes: float
    stripe_width: float
    room: Colour
    seed: int


@dataclass(frozen=True)
class Camera:
    """The camera's position and its effect on the light.

    height: of the picture in pixels, three quarters as wide. distance: to the tube, mm. elevation: of the line of sight
    at the parting line, positive from above. tilt: between the tube's axis and the picture's plane; None: the camera
    points at the tube, otherwise the picture is cut from a larger one. roll: in the picture's plane. All radians.
    fill: share of the picture's height that the marks span. blur, motion: pixels.
    """

    height: int
    distance: float
    elevation: float
    tilt: float | None
    roll: float
    fill: float
    across: float
    up: float
    blur: float
    motion: float
    motion_angle: float
    noise: float
    exposure: float
    balance: Colour
    sharpening: float
    unevenness: float
    seed: int


@dataclass(frozen=True)
class Glare:
    """A bright streak along the tube: angle on the glass, width (radians), brightness, from and to (mm)."""

    angle: float
    width: float
    brightness: float
    low: float
    high: float
