"""Whether the lower layer would freeze at the temperature entered: then reading or temperature is wrong."""

import numpy as np
from numpy.typing import NDArray

from splitline.chemistry.constants import load
from splitline.chemistry.polynomial import Array

_TABLE = load("freezing")
_STRENGTH, _CELSIUS = np.array(_TABLE["mass_fraction"]), np.array(_TABLE["celsius"])
# Allowance for errors of the thermometer and the table, degrees.
_SLACK = 2.0


def freezing_point(strength: Array) -> Array:
    """Return the freezing point, degrees Celsius, by mass fraction of ethanol; at 0.3 and above -20.5."""
    found: Array = np.interp(strength, _STRENGTH, _CELSIUS)
    return found


def freezes(strength: Array, temperature: Array) -> NDArray[np.bool_]:
    """Return whether a layer would be ice, or partly ice, at a temperature in degrees Celsius."""
    return np.asarray(temperature < freezing_point(strength) - _SLACK)
