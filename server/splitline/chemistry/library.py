"""What the science of the tube offers to others: `splitline.chemistry` gives these names. See server/LIBRARY.md."""

from splitline.chemistry import blend, calibration, fuels, sensor
from splitline.chemistry.budget import Component, Figures, Result, RunResult, Step, result, results
from splitline.chemistry.extraction import Temperatures, content_of_line, line_of_content, strength
from splitline.chemistry.freezing import freezes, freezing_point
from splitline.chemistry.meaning import SPECIFICATIONS, Specification, probability_at_or_above, verdict
from splitline.chemistry.measurement import CalibrationMark, Measurement, Run, Tube
from splitline.errors import Problem, Unusable

__all__ = [
    "SPECIFICATIONS",
    "CalibrationMark",
    "Component",
    "Figures",
    "Measurement",
    "Problem",
    "Result",
    "Run",
    "RunResult",
    "Specification",
    "Step",
    "Temperatures",
    "Tube",
    "Unusable",
    "blend",
    "calibration",
    "content_of_line",
    "freezes",
    "freezing_point",
    "fuels",
    "line_of_content",
    "probability_at_or_above",
    "result",
    "results",
    "sensor",
    "strength",
    "verdict",
]
