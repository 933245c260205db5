"""Whether a person would see what a scene is about, judged on its light without print, shine, noise and blur.

Levels of 255 on stripes down the bore. Two stretches of 5 mm stand apart when their mean colours differ by 7 levels, by
as much as the noise of one pixel, and by 0.8 of what the backdrop varies within them. Colourless layers may also show a
line: darker than both sides by twice as much.
"""

import numpy as np

from study.tubes.backdrop import Backdrop
from study.tubes.film import exposed, levels, noise
from study.tubes.liquid import through
from study.tubes.picture import uneven
from study.tubes.things import Scene
from study.tubes.view import Array, View

STRIPES = np.linspace(-0.6, 0.6, 15)
NEAR, FAR = 1.6, 6.6
BANDS = ("thick band", "soft band", "ragged band")


def visible(scene: Scene) -> bool:
    """Whether the line of a clear scene, or both ends of a band of milk, would be seen."""
    view, backdrop, top = View(scene), Backdrop(scene), scene.filling.top - 0.3
    if scene.kind == "clear":
        line = scene.filling.border
        below, above = (line - FAR, line - NEAR), (line + NEAR, min(line + FAR, top))
        return _apart(scene, view, backdrop, below, above) or _dark(scene, view, backdrop, below, above)
    if not any(band in scene.tags for band in BANDS):
        return True
    low, high = scene.filling.slabs[0].high, scene.filling.slabs[-2].low
    inset = 0.3 * (high - low)
    band = (low + inset, high - inset)
    lower, upper = (low - FAR, low - NEAR), (high + NEAR, max(min(high + FAR, top), high + NEAR + 0.5))
    return _apart(scene, view, backdrop, lower, band) and _apart(scene, view, backdrop, band, upper)


def _seen(scene: Scene, view: View, backdrop: Backdrop, ends: tuple[float, float]) -> tuple[Array, Array]:
    """Return levels, and the noise of a pixel, by stripe and height between two heights."""
    outer = scene.tube.radius + scene.tube.wall
    spots = [
        view.pixel(share * scene.tube.radius, -float(np.sqrt(outer**2 - (share * scene.tube.radius) ** 2)), height)
        for share in STRIPES
        for height in np.linspace(*ends, 30)
    ]
    columns, rows = np.array(spots).T
    light = through(scene, view.rays(columns, rows), backdrop)[0] * uneven(scene, view, columns, rows)
    light = exposed(light, scene.shot).reshape(len(STRIPES), 30, 3)
    return levels(light), levels(light + noise(light, scene.shot)) - levels(light)


def _needed(noisy: Array, *stretches: Array) -> Array:
    """Return by how many levels stretches have to differ to be told apart, by stripe."""
    varied = np.sqrt(np.mean([stretch.var(axis=1) for stretch in stretches], axis=0)).mean(axis=-1)
    return np.asarray(np.maximum(7.0, noisy.mean(axis=(1, 2))) + 0.8 * varied)


def _apart(
    scene: Scene, view: View, backdrop: Backdrop, below: tuple[float, float], above: tuple[float, float]
) -> bool:
    (low, noisy), (high, _) = _seen(scene, view, backdrop, below), _seen(scene, view, backdrop, above)
    step = np.abs(high.mean(axis=1) - low.mean(axis=1)).mean(axis=-1)
    return bool(np.median(step - _needed(noisy, low, high)) > 0.0)


def _dark(scene: Scene, view: View, backdrop: Backdrop, below: tuple[float, float], above: tuple[float, float]) -> bool:
    """Whether the rim of the border is seen as a line though the layers look alike."""
    (low, noisy), (high, _) = _seen(scene, view, backdrop, below), _seen(scene, view, backdrop, above)
    rim, _ = _seen(scene, view, backdrop, (below[1], above[0]))
    darker = np.minimum(low.mean(axis=(1, 2)), high.mean(axis=(1, 2))) - np.sort(rim.mean(axis=2), axis=1)[:, :4].mean(
        axis=1
    )
    return bool(np.median(darker - 2.0 * _needed(noisy, low, high)) > 0.0)
