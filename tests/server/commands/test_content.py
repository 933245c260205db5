"""`splitline content` as called by another program."""

import json
import os
import subprocess
import sys

import pytest

from helpers.command import splitline


def content(*arguments: str) -> dict:
    ran = splitline("content", *arguments, "--json")
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


RUN = ("--water", "50", "--fuel", "50", "--line", "88.8")


def before_exchange(found: dict) -> float:
    """The content from the line alone, before the exchange step."""
    return found["content"] - sum(step["change"] for step in found["steps"] if step["name"] == "exchange")


def test_one_run_of_dry_fuel_at_20_degrees():
    """By hand from OIML R 22: 88.8 mL means 84.00 %, and 84.86 % at 0 degrees."""
    for temperature, by_hand in (("20", 84.00), ("0", 84.86)):
        found = content(*RUN, "--temperature", temperature, "--fuel-water", "0")
        assert before_exchange(found) == pytest.approx(by_hand, abs=0.02)


def test_the_worked_example_is_computed():
    """By hand: at 1:1 the line reads 1 point high at 85 % and 0.8 at 80 %, so 83.49 becomes 82.58."""
    found = content(*RUN)
    assert found["model"] == 2
    assert before_exchange(found) == pytest.approx(83.49, abs=0.005)
    assert found["content"] == pytest.approx(80 + (83.49 - 80.8) * 5 / 5.2, abs=0.005)
    parts = sum(part["contribution"] ** 2 for part in found["components"]) ** 0.5
    assert found["expanded_uncertainty"] == pytest.approx(found["coverage_factor"] * parts)
    assert found["as_read"] == pytest.approx(77.6)
    assert found["as_read"] + sum(step["change"] for step in found["steps"]) == pytest.approx(found["content"])
    assert found["warnings"] == []


def test_each_component_says_what_reduces_it():
    found = content(*RUN, "--tolerance", "1", "--water-temperature", "15")
    scopes = {part["name"]: part["scope"] for part in found["components"]}
    assert (scopes["line"], scopes["marks"], scopes["exchange"]) == ("run", "tube", "all")
    assert all(part["shared"] == (part["scope"] != "run") for part in found["components"])
    shown = splitline("content", *RUN, "--tolerance", "1", "--water-temperature", "15").stdout
    helps = {
        line[:19].strip(): line[26:].strip() for line in shown.splitlines() if line.endswith("helps") or "helps" in line
    }
    assert helps["line"] == "another run helps"
    assert helps["marks"] == "another tube helps"
    assert "--exchange" in helps["exchange"]
    assert helps["temperature"] == helps["fuel temperature"] == "measuring it helps"
    assert helps["fuel water"].startswith("measuring it helps")
    assert helps["water temperature"] == "a better thermometer helps"


def test_fuel_filled_cold_counts_as_more():
    """By hand: ethanol expands by 0.11 % a degree (OIML R 22: 793.5 kg/m3 at 15 degrees, 785.0 at 25), so filled ten
    degrees colder than it is read, 83 % of it stand for 0.9 % more; and the water's 0.17 % of 100 % go the same way."""
    warm = ("--temperature", "25", "--fuel-water", "0")
    cold = content(*RUN, *warm, "--fuel-temperature", "15", "--water-temperature", "15")
    same = content(*RUN, *warm, "--fuel-temperature", "25", "--water-temperature", "25")
    assert before_exchange(same) - before_exchange(cold) == pytest.approx(0.83 * 1.08 + 0.20, abs=0.1)


def test_a_custom_exchange_table_replaces_the_built_in_one(tmp_path):
    file = tmp_path / "table.json"
    table = {
        "contents_percent": [0, 100],
        "fuel_shares": [0.1, 0.5],
        "bias_points": [[2, 2]] * 2,
        "u_points": [[0.1, 0.1]] * 2,
    }
    file.write_text(json.dumps(table), encoding="utf-8")
    found = content(*RUN, "--exchange", str(file))
    assert found["content"] == pytest.approx(before_exchange(found) - 2)
    assert {part["name"]: part["contribution"] for part in found["components"]}["exchange"] == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        (None, "cannot be read"),
        ("[[", "not JSON"),
        ("{}", "contents_percent"),
        ('{"contents_percent": 5, "fuel_shares": 3, "bias_points": 1, "u_points": 2}', "rising numbers"),
        ('{"contents_percent": [0, 1e400], "fuel_shares": [NaN, 1], "bias_points": [], "u_points": []}', "rising"),
    ],
)
def test_an_invalid_exchange_table_is_reported(tmp_path, text, word):
    file = tmp_path / "table.json"
    if text is not None:
        file.write_text(text, encoding="utf-8")
    one_line(splitline("content", *RUN, "--exchange", str(file)), word)


def one_line(ran: subprocess.CompletedProcess[str], word: str) -> None:
    """Check that bad input gives one line on standard error and exit status 2; return the line."""
    assert ran.returncode == 2
    assert ran.stdout == ""
    assert word in ran.stderr
    assert "Traceback" not in ran.stderr
    assert len(ran.stderr.splitlines()) == 1


def test_options_given_once_apply_to_every_run():
    found = content("--water", "50", "--fuel", "50", "--line", "88.8", "--line", "89.2")
    assert len(found["runs"]) == 2
    assert found["expanded_uncertainty"] < content(*RUN)["expanded_uncertainty"]


def test_runs_from_a_file_equal_runs_from_options(tmp_path):
    file = tmp_path / "runs.csv"
    file.write_text("water,fuel,line,top\r\n50,50,88.8,\r\n50,50,89.2,\r\n", encoding="utf-8")
    by_file = content("--runs", str(file))
    assert by_file == content("--water", "50", "--fuel", "50", "--line", "88.8", "--line", "89.2")


def test_a_percent_scale_of_unknown_kind_gives_a_range():
    found = content("--water", "50", "--fuel", "50", "--percent", "78")
    assert found["warnings"] == ["scale_unknown"]
    low, high = found["span"]
    assert high - low == pytest.approx(6.4 * 5 / 5.2, abs=0.1)


def test_a_content_above_every_specification_asks_for_the_scale():
    found = content("--water", "50", "--fuel", "50", "--percent", "88", "--scale", "linear")
    assert "check_scale_kind" in found["warnings"]


def test_one_component_can_be_shown_alone():
    found = content(*RUN, "--only", "line")
    assert [part["name"] for part in found["components"]] == ["line"]
    assert found["shared_uncertainty"] == 0


def test_the_text_output_has_the_uncertainty_and_the_steps():
    shown = splitline("content", *RUN).stdout
    found = content(*RUN)
    assert f"{found['content']:.1f} ± {found['expanded_uncertainty']:.1f} % (V/V)" in shown
    assert "shrinkage" in shown
    assert "exchange" in shown
    assert "line as read" in shown


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("--water", "50", "--fuel", "50", "--line", "48"), "below the level of the water"),
        (("--water", "50", "--fuel", "50", "--line", "101"), "above the total fill"),
        (("--water", "0", "--fuel", "50", "--line", "60"), "fill"),
        (("--water", "0", "--fuel", "0", "--line", "0"), "fill"),
        ((*RUN, "--temperature", "60"), "outside the range"),
        ((*RUN, "--fuel-water", "30"), "out of range"),
        ((*RUN, "--line", "88", "--line", "87", "--water", "50"), "once per run"),
        (("--line", "88.8"), "--water is missing"),
        (("--water", "nan", "--fuel", "50", "--line", "80"), "not a number"),
        (("--water", "50", "--fuel", "50", "--line", "99.9"), "is impossible"),
        (("--runs", "there-is-no-such-file.csv"), "cannot be read"),
        (("--scale", "sideways"), "invalid choice"),
        ((*RUN, "--only", "lines"), "choose one of water_fill, fuel_fill, line"),
        (("--water", "40", "--fuel", "60", "--line", "88"), "10..50 mL of fuel"),
        (("--water", "50", "--fuel", "50", "--line", "70", "--liquid", "brine"), "30 %"),
        (("--water", "50", "--fuel", "50", "--line", "inf"), "not a number"),
        ((*RUN, "--fuel-temperature", "1e999"), "not a number"),
    ],
)
def test_bad_input_gives_one_sentence_and_exit_2(arguments, word):
    one_line(splitline("content", *arguments), word)


def test_a_bad_row_is_named(tmp_path):
    file = tmp_path / "runs.csv"
    file.write_text("water,fuel,line\n50,50,88.8\n50,fifty,88.8\n", encoding="utf-8")
    ran = splitline("content", "--runs", str(file))
    assert ran.returncode == 2
    assert "row 3, fuel" in ran.stderr


def test_advice_states_the_uncertainty_that_would_remain():
    """Doing the example twice gives what the advice promises for one more run."""
    one = content(*RUN)
    left = {act["act"]: act["expanded_uncertainty"] for act in one["advice"]}
    assert list(left) == ["finer_tube", "one_more_run"]
    assert left["one_more_run"] == pytest.approx(content(*RUN, "--line", "88.8")["expanded_uncertainty"])
    assert "one more run" in splitline("content", *RUN).stdout


def test_a_guessed_temperature_states_its_effect():
    """By hand from OIML R 22: 84.86 % at 0 degrees and 84.00 % at 20, so 0.43 points per ten degrees, less if warm."""
    assert content(*RUN, "--fuel-water", "0")["per_ten_degrees"] == pytest.approx(-0.35, abs=0.05)
    assert "is an estimate; -0.3 points" in splitline("content", *RUN).stdout
    assert "guess" not in splitline("content", *RUN, "--temperature", "20").stdout


def test_a_better_filling_is_named_by_its_volumes():
    fine = ("--graduation", "0.1", "--temperature", "20")
    [one] = [act for act in content(*RUN, *fine)["advice"] if act["act"] == "other_filling"]
    assert one["water"] + one["fuel"] == 100
    said = f"fill {one['water']:g} mL of water and {one['fuel']:g} mL of fuel"
    assert said in splitline("content", *RUN, *fine).stdout


def test_a_layer_below_its_freezing_point_is_noted():
    cold = ("--water", "50", "--fuel", "50", "--line", "55", "--temperature", "-15")
    assert content(*cold)["warnings"] == ["would_freeze"]
    assert "ice" in splitline("content", *cold).stdout


def test_a_closed_pipe_is_not_a_fault():
    """Like `splitline content ... | head -0`, but with a pipe that is certainly closed."""
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as closed:
        command = [sys.executable, "-m", "splitline", "content", *RUN]
        ran = subprocess.run(command, stdout=closed, stderr=subprocess.PIPE, text=True, check=False, timeout=120)
    assert ran.stderr == ""
    assert ran.returncode == 141
