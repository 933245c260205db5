"""How well the suggestion finds the line on rendered tubes: `python tests/photo/benchmark.py`.

Renders 400 clear pictures and half as many milky ones for each of two seeds; `pwa/training` shares nothing with them.
Asks the app's own code for the line, with hand-placed marks, and prints how often it was right (within 1 % of the fuel
column, in volume), wrong or refused. A picture counts as clear or milky if that can be seen (visibility 4 or more, see
`render.py`); others are reported separately. The camera is level with the line or slightly above, as the app asks; the
last table shows other heights.
"""

import argparse
import sys
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from math import degrees
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from photo.finder import Finder
from photo.render import Picture, render
from photo.scene import Kind, random_scene

SEEDS = (10_000, 3_000_000)
LEVEL = (-3.0, 12.0)
RIGHT = 0.01
VISIBLE = 4.0
# A hand places a mark within about this many pixels.
HAND = 2.0


@dataclass(frozen=True)
class Outcome:
    """The outcome for one picture; error and half_width as shares of the fuel, None if no line was suggested."""

    seed: int
    what: str
    visibility: float
    elevation: float
    tilt: float
    error: float | None
    half_width: float | None

    @property
    def visible(self) -> bool:
        """Whether a person could see the line or the milk; a gradual change has only its width."""
        return self.visibility >= VISIBLE or "slow change" in self.what

    @property
    def right(self) -> bool:
        """Whether the suggestion is within 1 % of the fuel column."""
        return self.error is not None and abs(self.error) <= RIGHT


Task = tuple[int, Kind, tuple[float, float]]


def drawn(folder: Path, task: Task) -> Picture:
    """Render one picture into a file named by its seed."""
    picture = render(random_scene(*task))
    picture.pixels.tofile(folder / str(task[0]))
    return replace(picture, pixels=picture.pixels[:0])


def outcome(finder: Finder, folder: Path, seed: int, picture: Picture) -> Outcome:
    """Get the suggestion for one picture."""
    file, scene = folder / str(seed), picture.scene
    volumes = (scene.bottom_volume, scene.water, scene.water + scene.fuel)
    found = finder.find(file, (picture.width, picture.height), picture.marks, volumes, HAND)
    file.unlink()
    return Outcome(
        seed,
        scene.what,
        picture.visibility,
        degrees(scene.camera.elevation),
        picture.tilt,
        found and (found.line - scene.line) / scene.fuel,
        found and found.half_width / scene.fuel,
    )


def outcomes(seed: int, kind: Kind, count: int, elevation: tuple[float, float] = LEVEL) -> list[Outcome]:
    """Return the outcomes of `count` pictures, rendered on both cores."""
    tasks: list[Task] = [(seed + number, kind, elevation) for number in range(count)]
    with TemporaryDirectory() as name, Finder() as finder, ProcessPoolExecutor(2) as pool:
        pictures = pool.map(partial(drawn, Path(name)), tasks, chunksize=4)
        return [outcome(finder, Path(name), task[0], one) for task, one in zip(tasks, pictures, strict=True)]


def share(found: Iterable[Outcome], holds: Callable[[Outcome], bool]) -> float:
    """Return the share of outcomes that meet a condition."""
    return float(np.mean([holds(one) for one in found]))


def row(name: str, found: list[Outcome]) -> str:
    """Return one line of a table."""
    if not found:
        return f"  {name:34} none"
    right, refused = share(found, lambda one: one.right), share(found, lambda one: one.error is None)
    return (
        f"  {name:34} {len(found):5}   right {right:6.1%}   wrong {1 - right - refused:6.1%}   refused {refused:6.1%}"
    )


def report(seed: int, count: int) -> None:
    """Print the tables of one seed."""
    clear, milky = outcomes(seed, "clear", count), outcomes(seed + 100_000, "milky", count // 2)
    seen = [one for one in clear if one.visible]
    print(f"seed {seed}")
    print(row("clear", seen))
    print(row("clear, but hardly to be seen", [one for one in clear if not one.visible]))
    print(row("milky", [one for one in milky if one.visible]))
    print(row("milky, but hardly to be seen", [one for one in milky if not one.visible]))
    for low, high in ((0, 10), (10, 20), (20, 36)):
        print(row(f"clear, tilted {low} to {high} degrees", [one for one in seen if low <= abs(one.tilt) < high]))
    for name in ("clear", "straw", "amber", "red", "green", "blue", "water dyed", "cloudy"):
        print(row(f"clear, fuel {name}", [one for one in seen if name in one.what]))
    given = [one for one in seen if one.error is not None and one.half_width is not None and abs(one.error) < 0.03]
    errors = np.array([one.error for one in given])
    widths = np.array([one.half_width for one in given])
    print(f"  suggestions within 3 %: error {errors.mean():+.2%} mean, {errors.std():.2%} standard deviation;")
    inside = np.mean(np.abs(errors) <= widths)
    print(f"  half-width {np.median(widths):.2%} median, {inside:.1%} of the true lines inside it")


def heights(seed: int, count: int) -> None:
    """Print the effect of a camera above or below the line."""
    print(f"clear, by the height of the camera, seed {seed}")
    for low, high in ((-35, -20), (-20, -10), (-10, -3), (-3, 3), (3, 12), (12, 20), (20, 35)):
        found = [one for one in outcomes(seed, "clear", count, (low, high)) if one.visible]
        print(row(f"line seen from {low} to {high} degrees", found))


def main() -> None:
    """Print every table."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--pictures", type=int, default=400, help="clear pictures a seed; half as many milky ones")
    options.add_argument("--seed", type=int, action="append", help="instead of the two seeds")
    chosen = options.parse_args()
    for seed in chosen.seed or SEEDS:
        report(seed, chosen.pictures)
    heights((chosen.seed or SEEDS)[-1] + 200_000, chosen.pictures // 5)


if __name__ == "__main__":
    main()
