"""Renders a scene as a phone would save it: pixels, marks as a person places them, and the truth."""

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter
from scipy import fft

from photo.label import label
from photo.optics import Array, cylinder, outward, refract, through
from photo.scene import Scene
from photo.surroundings import Surroundings
from photo.things import Camera
from splitline.chemistry.axis import Marks, Place

JPEG_QUALITY = 60
# Error of a hand-placed mark, pixels along and across the tube: standard deviation, truncated at twice that.
ALONG, ACROSS = 1.0, 3.0
# Width rendered beside the tube, as a share of the distance from the bottom mark to the fuel mark.
BESIDE = 0.25
# Differences that an even surface shows anyway, in levels of 255.
FAINT = 3.0


@dataclass(frozen=True)
class Picture:
    """A rendered photo: RGBA bytes, row by row; marks as placed by hand; the line's true volume and place."""

    scene: Scene
    width: int
    height: int
    pixels: NDArray[np.uint8]
    marks: Marks
    line: float
    line_place: Place
    tilt: float
    visibility: float


class View:
    """The camera as a map from points to pixels and back."""

    def __init__(self, scene: Scene) -> None:
        camera = scene.camera
        self.height, self.width = camera.height, int(0.75 * camera.height)
        line = scene.height(scene.line)
        low, high = scene.height(scene.bottom_volume), scene.height(scene.water + scene.fuel)
        away, above = np.cos(camera.elevation), np.sin(camera.elevation)
        self.place = np.array([0.0, -camera.distance * away, line + camera.distance * above])
        middle = np.array([0.0, 0.0, 0.5 * (low + high)])
        if camera.tilt is None:
            forward = (middle - self.place) / np.linalg.norm(middle - self.place)
        else:
            forward = np.array([0.0, np.cos(camera.tilt), -np.sin(camera.tilt)])
        right = np.array([1.0, 0.0, 0.0])
        down = np.cross(forward, right)
        cosine, sine = np.cos(camera.roll), np.sin(camera.roll)
        self.axes = np.array([cosine * right + sine * down, cosine * down - sine * right, forward])
        self.tilt = float(np.degrees(np.arcsin(-forward[2])))
        # Scaled and placed in the picture as requested.
        self.focal, self.centre = 1.0, np.zeros(2)
        ends = [self.pixel(np.array([0.0, 0.0, height])) for height in (low, high)]
        self.focal = camera.fill * self.height / float(np.linalg.norm(ends[1] - ends[0]))
        wanted = np.array([self.width / 2, self.height / 2]) + self.height * np.array([camera.across, camera.up])
        self.centre = wanted - self.pixel(middle)

    def rays(self, columns: Array, rows: Array) -> Array:
        """Return the viewing directions of pixels."""
        flat = np.stack([columns - self.centre[0], rows - self.centre[1], np.full(columns.shape, self.focal)], -1)
        # Without a matrix product, which would start threads that wait for each other.
        seen = np.einsum("...i,ij->...j", flat, self.axes)
        return seen / np.linalg.norm(seen, axis=-1, keepdims=True)

    def pixel(self, point: Array) -> Array:
        """Return the pixel of a point."""
        seen = self.axes @ (point - self.place)
        return self.focal * seen[:2] / seen[2] + self.centre


def render(scene: Scene) -> Picture:
    """Return the photo of a scene."""
    view = View(scene)
    around = Surroundings(scene.behind)
    frame = _frame(scene, view)
    left, upper, right, lower = frame
    rows, columns = np.mgrid[upper:lower, left:right]
    rows, columns = rows + 0.5, columns + 0.5
    light = _background(view, around, frame)
    found, bare = np.full(light.shape, np.nan), np.full(light.shape, np.nan)
    on = _slices(scene, view, frame)
    for part, seen in zip(
        (found, bare), _tube(scene, view, around, columns[on].ravel(), rows[on].ravel()), strict=True
    ):
        part[on] = seen.reshape(part[on].shape)
    light = np.where(np.isnan(found), light, found)
    visibility = _visibility(scene, view, bare, frame)
    pixels = np.full((view.height, view.width, 4), 128, dtype=np.uint8)
    light = light * _unevenness(scene.camera, rows, columns)
    pixels[upper:lower, left:right] = _developed(light, scene.camera)
    rng = np.random.default_rng(scene.camera.seed + 1)
    bottom, water, fuel, line = (
        _front(scene, view, volume)
        for volume in (scene.bottom_volume, scene.water, scene.water + scene.fuel, scene.line)
    )
    placed = [_placed(rng, at, fuel - bottom) for at in (bottom, water, fuel)]
    marks = Marks(*placed, line=placed[1])
    return Picture(scene, view.width, view.height, pixels, marks, scene.line, Place(*line), view.tilt, visibility)


def _front(scene: Scene, view: View, volume: float) -> Array:
    """Return the pixel of the front of the outer wall at a volume."""
    toward = view.place[:2] / np.linalg.norm(view.place[:2])
    outer = scene.radius + scene.wall
    return view.pixel(np.array([outer * toward[0], outer * toward[1], scene.height(volume)]))


def _visibility(scene: Scene, view: View, light: Array, frame: tuple[int, int, int, int]) -> float:
    """Return the contrast of the layers: 1 if the step is as large as the variation within the layers.

    The distance of the mean colours above and below a border, over the spread of colours on both sides (Mahalanobis),
    where even a smooth wall counts as FAINT levels of 255 of spread. Two layers: at the line. A milky band: at its
    less visible border. Computed without print, glare, noise, blur and compression.
    """

    def side(start: float, end: float) -> Array:
        return np.array([_across(scene, view, light, frame, height) for height in np.linspace(start, end, 12)])

    def apart(below: Array, above: Array) -> float:
        spread = 0.5 * (np.cov(below.T) + np.cov(above.T)) + FAINT**2 * np.eye(3)
        step = above.mean(axis=0) - below.mean(axis=0)
        return float(np.sqrt(step @ np.linalg.solve(spread, step)))

    reach = 0.12 * scene.height(scene.fuel)
    top = scene.layers[-1].high
    if scene.kind == "clear":
        line = scene.height(scene.line)
        return apart(side(line - 1.0 - reach, line - 1.0), side(line + 1.0, min(line + 1.0 + reach, top - 0.5)))
    low, high = scene.layers[0].high, scene.layers[-1].low
    inset = 0.25 * (high - low)
    band = side(low + inset, high - inset)
    return min(apart(side(low - 1.0 - reach, low - 1.0), band), apart(band, side(high + 1.0, top - 0.5)))


def _across(scene: Scene, view: View, light: Array, frame: tuple[int, int, int, int], height: float) -> Array:
    """Return the median colour over the middle of the bore at a height of the picture."""
    points = []
    for x in scene.radius * np.linspace(-0.3, 0.3, 9):
        at = view.pixel(np.array([x, -np.sqrt(scene.radius**2 - x**2), height]))
        column, row = np.clip((at - frame[:2]).astype(int), 0, [light.shape[1] - 1, light.shape[0] - 1])
        points.append(light[row, column])
    return 255 * _shown(np.nanmedian(points, axis=0) * scene.camera.exposure * np.array(scene.camera.balance))


def _placed(rng: np.random.Generator, at: Array, axis: Array) -> Place:
    along = axis / np.linalg.norm(axis)
    off = np.clip(rng.normal(size=2), -2, 2) * (ALONG, ACROSS)
    moved = at + off[0] * along + off[1] * np.array([-along[1], along[0]])
    return Place(float(moved[0]), float(moved[1]))


def _frame(scene: Scene, view: View) -> tuple[int, int, int, int]:
    """Return the part of the picture around the tube, aligned to JPEG blocks; the rest is not rendered."""
    corners = _corners(scene, view)
    aside = int(BESIDE * scene.camera.fill * view.height)
    left, upper = np.floor(corners.min(axis=0)).astype(int) // 16 * 16 - 16 - np.array([aside, 0])
    right, lower = np.ceil(corners.max(axis=0)).astype(int) // 16 * 16 + 32 + np.array([aside, 0])
    return max(left, 0), max(upper, 0), min(right, view.width), min(lower, view.height)


def _slices(scene: Scene, view: View, frame: tuple[int, int, int, int]) -> tuple[slice, slice]:
    """Return the rows and columns of the frame that contain the tube: other rays need not be traced."""
    corners = _corners(scene, view) - frame[:2]
    (left, upper), (right, lower) = np.floor(corners.min(axis=0)) - 1, np.ceil(corners.max(axis=0)) + 1
    return slice(max(int(upper), 0), int(lower)), slice(max(int(left), 0), int(right))


def _corners(scene: Scene, view: View) -> Array:
    """Return where the corners of a box around the tube appear."""
    outer = scene.radius + scene.wall
    low, high = _ends(scene)
    return np.array(
        [view.pixel(np.array([x, y, z])) for x in (-outer, outer) for y in (-outer, outer) for z in (low, high)]
    )


def _ends(scene: Scene) -> tuple[float, float]:
    total = scene.height(scene.water + scene.fuel)
    return -0.05 * total, 1.12 * total


def _background(view: View, around: Surroundings, frame: tuple[int, int, int, int]) -> Array:
    """Return the frame without the tube, computed at every fourth pixel because it is out of focus anyway."""
    left, upper, right, lower = frame
    rows, columns = np.mgrid[upper : lower + 4 : 4, left : right + 4 : 4]
    rays = view.rays(columns.ravel() + 2.0, rows.ravel() + 2.0)
    coarse = around.seen(np.broadcast_to(view.place, rays.shape), rays).reshape(*rows.shape, 3)
    fine = np.repeat(np.repeat(coarse, 4, axis=0), 4, axis=1)
    return fine[: lower - upper, : right - left]


def _tube(scene: Scene, view: View, around: Surroundings, columns: Array, rows: Array) -> tuple[Array, Array]:
    """Return the light from the tube for pixels, and the same without print and glare; NaN beside the tube."""
    rays = view.rays(columns, rows)
    outer = scene.radius + scene.wall
    origin = np.broadcast_to(view.place, rays.shape)
    way, met = cylinder(origin, rays, outer, far=False)
    light, bare = np.full(rays.shape, np.nan), np.full(rays.shape, np.nan)
    on = np.flatnonzero(met)
    low, high = _ends(scene)
    point = origin[on] + rays[on] * way[on][:, None]
    inside = (point[:, 2] > low) & (point[:, 2] < high)
    on, point = on[inside], point[inside]
    in_glass, _ = refract(rays[on], outward(point), 1.0 / scene.glass)
    to_inner, wet = cylinder(point, in_glass, scene.radius, far=False)
    colour = 0.55 * around.seen(point, rays[on])
    start = point[wet] + in_glass[wet] * to_inner[wet][:, None]
    heights = np.array([layer.high for layer in scene.layers])
    indices = np.array([*(layer.index for layer in scene.layers), 1.0])
    index = indices[np.searchsorted(heights, start[:, 2])]
    liquid, _ = refract(in_glass[wet], outward(start), scene.glass / index)
    colour[wet] = through(scene, start, liquid, around)
    colour[wet] *= _ring(scene, start)[:, None]
    bare[on] = colour
    light[on] = _printed(scene, view, point, colour) + _glare(scene, point)[:, None]
    return light, bare


def _ring(scene: Scene, point: Array) -> Array:
    """Darken the thin ring where the border meets the glass; an emulsion has none."""
    if scene.kind == "milky":
        return np.ones(len(point))
    off = (point[:, 2] - scene.height(scene.line)) / 0.35
    return 1.0 - scene.ring * np.exp(-0.5 * off**2)


def _printed(scene: Scene, view: View, point: Array, colour: Array) -> Array:
    """Draw the printed scale over the light."""
    per_pixel = scene.camera.distance / view.focal
    alpha = label(scene, per_pixel).at(np.arctan2(point[:, 0], -point[:, 1]), point[:, 2])[:, None]
    return (1.0 - alpha) * colour + alpha * np.array(scene.scale.ink)


def _glare(scene: Scene, point: Array) -> Array:
    angle = np.arctan2(point[:, 0], -point[:, 1])
    total = np.zeros(len(point))
    for glare in scene.glares:
        across = np.exp(-0.5 * ((angle - glare.angle) / glare.width) ** 2)
        ends = 1.0 / (1.0 + np.exp(-(point[:, 2] - glare.low) / 2.0)) / (1.0 + np.exp((point[:, 2] - glare.high) / 2.0))
        total += glare.brightness * across * ends
    return total


def _developed(light: Array, camera: Camera) -> NDArray[np.uint8]:
    """Lens, sensor, sharpening and JPEG: RGBA bytes."""
    rng = np.random.default_rng(camera.seed)
    light = light * camera.exposure * np.array(camera.balance)
    light = _blurred(np.clip(light, 0.0, 1.5), camera)
    noise = camera.noise * np.sqrt(0.00002 + 0.0004 * light) * rng.normal(size=light.shape)
    image = Image.fromarray(np.round(255 * _shown(light + noise)).astype(np.uint8))
    if camera.sharpening:
        image = image.filter(ImageFilter.UnsharpMask(radius=1.5, percent=int(100 * camera.sharpening), threshold=0))
    file = io.BytesIO()
    image.save(file, "JPEG", quality=JPEG_QUALITY)
    return np.asarray(Image.open(file).convert("RGBA"))


def _shown(light: Array) -> Array:
    """Return linear light as sRGB (IEC 61966-2-1), 0 to 1."""
    light = np.clip(light, 0.0, 1.0)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def _unevenness(camera: Camera, rows: Array, columns: Array) -> Array:
    """Return the relative lighting of each pixel: smooth, with at most one bend."""
    slope = np.random.default_rng(camera.seed + 2).normal(size=5) * camera.unevenness
    v, u = rows / camera.height - 0.5, columns / camera.height - 0.375
    field = slope[0] * v + slope[1] * u + slope[2] * v**2 + slope[3] * v * u + slope[4] * u**2
    return np.exp(field)[:, :, None]


def _blurred(light: Array, camera: Camera) -> Array:
    """Return light spread by focus and by a moving hand: Gaussians, multiplied in the frequency domain."""
    rows, columns = light.shape[:2]
    v, u = np.meshgrid(fft.fftfreq(rows), fft.rfftfreq(columns), indexing="ij")
    along = u * np.cos(camera.motion_angle) + v * np.sin(camera.motion_angle)
    spread = np.exp(-2 * np.pi**2 * camera.blur**2 * (u**2 + v**2)) * np.sinc(camera.motion * along)
    return fft.irfft2(fft.rfft2(light, axes=(0, 1)) * spread[:, :, None], s=(rows, columns), axes=(0, 1))
