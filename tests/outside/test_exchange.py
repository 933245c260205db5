"""The exchange between the layers, against the published file and its rules; and the three temperatures."""

import json
from dataclasses import asdict

import numpy as np
import pytest

from helpers.published import published
from outside.tube_world import RATIOS, closed_form, content_of, line
from splitline.chemistry.budget import Result, result
from splitline.chemistry.constants import load
from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.chemistry.measurement import Measurement, Run, Tube
from splitline.errors import Unusable

FILE = published("extraction_equilibrium")
CORRECTION = FILE["correction"]
CONTENTS = [0, *CORRECTION["contents_percent"]]
TABLE = load("exchange")
RISE = FILE["temperature_rise_on_mixing"]["points_per_k_above_fill"]["value"]


def row(share: float, name: str = "bias_points") -> list[float]:
    return TABLE[name][TABLE["fuel_shares"].index(share)]


def told(content: float, share: float, celsius: float = 20.0) -> Measurement:
    """A test whose line gives `content` before any correction, by the masses of `tube_world`."""
    water, fuel = 100.0 * (1.0 - share), 100.0 * share
    seen = float(line(content, water, fuel, (celsius,) * 3, 0.5))
    return Measurement(Tube("volume", 0.5), (Run(water, fuel, seen),), celsius, True)


def part(found: Result, name: str) -> float:
    return sum(one.contribution for one in found.components if one.name == name)


def step(found: Result, name: str = "exchange") -> float:
    return sum(one.change for one in found.steps if one.name == name)


@pytest.mark.parametrize("ratio", RATIOS)
def test_the_nodes_are_the_published_ones(ratio: str):
    """fixtures/published/extraction_equilibrium.json: bias_points, u_points, at_zero_content."""
    share, zero = RATIOS[ratio], CORRECTION["at_zero_content"]["value"]
    assert TABLE["contents_percent"] == CONTENTS
    assert row(share) == [zero[ratio], *CORRECTION["bias_points"][ratio]["value"]]
    # 0 % content has 0.1; the tables in between start with their value at 10 %.
    assert row(share, "u_points")[1:] == CORRECTION["u_points"][ratio]["value"]
    assert row(share, "u_points")[0] == zero["u"]


@pytest.mark.parametrize("share", [0.3, 0.35, 0.4, 0.45])
def test_interpolated_rows_follow_the_closed_form(share: float):
    """The file: within 0.06 points of its model to 85 %, 0.13 at 90 %, and the model 0.0 to 0.1 below the table."""
    for content, bias in zip(CONTENTS, row(share), strict=True):
        if 10 <= content <= 90:
            agreement = 0.06 if content <= 85 else 0.13
            off = bias - closed_form(content, 100.0 * (1.0 - share), 100.0 * share)
            assert -agreement <= off <= 0.1 + agreement, content


def test_two_to_one_at_85_percent_is_as_published():
    """The file, 'between': 2:1 at 85 % about +0.25. A straight line from 3:1 to 1:1 would say 0.5."""
    found = BUILT_IN.corrected(np.array([[85.3]]), np.array([1 / 3]), np.array([20.0]))
    assert 85.3 - found.content[0, 0] == pytest.approx(0.25, abs=0.1)


@pytest.mark.parametrize("share", [0.1, 0.2, 0.25, 0.33, 0.5])
@pytest.mark.parametrize("content", CONTENTS)
def test_the_bias_is_subtracted(content: float, share: float):
    """corrected(true + bias) = true, with the bias of the table, linear between its shares."""
    at = CONTENTS.index(content)
    bias = float(np.interp(share, TABLE["fuel_shares"], [values[at] for values in TABLE["bias_points"]]))
    found = BUILT_IN.corrected(np.array([[content + bias]]), np.array([share]), np.array([20.0]))
    assert found.content[0, 0] == pytest.approx(content, abs=1e-9)


@pytest.mark.parametrize("celsius", [-5.0, -0.1, 35.1, 40.0])
def test_outside_0_to_35_degrees_the_correction_becomes_uncertainty(celsius: float):
    """The file, 'valid': 0-35 degC. At 85 % 1:1 one point is not subtracted, so at least one is uncertain."""
    share, tube_at = np.array([0.5]), np.array([celsius])
    found = BUILT_IN.corrected(np.array([[86.0]]), share, tube_at)
    assert found.content[0, 0] == 86.0
    size = 86.0 - BUILT_IN.corrected(np.array([[86.0]]), share, np.array([20.0])).content[0, 0]
    assert size == pytest.approx(1.0)
    slope = 0.02 * (celsius - 20.0)
    assert found.uncertainty[0, 0] == pytest.approx(np.sqrt(size**2 + 0.4**2 + slope**2), abs=1e-9)


@pytest.mark.parametrize("celsius", [0.0, 35.0])
def test_its_uncertainty_grows_away_from_20_degrees(celsius: float):
    """The file, u_total_rule: 0.02 per degree over 60 % at 1:1, 0.3 of it otherwise."""
    for content, share, known, slope in [(85, 0.5, 0.4, 0.02), (50, 0.5, 0.25, 0.006), (85, 0.25, 0.15, 0.006)]:
        found = BUILT_IN.corrected(np.array([[content + 1e-9]]), np.array([share]), np.array([celsius]))
        bias = content - found.content[0, 0]
        at = BUILT_IN.corrected(np.array([[content + bias]]), np.array([share]), np.array([celsius]))
        assert at.uncertainty[0, 0] == pytest.approx(np.hypot(known, slope * (celsius - 20)), abs=0.01)


def test_another_run_or_tube_does_not_shrink_it():
    one = told(86.0, 0.5)
    other = Run(50.0, 50.0, one.runs[0].line, tube=Tube("volume", 0.2))
    many = Measurement(one.tube, one.runs * 4 + (other,) * 4, one.temperature, True)
    assert part(result(one), "exchange") == pytest.approx(0.4, abs=0.001)
    assert part(result(many), "exchange") == pytest.approx(0.4, abs=0.001)


@pytest.mark.parametrize(
    ("offset_content", "taken_off", "uncertain"), [(None, 0.0, True), (84.0, 1.0, False), (20.0, 1.0, True)]
)
def test_the_exchange_is_subtracted_only_once(offset_content: float | None, taken_off: float, uncertain: bool):
    """An old offset already includes it, so it stays; one from similar fuel includes the table's error."""
    seen = told(86.0, 0.5)
    tube = Tube("volume", 0.5, offset=-0.8, offset_uncertainty=1.0, offset_content=offset_content)
    found = result(Measurement(tube, seen.runs, 20.0, True))
    assert -step(found) == pytest.approx(taken_off, abs=0.001)
    assert found.content == pytest.approx(86.0 - taken_off - 0.8, abs=0.001)
    assert (part(found, "exchange") > 0.0) == uncertain
    assert part(found, "tube_offset") == pytest.approx(1.0 / 1.96, rel=1e-4)


def test_brine_is_not_corrected_and_a_corrected_scale_is():
    """The brine standard already includes it; a corrected printed scale accounts for shrinkage, not for exchange."""
    brine = Measurement(Tube("volume", 0.5, "brine"), (Run(50.0, 50.0, 62.0),))
    assert "exchange" not in {one.name for one in (*result(brine).steps, *result(brine).components)}
    printed = Measurement(Tube("corrected", 1.0), (Run(50.0, 50.0, percent=86.0),), 20.0, True, 0.0)
    assert step(result(printed)) == pytest.approx(-1.0, abs=0.001)


GOOD = {"contents_percent": [0, 100], "fuel_shares": [0.1, 0.5], "bias_points": [[0, 1]] * 2, "u_points": [[1, 1]] * 2}


@pytest.mark.parametrize(
    ("broken", "field"),
    [
        (None, ""),
        ([], ""),
        ({key: GOOD[key] for key in GOOD if key != "u_points"}, ""),
        ({**GOOD, "bias_points": "much"}, ""),
        ({**GOOD, "bias_points": [[0, 1], [0]]}, ""),
        ({**GOOD, "contents_percent": [0, 0]}, "contents_percent"),
        ({**GOOD, "contents_percent": [0, 101]}, "contents_percent"),
        ({**GOOD, "contents_percent": [0]}, "contents_percent"),
        ({**GOOD, "fuel_shares": [0.5, 0.1]}, "fuel_shares"),
        ({**GOOD, "bias_points": [[0, 1]]}, "bias_points"),
        ({**GOOD, "bias_points": [[0, 10.1]] * 2}, "bias_points"),
        ({**GOOD, "bias_points": [[0, float("nan")]] * 2}, "bias_points"),
        ({**GOOD, "u_points": [[-0.1, 1]] * 2}, "u_points"),
        ({**GOOD, "contents_percent": [0, 5], "bias_points": [[5, 0]] * 2}, "bias_points"),
    ],
)
def test_a_broken_table_is_refused(broken: object, field: str):
    with pytest.raises(Unusable) as refused:
        Exchange.of(broken)
    assert {problem.code for problem in refused.value.problems} == {"exchange_table"}
    assert not field or field in {problem.field for problem in refused.value.problems}


def test_a_custom_table_is_used():
    own = Exchange.of(json.loads(json.dumps(GOOD)))
    found = result(told(80.8, 0.5), exchange=own)
    assert found.content == pytest.approx(80.0, abs=1e-6)
    assert part(found, "exchange") == pytest.approx(1.0)
    assert asdict(result(told(80.8, 0.5), exchange=Exchange.of(TABLE))) == asdict(result(told(80.8, 0.5)))


@pytest.mark.parametrize("aromatics", [15, 28, 40])
def test_the_table_lies_within_what_printed_solubilities_bound(aromatics: int):
    """The file's printed_bound, recomputed: toluene and cyclohexane at their printed solubilities at 25 degC.

    85 % at 1:1: the lower layer has 40 % of ethanol by mass, where 0.0131 of toluene (slightly below the first printed
    point) and 0.0037 of cyclohexane dissolve; from a mix, in proportion. Other gasoline components dissolve less and
    some ethanol stays above, so this is an upper bound.
    """
    bound = FILE["models"]["printed_bound"]["value"]
    printed = FILE["printed"]["hydrocarbon_in_lower_layer"]
    at = {name: np.array(printed[f"{name}_25c"]["value"]).T for name in ("toluene", "cyclohexane")}
    (strength, known), (others, rest) = at["toluene"], at["cyclohexane"]
    # The logarithm is linear.
    rise = np.log(known[1] / known[0]) / (strength[1] - strength[0])
    toluene, cyclohexane = known[0] * np.exp(rise * (0.4 - strength[0])), np.exp(np.interp(0.4, others, np.log(rest)))
    assert (toluene, cyclohexane) == pytest.approx((0.0131, 0.0037), abs=0.00005)
    lower = float(line(85.0, 50.0, 50.0, (20.0,) * 3, 0.5))
    share = aromatics / 100.0
    # Layer 0.92 kg/L, toluene 0.867, cyclohexane 0.779 kg/L (handbook values, from memory).
    dissolved = lower * 0.92 * (share * toluene / 0.867 + (1.0 - share) * cyclohexane / 0.779)
    slope = float(line(86.0, 50.0, 50.0, (20.0,) * 3, 0.5)) - lower
    worked_out = 0.95 * dissolved / slope
    assert worked_out == pytest.approx(
        bound["hydrocarbon_part_points"][bound["aromatics_percent"].index(aromatics)], abs=0.15
    )
    assert row(0.5)[CONTENTS.index(85)] < worked_out


@pytest.mark.parametrize("ratio", RATIOS)
@pytest.mark.parametrize("content", [10, 50, 85, 95])
def test_filling_at_20_and_reading_at_28_causes_no_error(content: float, ratio: str):
    """Mixing heats the tube. Masses and densities are computed separately, and scipy's root finder agrees."""
    fuel = 100.0 * RATIOS[ratio]
    at = (20.0, 20.0, 28.0)
    seen = float(line(content, 100.0 - fuel, fuel, at, 0.5))
    run = Run(100.0 - fuel, fuel, seen)
    found = result(Measurement(Tube("volume", 0.5), (run,), 28.0, True, 0.5, 20.0, True, 20.0, True))
    assert found.content - step(found) == pytest.approx(content, abs=1e-7)
    assert content_of(seen, 100.0 - fuel, fuel, at, 0.5) == pytest.approx(content, abs=1e-7)


@pytest.mark.parametrize(
    ("name", "entered"), [("1:1", 20.0), ("3:1", 20.0), ("9:1", 20.0), ("1:1_real_t_entered", 21.0)]
)
def test_a_degree_above_the_filling_has_the_published_effect(name: str, entered: float):
    """temperature_rise_on_mixing.points_per_k_above_fill: filled at 20 degC, one temperature entered for everything."""
    fuel = 100.0 * RATIOS[name.split("_")[0]]
    for content, points in zip(RISE["contents"], RISE[name], strict=True):
        seen = float(line(content, 100.0 - fuel, fuel, (20.0, 20.0, 21.0), 0.5))
        found = content_of(seen, 100.0 - fuel, fuel, (20.0, 20.0, 21.0), 0.5)
        assert found == pytest.approx(content, abs=1e-9)
        wrong = result(Measurement(Tube("volume", 0.1), (Run(100.0 - fuel, fuel, seen),), entered, True), ("line",))
        assert wrong.content - step(wrong) - content == pytest.approx(points, abs=0.03)
