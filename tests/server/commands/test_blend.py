"""`splitline blend`: tank, target, sensor and engine figures."""

import json

import pytest

from helpers.command import splitline


def blend(*arguments: str) -> dict:
    ran = splitline("blend", *arguments, "--json")
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


def test_a_target_within_the_tanks_room_is_reached():
    """20 L of E10 and E85 to E50: 20 (50 - 10) / (85 - 50) = 22.9 L, by hand."""
    found = blend("--tank", "20,10,2", "--target", "50", "--capacity", "60", "--stock", "40,85,2")
    assert found["plan"]["outcome"] == "reached"
    assert found["plan"]["additions"] == pytest.approx([20 * 40 / 35])
    assert found["plan"]["blend"]["content"] == pytest.approx(50)
    assert found["plan"]["blend"]["expanded_uncertainty"] > 0


def test_an_impossible_target_is_reported():
    found = blend("--tank", "20,10,2", "--target", "84", "--capacity", "60", "--stock", "40,80,2")
    assert found["plan"]["outcome"] == "no_stock_beyond"
    assert (
        "cannot reach the target"
        in splitline("blend", "--tank", "20,10,2", "--target", "84", "--capacity", "60", "--stock", "40,80,2").stdout
    )


def test_the_sensor_is_compared_with_both_uncertainties():
    """50 Hz is 0 % and 150 Hz 100 %: 130 Hz is 80 % (Ford service manual 1993 and a control-unit maker)."""
    near = blend("--tank", "40,78,2", "--sensor-hz", "130")["sensor"]
    assert near["percent"] == pytest.approx(80)
    assert near["agree"]
    assert not blend("--tank", "40,60,2", "--sensor-hz", "130")["sensor"]["agree"]


def test_the_heel_explains_the_sensor():
    found = blend("--tank", "10,20", "--added", "30,84,2", "--sensor", "66", "--heel")
    assert found["heel"]["volume"] == pytest.approx(10)
    assert found["heel"]["content"] == pytest.approx((40 * 66 - 30 * 84) / 10)
    assert found["heel"]["expanded_uncertainty"] > 15


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("--tank", "fifty"), "cannot be read"),
        (("--tank", "20,120"), "out of range"),
        (("--tank", "20,50", "--target", "70"), "--capacity"),
        (("--tank", "20,50", "--target", "70", "--capacity", "10"), "--capacity"),
        (("--tank", "20,50", "--sensor-hz", "180"), "contaminated"),
        (("--tank", "20,50", "--heel"), "--sensor"),
        (("--tank", "inf,50"), "cannot be read"),
        (("--tank", "1e308,50", "--added", "1e308,50"), "out of range"),
        (("--tank", "20,50,1e200"), "out of range"),
        (("--tank", "20,50", "--sensor", "700"), "out of range"),
        (("--tank", "20,50", "--target", "60", "--add", "-5", "--stock", "9,40", "--stock", "9,90"), "out of range"),
        (("--target", "60", "--capacity", "0", "--stock", "9,40"), "out of range"),
    ],
)
def test_bad_input_gives_one_sentence_and_exit_2(arguments, word):
    ran = splitline("blend", *arguments)
    assert ran.returncode == 2
    assert word in ran.stderr
    assert len(ran.stderr.splitlines()) == 1


def test_an_impossible_heel_is_reported():
    """45 L at 30 % including 30 L of 82 %: (45 * 30 - 30 * 82) / 15 is below zero."""
    impossible = ("--tank", "15,60", "--added", "30,82,2", "--sensor", "30", "--heel")
    assert blend(*impossible)["heel"]["possible"] is False
    assert "which is impossible" in splitline("blend", *impossible).stdout
    assert blend("--tank", "10,20", "--added", "30,84,2", "--sensor", "66", "--heel")["heel"]["possible"] is True


def test_the_sensor_of_an_empty_tank_sees_nothing():
    empty = ("--sensor", "60")
    found = blend(*empty)
    assert found["sensor"] is None
    assert found["engine"] is None
    shown = splitline("blend", *empty).stdout
    assert "Tank: empty" in shown
    assert "no fuel to measure" in shown
    assert "Sensor should show" not in shown


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (
            ("--tank", "20,10", "--target", "90", "--add", "30", "--stock", "40,85", "--stock", "40,95"),
            "no split of these",
        ),
        (("--target", "50", "--capacity", "60", "--stock", "40,85"), "no fuel available is on the other side"),
        (
            ("--tank", "20,10", "--target", "84", "--capacity", "60", "--stock", "40,80"),
            "no fuel available is on the other",
        ),
    ],
)
def test_the_reason_a_target_is_out_of_reach_is_given(arguments, words):
    shown = splitline("blend", *arguments).stdout
    assert words in shown
    assert "lies beyond" not in shown


def test_no_more_of_a_can_is_planned_than_it_holds():
    plan = blend("--target", "50", "--capacity", "60", "--stock", "10,85", "--stock", "20,30")["plan"]
    assert plan["outcome"] == "not_enough_stock"
    assert plan["additions"] == pytest.approx([10, 20])
