"""Checks the marks on a photo: the photo belongs to the test, and the line they give is the line that was read."""

from dataclasses import replace

from splitline.chemistry.axis import Marks, Place, line_of_marks
from splitline.chemistry.measurement import Scale
from splitline.chemistry.scale import line_of_reading, step_in_millilitres
from splitline.errors import Problem, Unusable
from splitline.records import PhotoMarks, Run, Test

# A reading is rounded to the scale and marks are set by hand, so the two may differ by this many half-widths.
HALF_WIDTHS = 2.0


def marks_photo(test: Test) -> list[Problem]:
    """Refuse marks on a photo that the test does not include: nobody could check them."""
    return [
        Problem("marks_photo", f"{at}.marks.photo", marks.photo)
        for at, _, marks in _marked(test)
        if marks.photo not in test.photos
    ]


def marks_differ(test: Test) -> list[Problem]:
    """Flag runs whose marks give a different line, and marks that give none."""
    return [problem for at, run, marks in _marked(test) for problem in _remarks(test, run, marks, at)]


def _remarks(test: Test, run: Run, marks: PhotoMarks, at: str) -> list[Problem]:
    try:
        seen = line_of_marks(_places(marks), marks.bottom_volume, run.water, run.water + run.fuel)
    except Unusable as fault:
        return [replace(problem, field=f"{at}.{problem.field}") for problem in fault.problems]
    read = min(_lines(test, run), key=lambda line: abs(line - seen))
    step = step_in_millilitres(test.tube.scale, test.tube.graduation, run.fuel)
    limit = max(HALF_WIDTHS * (run.line_half_width or 0.0), step)
    return [] if abs(read - seen) <= limit else [Problem("marks_differ", f"{at}.marks", f"{seen:.1f}", f"{read:.1f}")]


def _lines(test: Test, run: Run) -> list[float]:
    """The run's line in mL; two values if the kind of scale is unknown."""
    if run.line is not None:
        return [run.line]
    kinds: tuple[Scale, ...] = ("linear", "corrected")
    if test.tube.scale != "unknown":
        kinds = (test.tube.scale,)
    return [line_of_reading(kind, run.percent or 0.0, run.water, run.fuel) for kind in kinds]


def _marked(test: Test) -> list[tuple[str, Run, PhotoMarks]]:
    return [(f"runs[{index}]", run, run.marks) for index, run in enumerate(test.runs) if run.marks]


def _places(marks: PhotoMarks) -> Marks:
    bottom, water, fuel, line = (Place(at.x, at.y) for at in (marks.bottom, marks.water, marks.fuel, marks.line))
    return Marks(bottom, water, fuel, line)
