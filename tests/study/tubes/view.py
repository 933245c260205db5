"""The camera as a pinhole and the tube before it: from pixels to rays in the tube's own frame, and back.

The tube's frame: x across (to the right in an upright picture), d away from the camera, z up the axis from the bottom.
"""

from dataclasses import dataclass
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from study.tubes.things import Scene

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Rays:
    """Rays as lines across the tube: where they start, their direction across and how fast they climb.

    offset: signed distance from the axis, mm; before: way from the start to the point nearest to the axis.
    rise: axial part of the unit direction in air. start: height at the start.
    """

    offset: Array
    before: Array
    across: Array
    away: Array
    rise: Array
    start: Array

    def climb(self, index: Array | float) -> Array:
        """Return mm up per mm across within a medium: the axial part of index times direction stays what it is."""
        return np.asarray(self.rise / np.sqrt(np.asarray(index) ** 2 - self.rise**2))

    def bends(self, index: Array | float) -> Array:
        """Return by what a medium around the axis divides the offset (Snell for a ray aslant to the axis)."""
        return np.asarray(np.sqrt(np.asarray(index) ** 2 - self.rise**2) / np.sqrt(1.0 - self.rise**2))


class View:
    """Where the tube stands before the camera, so that it fills the picture and is seen as the shot says."""

    def __init__(self, scene: Scene) -> None:
        shot, tube = scene.shot, scene.tube
        self.width, self.height = shot.size
        self.focal = shot.focal * self.height
        self.low, self.high = tube.height(tube.bottom), tube.height(tube.fuel)
        self.line = tube.height(scene.line)
        least, most = -0.75, 0.75
        for _ in range(40):
            tilt = 0.5 * (least + most)
            self._stand(scene, tilt)
            least, most = (tilt, most) if self.above < shot.above else (least, tilt)
        self._cut(scene)

    def _stand(self, scene: Scene, tilt: float) -> None:
        """Put the tube so that its top leans toward the camera by `tilt`, then see from where the line is seen."""
        shot = scene.shot
        axis = np.array([sin(shot.roll) * cos(tilt), -cos(shot.roll) * cos(tilt), -sin(tilt)])
        wanted = np.array([(shot.middle[0] - 0.5) * self.width, (shot.middle[1] - 0.5) * self.height]) / self.focal
        distance = self.focal * (self.high - self.low) * cos(tilt) / (shot.fill * self.height)
        middle = distance * np.array([wanted[0], wanted[1], 1.0])
        self.axis, self.origin = axis, middle - 0.5 * (self.low + self.high) * axis
        away = middle - (middle @ axis) * axis
        self.away = away / np.linalg.norm(away)
        self.across = np.cross(self.away, axis)
        line = self.origin + self.line * axis
        self.above = float(np.arcsin(-(line @ axis) / np.linalg.norm(line)))
        self.tilt = tilt

    def _cut(self, scene: Scene) -> None:
        """Keep the part of the picture around the tube: the rest is never looked at and would only take time."""
        outer = scene.tube.radius + scene.tube.wall
        span = self.high - self.low
        ends = (self.low - 0.08 * span, self.high + 0.08 * span)
        aside = max(1.5 * outer, 0.25 * span)
        seen = np.array([self.pixel(x, 0.0, z) for x in (-aside, aside) for z in ends])
        self.left, self.upper = (int(max(least, 0)) for least in seen.min(axis=0))
        right, lower = seen.max(axis=0)
        self.right, self.lower = int(min(right, self.width)), int(min(lower, self.height))

    def pixel(self, across: float, away: float, height: float) -> Array:
        """Return where a point of the tube's frame is seen, pixels from the whole picture's corner."""
        at = self.origin + across * self.across + away * self.away + height * self.axis
        return np.asarray(self.focal * at[:2] / at[2] + 0.5 * np.array([self.width, self.height]))

    def rays(self, columns: Array, rows: Array) -> Rays:
        """Return the rays of points of the picture."""
        way = np.stack(
            [columns - 0.5 * self.width, rows - 0.5 * self.height, np.full(columns.shape, self.focal)], axis=-1
        )
        way /= np.sqrt((way**2).sum(axis=-1))[..., None]
        x, d, rise = ((way * base).sum(axis=-1) for base in (self.across, self.away, self.axis))
        flat = np.hypot(x, d)
        x, d = x / flat, d / flat
        from_x, from_d, from_z = (-(self.origin @ base) for base in (self.across, self.away, self.axis))
        return Rays(
            offset=from_x * d - from_d * x,
            before=-(from_x * x + from_d * d),
            across=x,
            away=d,
            rise=rise,
            start=np.full(x.shape, from_z),
        )


def front(scene: Scene, view: View, volume: float) -> Array:
    """Return where the mark of a volume is seen: on the outside of the glass, where it faces the camera."""
    return view.pixel(0.0, -(scene.tube.radius + scene.tube.wall), scene.tube.height(volume))


def turned(x: Array, d: Array, angle: Array) -> tuple[Array, Array]:
    """Turn directions across the tube toward negative x."""
    return x * np.cos(angle) - d * np.sin(angle), d * np.cos(angle) + x * np.sin(angle)
