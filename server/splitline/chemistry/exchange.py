"""Exchange between the layers besides ethanol: a correction by content and filling, with its uncertainty.

The strong lower layer dissolves hydrocarbons, and some ethanol stays in the upper one; so at 85 % a line reads high, by
about a point with equal volumes of fuel and water. The table (`exchange.json`, which cites its sources) is an estimate
from printed solubilities: nobody has published a trial of the whole procedure above 30 %. If you have blends of known
content you can use a table of your own.
"""

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from splitline.chemistry.constants import load
from splitline.chemistry.polynomial import Array
from splitline.errors import Problem, Unusable

_BUILT_IN = load("exchange")
# Outside this range the correction is not applied but counted as uncertainty.
COLDEST, WARMEST = (float(end) for end in _BUILT_IN["valid_celsius"])
# The content above which the upper layer may vanish, %.
HIGHEST = float(_BUILT_IN["highest_content"])
# Range of the published solubilities, degrees Celsius.
_KNOWN_AT = 20.0
# Standard uncertainty per degree from there, points: for strong fuel with about equal volumes of fuel and water.
_STRONG_SLOPE, _SLOPE = (float(_BUILT_IN["u_per_kelvin_from_20"][name]) for name in ("strong_equal", "other"))
_STRONG, _ABOUT_EQUAL = 60.0, 0.45
# Largest correction or uncertainty that a table may contain, points.
_MOST = 10.0
_FIELDS = ("contents_percent", "fuel_shares", "bias_points", "u_points")


class Exchanged(NamedTuple):
    """Corrected contents, %, their standard uncertainty, and the slope of the content against the content as read."""

    content: Array
    uncertainty: Array
    slope: Array


@dataclass(frozen=True, slots=True)
class Exchange:
    """A table: points that a line reads high, and their standard uncertainty.

    contents: % (V/V) from 0, rising. shares: fuel / (water + fuel) as filled, rising. bias, uncertainty: points, a row
    per share and a column per content. Interpolated linearly; outside, the value at the nearer end.
    """

    contents: Array
    shares: Array
    bias: Array
    uncertainty: Array

    @classmethod
    def of(cls, table: Any) -> "Exchange":
        """Return the table of a JSON object with the fields of `exchange.json`. Raises `Unusable`."""
        if not isinstance(table, dict) or any(name not in table for name in _FIELDS):
            raise Unusable([Problem("exchange_table", "fields", "", ", ".join(_FIELDS))])
        try:
            contents, shares, bias, uncertainty = (np.array(table[name], dtype=np.float64) for name in _FIELDS)
        except (TypeError, ValueError, OverflowError):
            raise Unusable([Problem("exchange_table", "numbers", "", "numbers only, as many in each row")]) from None
        found = [*_axis("contents_percent", contents, 100.0), *_axis("fuel_shares", shares, 1.0)]
        if not found:
            found += _values("bias_points", bias, shares, contents, -_MOST)
            found += _values("u_points", uncertainty, shares, contents, 0.0)
        if not found and not np.all(np.diff(contents + bias, axis=1) > 0.0):
            found = [Problem("exchange_table", "bias_points", "", "steps smaller than those of the contents")]
        if found:
            raise Unusable(found)
        return cls(contents, shares, bias, uncertainty)

    def corrected(self, read: Array, share: Array, temperature: Array) -> Exchanged:
        """Return the true contents for contents as read from lines, %, for each run on the last axis.

        share: of the fuel in each filling. temperature: of each tube when read, degrees Celsius. Outside 0..35 degrees
        the correction is not applied, and its size counts as a standard uncertainty.
        """
        low, part = _place(self.shares, share)
        bias, spread = (
            table[low] + part[:, None] * (table[low + 1] - table[low]) for table in (self.bias, self.uncertainty)
        )
        nodes = self.contents + bias
        inside = np.clip(read, nodes[:, 0], nodes[:, -1])
        at = np.clip((inside[..., None] >= nodes).sum(axis=-1) - 1, 0, len(self.contents) - 2)
        run = np.arange(len(share))
        width, gap = self.contents[at + 1] - self.contents[at], nodes[run, at + 1] - nodes[run, at]
        content = self.contents[at] + (inside - nodes[run, at]) * width / gap + (read - inside)
        slope = np.where(inside == read, width / gap, 1.0)
        known = spread[run, at] + (spread[run, at + 1] - spread[run, at]) * (inside - nodes[run, at]) / gap
        warming = np.where((content > _STRONG) & (share > _ABOUT_EQUAL), _STRONG_SLOPE, _SLOPE)
        squared = known**2 + (warming * (temperature - _KNOWN_AT)) ** 2
        left_out = ~((temperature >= COLDEST) & (temperature <= WARMEST))
        squared = np.where(left_out, squared + (content - read) ** 2, squared)
        content, slope = np.where(left_out, read, content), np.where(left_out, 1.0, slope)
        return Exchanged(content, np.sqrt(squared), slope)


def _place(nodes: Array, at: Array) -> tuple[Any, Array]:
    """The table node below each value, and the fraction of the way to the next, 0..1."""
    low = np.clip(np.searchsorted(nodes, at, side="right") - 1, 0, len(nodes) - 2)
    return low, np.clip((at - nodes[low]) / (nodes[low + 1] - nodes[low]), 0.0, 1.0)


def _axis(name: str, nodes: Array, highest: float) -> list[Problem]:
    rising = nodes.ndim == 1 and len(nodes) >= 2 and bool(np.all(np.diff(nodes) > 0.0))
    if rising and nodes[0] >= 0.0 and nodes[-1] <= highest:
        return []
    return [Problem("exchange_table", name, "", f"two or more rising numbers, 0..{highest:g}")]


def _values(name: str, values: Array, shares: Array, contents: Array, lowest: float) -> list[Problem]:
    if values.shape == (len(shares), len(contents)) and np.all((lowest <= values) & (values <= _MOST)):
        return []
    limit = f"a row for each of fuel_shares, a number for each of contents_percent, {lowest:g}..{_MOST:g}"
    return [Problem("exchange_table", name, "", limit)]


BUILT_IN = Exchange.of(_BUILT_IN)
