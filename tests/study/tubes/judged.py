"""What is under judgement: the app's suggestion, as it runs on a phone. Nothing else here knows of the product."""

from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from photo.finder import Finder
from splitline.chemistry.axis import Marks, Place
from study.tubes.picture import Picture, draw
from study.tubes.sets import drawn_scene
from study.tubes.things import Kind

Task = tuple[str, Kind, int]
# What the app says a hand is off by, pixels.
HAND = 2.0


@dataclass(frozen=True)
class Outcome:
    """What came of one picture; error and half-width as shares of the fuel, None when no line was suggested."""

    task: Task
    kind: Kind
    tags: tuple[str, ...]
    error: float | None
    half_width: float | None


def outcomes(tasks: Iterable[Task], processes: int = 2) -> Iterator[Outcome]:
    """Draw every task's picture and ask the app for its line."""
    with TemporaryDirectory() as name, Finder() as finder, ProcessPoolExecutor(processes) as pool:
        tasks = list(tasks)
        drawn = pool.map(partial(_drawn, Path(name)), tasks, chunksize=2)
        for task, picture in zip(tasks, drawn, strict=True):
            yield _asked(finder, Path(name) / _named(task), task, picture)


def _named(task: Task) -> str:
    return "-".join(map(str, task))


def _drawn(folder: Path, task: Task) -> tuple[Picture, tuple[int, int]]:
    picture = draw(drawn_scene(*task))
    picture.pixels.tofile(folder / _named(task))
    return replace(picture, pixels=picture.pixels[:0]), (picture.pixels.shape[1], picture.pixels.shape[0])


def _asked(finder: Finder, file: Path, task: Task, drawn: tuple[Picture, tuple[int, int]]) -> Outcome:
    picture, size = drawn
    tube = picture.scene.tube
    bottom, water, fuel = (Place(*picture.marks[name]) for name in ("bottom", "water", "fuel"))
    found = finder.find(file, size, Marks(bottom, water, fuel, line=water), (tube.bottom, tube.water, tube.fuel), HAND)
    file.unlink()
    column = tube.fuel - tube.water
    return Outcome(
        task,
        picture.scene.kind,
        picture.scene.tags,
        found and (found.line - picture.scene.line) / column,
        found and found.half_width / column,
    )
