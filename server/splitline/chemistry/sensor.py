"""The car's fuel composition sensor, and whether it agrees with the expected content of the tank."""

from dataclasses import dataclass
from math import sqrt
from typing import Literal

from splitline.chemistry.constants import load
from splitline.chemistry.coverage import NORMAL

_SENSOR = load("sensor")
_HZ, _PERCENT = _SENSOR["frequency_hz"], _SENSOR["content_percent"]
_MS, _DEGREES = _SENSOR["pulse_ms"], _SENSOR["temperature_c"]
CONTAMINATED_ABOVE: float = _SENSOR["contaminated_above_hz"]
ACCURACY: float = _SENSOR["accuracy_points"]
# Expanded uncertainty of the sensor, % (95 %): its accuracy is the half-width of a rectangular distribution.
EXPANDED_UNCERTAINTY = NORMAL * ACCURACY / sqrt(3.0)

Signal = Literal["normal", "out_of_range", "contaminated"]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Sensor against prediction, %: the difference, its expanded uncertainty (95 %), and whether it is within that."""

    difference: float
    expanded_uncertainty: float
    agree: bool


def content_of_frequency(frequency: float) -> float:
    """Return the ethanol content in % for a frequency in Hz: 50 Hz is 0 %, 150 Hz is 100 %."""
    return float(_PERCENT[0] + (frequency - _HZ[0]) * (_PERCENT[1] - _PERCENT[0]) / (_HZ[1] - _HZ[0]))


def frequency_of_content(content: float) -> float:
    """Return the frequency in Hz that a content in % gives."""
    return float(_HZ[0] + (content - _PERCENT[0]) * (_HZ[1] - _HZ[0]) / (_PERCENT[1] - _PERCENT[0]))


def temperature_of_pulse(width: float) -> float:
    """Return the fuel temperature in degrees Celsius for a pulse width in ms: 1 ms is -40, 5 ms is 125."""
    return float(_DEGREES[0] + (width - _MS[0]) * (_DEGREES[1] - _DEGREES[0]) / (_MS[1] - _MS[0]))


def signal(frequency: float) -> Signal:
    """Return what a frequency in Hz says about the signal itself."""
    if frequency > CONTAMINATED_ABOVE:
        return "contaminated"
    return "normal" if _HZ[0] <= frequency <= _HZ[1] else "out_of_range"


def compare(predicted: float, expanded_uncertainty: float, sensed: float) -> Comparison:
    """Return whether the sensor's content agrees with the predicted one within both uncertainties; all in %, 95 %."""
    limit = sqrt(expanded_uncertainty**2 + EXPANDED_UNCERTAINTY**2)
    difference = sensed - predicted
    return Comparison(difference, limit, abs(difference) <= limit)
