"""A simulated world: what happens in a tube and what a person sees of it. It imports nothing of the product.

Marks and temperatures have true values; masses follow from volumes and printed densities, the line
from the masses. The layers' exchange is from `fixtures/published/extraction_equilibrium.json`, by that file's
own rules. The person knows what is printed on the tube and what a thermometer or a guess gives.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from helpers.published import published

Array = NDArray[np.float64]
_FORMULA = published("density_formula")
_CORRECTION = published("extraction_equilibrium")["correction"]
# Fuel's share of the filling at each ratio of the file.
RATIOS = {"9:1": 0.1, "3:1": 0.25, "1:1": 0.5}
# Standard uncertainty of a guess and of a thermometer, degrees: for the tube in the hand; for the filling.
GUESS, FILLED_GUESS, THERMOMETER = 2.0, 4.0, 0.5
# Limit of the fuel's water around half a percent; error of a kitchen scale at every mark, mL.
FUEL_WATER, SCALE = 0.5, 0.1
SOURCES = ("water_fill", "fuel_fill", "line", "marks", "fuel_water", "temperature", "water_temperature")
SOURCES += ("fuel_temperature", "exchange", "calibration")


def density(p: Any, t: Any) -> Any:
    """Return kg/m3 for a mass fraction of ethanol and degrees Celsius: OIML R 22, term by term as printed."""
    warm = np.asarray(t) - 20.0
    rho = np.polynomial.polynomial.polyval(p, _FORMULA["A"])
    rho = rho + np.polynomial.polynomial.polyval(warm, [0.0, *_FORMULA["B"]])
    for i, row in enumerate(_FORMULA["C"], start=1):
        rho = rho + np.polynomial.polynomial.polyval(p, [0.0, *row]) * warm**i
    return rho


def line(content: Any, water: Any, fuel: Any, at: tuple[Any, Any, Any], wet: Any) -> Any:
    """Return the lower layer's volume, mL, if only ethanol and water move down.

    content, wet: % (V/V) of the fuel. water, fuel: true mL. at: degrees of water and fuel as filled, and of the tube.
    """
    ethanol = content / 100.0 * fuel * density(1.0, at[1])
    below = ethanol + water * density(0.0, at[0]) + wet / 100.0 * fuel * density(0.0, at[1])
    return below / density(ethanol / below, at[2])


def content_of(seen: float, water: float, fuel: float, at: tuple[float, float, float], wet: float) -> float:
    """Return the content, %, that gives this line, by scipy's root finder."""
    return float(brentq(lambda content: line(content, water, fuel, at, wet) - seen, -5.0, 110.0, xtol=1e-12))


def exchange(content: float, ratio: str, celsius: float) -> tuple[float, float]:
    """Return the line's bias, points, and its standard uncertainty, from the file by linear interpolation."""
    zero, contents = _CORRECTION["at_zero_content"]["value"], [0.0, *_CORRECTION["contents_percent"]]
    bias = np.interp(content, contents, [zero[ratio], *_CORRECTION["bias_points"][ratio]["value"]])
    known = np.interp(content, contents, [zero["u"], *_CORRECTION["u_points"][ratio]["value"]])
    # u_total_rule
    slope = 0.02 * (1.0 if ratio == "1:1" and content > 60.0 else 0.3)
    return float(bias), float(np.hypot(known, slope * (celsius - 20.0)))


def closed_form(content: float, water: float, fuel: float, wet: float = 0.5, celsius: float = 20.0) -> float:
    """Return the bias, points, by the file's closed form: any ratio, written for 20 degrees."""
    share, at = content / 100.0, (celsius, celsius, celsius)
    ethanol = share * fuel * density(1.0, celsius)
    p = ethanol / (ethanol + (water + wet / 100.0 * fuel) * density(0.0, celsius))
    lower = line(content, water, fuel, at, wet)
    s = (line(content + 0.01, water, fuel, at, wet) - lower) / (0.0001 * fuel)
    h = 10.0 ** (-3.722 + 2.183 * p + 4.601 * p**2 - 1.106 * p**3)
    c = 0.01565 * p + 0.04875 * p**2 + 0.0075 * p**3
    above = fuel * (1.0 - share - wet / 100.0)
    dissolved = min(h * lower, above)
    return float(100.0 / fuel * (0.95 * dissolved / s - c * (above - dissolved)))


def printed(kind: str, lines: Array, trial: "Trial") -> Array:
    """Return what a printed percent scale shows: linear, or corrected for the shrinkage of dry fuel at 20 degrees."""
    if kind == "linear":
        return 100.0 * (lines - trial.water) / trial.fuel
    contents = np.linspace(0.0, 110.0, 4001)
    return np.interp(lines, line(contents, trial.water, trial.fuel, (20.0, 20.0, 20.0), 0.0), contents)


@dataclass(frozen=True)
class Trial:
    """One person's test. Volumes in mL and temperatures in degrees as the person believes them; content is the truth.

    filled: of water and fuel; None if not entered, then all is at the tube's temperature. tolerance: limit of
    error of the marks. weighed: the marks were weighed on one scale. tubes: how many, used in turn.
    """

    content: float
    ratio: str = "1:1"
    total: float = 100.0
    step: float = 1.0
    tolerance: float = 0.0
    weighed: bool = False
    runs: int = 1
    tubes: int = 1
    read: float = 20.0
    thermometer: bool = True
    filled: tuple[float, float] | None = None
    filled_thermometer: bool = True

    @property
    def fuel(self) -> float:
        return self.total * RATIOS[self.ratio]

    @property
    def water(self) -> float:
        return self.total - self.fuel

    @property
    def of_tube(self) -> list[int]:
        """The tube of each run."""
        return [run % self.tubes for run in range(self.runs)]


def lines_seen(trial: Trial, draws: int, sources: tuple[str, ...] = SOURCES, seed: int = 1) -> Array:
    """Return the lines that the person reads, mL on the tube's scale, [draw, run]; only the given sources err."""
    random, alone, each = np.random.default_rng(seed), (draws, 1), (draws, trial.runs)

    def off(name: str, spread: Array) -> Array:
        return spread if name in sources else np.zeros_like(spread)

    def flat(name: str, half: float, shape: tuple[int, int]) -> Array:
        return off(name, random.uniform(-half, half, shape))

    def degrees(name: str, measured: bool, guess: float) -> Array:
        return off(name, random.normal(0.0, THERMOMETER if measured else guess, alone))

    half, per_tube = trial.step / 2.0, (draws, trial.tubes)
    limit = 0.0 if trial.weighed else trial.tolerance
    weighing = flat("calibration", SCALE if trial.weighed else 0.0, per_tube)[:, trial.of_tube]
    low, top, mark = (flat("marks", limit, per_tube)[:, trial.of_tube] + weighing for _ in range(3))
    water = trial.water + low + flat("water_fill", half, each)
    fuel = trial.total + top + flat("fuel_fill", half, each) - water
    read = trial.read + degrees("temperature", trial.thermometer, GUESS)
    filled = (read, read)
    if trial.filled:
        of_water = trial.filled[0] + degrees("water_temperature", trial.filled_thermometer, FILLED_GUESS)
        filled = (of_water, trial.filled[1] + degrees("fuel_temperature", trial.filled_thermometer, FILLED_GUESS))
    bias, known = exchange(trial.content, trial.ratio, trial.read)
    told = trial.content + bias + known * off("exchange", random.normal(0.0, 1.0, alone))
    stands = line(told, water, fuel, (*filled, read), 0.5 + flat("fuel_water", FUEL_WATER, alone))
    seen: Array = stands - mark + off("line", random.triangular(-half, 0.0, half, each))
    return seen
