"""`splitline content` as another program drives it."""

import json

import pytest

from process import splitline


def content(*arguments: str) -> dict:
    ran = splitline("content", *arguments, "--json")
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


RUN = ("--water", "50", "--fuel", "50", "--line", "88.8")


def test_one_run_at_20_degrees_of_dry_fuel():
    """Own arithmetic from OIML R 22: 88.8 mL stands for 84.00 %, at 0 degrees for 84.86 %."""
    assert content(*RUN, "--temperature", "20", "--fuel-water", "0")["content"] == pytest.approx(84.00, abs=0.02)
    assert content(*RUN, "--temperature", "0", "--fuel-water", "0")["content"] == pytest.approx(84.86, abs=0.02)


def test_the_example_of_the_interface():
    found = content(*RUN)
    assert found["content"] == pytest.approx(83.49, abs=0.005)
    assert found["expanded_uncertainty"] == pytest.approx(1.9, abs=0.05)
    assert found["own_uncertainty"] == pytest.approx(0.9, abs=0.05)
    assert found["shared_uncertainty"] == pytest.approx(0.4, abs=0.05)
    assert found["as_read"] == pytest.approx(77.6)
    assert found["as_read"] + sum(step["change"] for step in found["steps"]) == pytest.approx(found["content"])
    assert found["warnings"] == []


def test_options_given_once_count_for_every_run():
    found = content("--water", "50", "--fuel", "50", "--line", "88.8", "--line", "89.2")
    assert len(found["runs"]) == 2
    assert found["expanded_uncertainty"] < content(*RUN)["expanded_uncertainty"]


def test_runs_from_a_file_are_the_runs_of_the_options(tmp_path):
    file = tmp_path / "runs.csv"
    file.write_text("water,fuel,line,top\r\n50,50,88.8,\r\n50,50,89.2,\r\n", encoding="utf-8")
    by_file = content("--runs", str(file))
    assert by_file == content("--water", "50", "--fuel", "50", "--line", "88.8", "--line", "89.2")


def test_a_printed_percent_of_no_stated_kind_is_a_span():
    found = content("--water", "50", "--fuel", "50", "--percent", "78")
    assert found["warnings"] == ["scale_unknown"]
    low, high = found["span"]
    assert high - low == pytest.approx(6.4, abs=0.1)


def test_a_content_above_every_specification_asks_for_the_scale():
    found = content("--water", "50", "--fuel", "50", "--percent", "88", "--scale", "linear")
    assert "check_scale_kind" in found["warnings"]


def test_one_component_alone():
    found = content(*RUN, "--only", "line")
    assert [part["name"] for part in found["components"]] == ["line"]
    assert found["shared_uncertainty"] == 0


def test_text_for_a_person_carries_the_uncertainty_and_the_steps():
    shown = splitline("content", *RUN).stdout
    assert "83.5 ± 1.9 % (V/V)" in shown
    assert "shrinkage" in shown
    assert "line as read" in shown


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("--water", "50", "--fuel", "50", "--line", "48"), "below the water"),
        (("--water", "50", "--fuel", "50", "--line", "101"), "above everything"),
        (("--water", "0", "--fuel", "50", "--line", "60"), "fill"),
        ((*RUN, "--temperature", "60"), "outside the range"),
        ((*RUN, "--fuel-water", "30"), "out of range"),
        ((*RUN, "--line", "88", "--line", "87", "--water", "50"), "once for each run"),
        (("--line", "88.8"), "--water is missing"),
        (("--water", "nan", "--fuel", "50", "--line", "80"), "no number"),
        (("--water", "50", "--fuel", "50", "--line", "99.9"), "cannot be"),
        (("--runs", "there-is-no-such-file.csv"), "cannot be read"),
        (("--scale", "sideways"), "invalid choice"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_2(arguments, word):
    ran = splitline("content", *arguments)
    assert ran.returncode == 2
    assert ran.stdout == ""
    assert word in ran.stderr
    assert "Traceback" not in ran.stderr
    assert len(ran.stderr.splitlines()) == 1


def test_a_bad_row_is_named(tmp_path):
    file = tmp_path / "runs.csv"
    file.write_text("water,fuel,line\n50,50,88.8\n50,fifty,88.8\n", encoding="utf-8")
    ran = splitline("content", "--runs", str(file))
    assert ran.returncode == 2
    assert "row 3, fuel" in ran.stderr


def test_what_would_help_is_said_with_what_it_would_leave():
    """Two runs of the example are the one more run that the first one is told of."""
    one = content(*RUN)
    left = {act["act"]: act["expanded_uncertainty"] for act in one["advice"]}
    assert list(left) == ["finer_tube", "one_more_run"]
    assert left["one_more_run"] == pytest.approx(content(*RUN, "--line", "88.8")["expanded_uncertainty"])
    assert "one more run" in splitline("content", *RUN).stdout


def test_a_guessed_temperature_says_what_it_is_worth():
    """84.86 % at 0 degrees and 84.00 % at 20, by hand from OIML R 22: 0.43 points for ten degrees, less when warm."""
    assert content(*RUN, "--fuel-water", "0")["per_ten_degrees"] == pytest.approx(-0.35, abs=0.05)
    assert "are a guess; -0.3 points" in splitline("content", *RUN).stdout
    assert "guess" not in splitline("content", *RUN, "--temperature", "20").stdout


def test_a_strong_lower_layer_is_noted():
    shown = ("--water", "40", "--fuel", "60", "--line", "88")
    assert content(*shown)["warnings"] == ["strong_layer"]
    assert "more water" in splitline("content", *shown).stdout
