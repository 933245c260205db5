"""`splitline steadiness` on files of visits."""

import json
from operator import itemgetter
from random import Random

import pytest

from helpers.command import on_terminal, splitline

USUAL = ["--shared", "0.7"]
NAME = itemgetter("source")
HEADER = "source,sampled_at,content,expanded_uncertainty,contributor\n"


def file_of(tmp_path, lines: list[str], header: str = HEADER):
    path = tmp_path / "visits.csv"
    path.write_text(header + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def visits(name: str, scatter: float, seed: int, months: int = 6) -> list[str]:
    random = Random(seed)
    return [
        f"{name},2026-{month:02d}-{day:02d}T10:00:00Z,{random.gauss(75, scatter) + random.gauss(0, 0.9):.2f},1.8,{who}"
        for month in range(1, 1 + months)
        for day, who in ((5, "a"), (19, "b"))
    ]


def test_the_steadier_source_comes_first(tmp_path):
    path = file_of(tmp_path, [*visits("wandering", 4.0, 1), *visits("steady", 0.3, 2)])
    ran = splitline("steadiness", str(path), "--json")
    assert ran.returncode == 0, ran.stderr
    first, second = json.loads(ran.stdout)
    assert (first["source"], second["source"]) == ("steady", "wandering")
    assert first["tau_interval"][0] < first["tau"] < first["tau_interval"][1] < second["tau"]
    assert first["visits"] == 12
    assert first["contributors"] == 2
    assert first["next_fill"][0] == first["floor"] < first["typical"] < first["next_fill"][1]
    assert first["typical_interval"][0] < 75 < first["typical_interval"][1], "nobody saw the second half of the year"


def test_a_year_of_visits_shows_the_level(tmp_path):
    path = file_of(tmp_path, [*visits("wandering", 4.0, 1, months=12), *visits("steady", 0.3, 2, months=12)])
    first, _ = json.loads(splitline("steadiness", str(path), "--json").stdout)
    assert first["source"] == "steady"
    assert first["typical"] == pytest.approx(75, abs=1.0)


def test_the_shared_part_widens_the_level_and_not_the_scatter(tmp_path):
    plain = visits("a", 1.0, 3)
    header = HEADER.replace("\n", ",shared_uncertainty\n")
    (alone,) = json.loads(splitline("steadiness", str(file_of(tmp_path, plain)), "--shared", "0", "--json").stdout)
    shared = file_of(tmp_path, [line + ",2.0" for line in plain], header)
    (together,) = json.loads(splitline("steadiness", str(shared), "--json").stdout)
    assert together["tau"] == alone["tau"]
    assert together["typical_interval"][0] < alone["typical_interval"][0]


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("a,2026-01-01T00:00:00Z,75,0,x", "uncertainty"),
        ("a,yesterday,75,1.8,x", "not a time"),
        ("a,2026-01-01T00:00:00Z,much,1.8,x", "not a number"),
        ("a,2026-01-01T00:00:00Z,inf,1.8,x", "not a number"),
        ("a,2026-01-01T00:00:00Z,75,nan,x", "not a number"),
        ("a,2026-01-01T00:00:00Z,1e300,1.8,x", "out of range"),
        ("a,2026-01-01T00:00:00Z,75,1e300,x", "out of range"),
    ],
)
def test_bad_rows_are_named_with_exit_2(tmp_path, line, word):
    ran = splitline("steadiness", str(file_of(tmp_path, [line])))
    assert ran.returncode == 2
    assert "row 2" in ran.stderr
    assert word in ran.stderr


def test_a_missing_column_is_named(tmp_path):
    ran = splitline("steadiness", str(file_of(tmp_path, ["a,75"], "source,content\n")))
    assert ran.returncode == 2
    assert "sampled_at" in ran.stderr


def test_a_change_of_supplier_is_told_from_the_season_and_dated(tmp_path):
    random = Random(5)
    lines = [
        f"{name},{2025 + (k + 4) // 24}-{(k // 2 + 2) % 12 + 1:02d}-{5 + 14 * (k % 2):02d}T10:00:00Z,"
        f"{random.gauss(72 if name == 'moved' and k >= 12 else 80, 1):.2f},1.8,{'ab'[k % 2]}"
        for name in ("moved", "one", "other")
        for k in range(20)
    ]
    answers = json.loads(splitline("steadiness", str(file_of(tmp_path, lines)), "--json").stdout)
    by_name = {found["source"]: found for found in answers}
    (change,) = by_name["moved"]["changes"]
    assert change["direction"] == "down"
    assert change["at"].startswith(("2025-08", "2025-09", "2025-10"))
    assert by_name["moved"]["typical"] < 76
    assert by_name["one"]["changes"] == by_name["other"]["changes"] == []


def asked(path, *more: str) -> dict:
    (found,) = json.loads(splitline("steadiness", str(path), *more, "--json").stdout)
    return found


def test_the_shared_uncertainty_is_the_usual_one_for_a_single_person(tmp_path):
    lines = [line.replace(",b", ",a") for line in visits("a", 1.0, 3)]
    path = file_of(tmp_path, lines)
    guessed, given, none = asked(path), asked(path, "--shared", "0.7"), asked(path, "--shared", "0")
    assert guessed["guessed_shared_uncertainty"] == pytest.approx(0.7, rel=1e-12)
    assert guessed["typical_interval"] == pytest.approx(given["typical_interval"], rel=1e-12)
    assert width_of(given) > width_of(none)
    assert given["guessed_shared_uncertainty"] is None
    assert "guessed from this file: 0.7 points" in splitline("steadiness", str(path)).stdout
    assert "guess" not in splitline("steadiness", str(path), "--shared", "0").stdout
    column = [f"{line},{'' if k else '0.7'}" for k, line in enumerate(lines)]
    partly = file_of(tmp_path, column, HEADER.replace("\n", ",shared_uncertainty\n"))
    assert asked(partly) == guessed
    assert splitline("steadiness", str(path), "--shared", "-1").returncode == 2


def width_of(answer: dict) -> float:
    return answer["typical_interval"][1] - answer["typical_interval"][0]


@pytest.mark.parametrize("apart", [0.0, 3.0])
def test_the_shared_uncertainty_is_guessed_from_how_people_differ(tmp_path, apart):
    """Four people whose tubes read 0 or 3 points apart take turns at ten sources."""
    lines = [line.split(",") for k in range(10) for line in visits(f"s{k}", 0.5, k)]
    for k, line in enumerate(lines):
        who = (k + k // 12) % 4
        line[2], line[4] = f"{float(line[2]) + apart * who:.2f}", "abcd"[who]
    path = file_of(tmp_path, [",".join(line) for line in lines])
    found, usual = (json.loads(splitline("steadiness", str(path), *how, "--json").stdout) for how in ([], USUAL))
    guessed = found[0]["guessed_shared_uncertainty"]
    assert guessed > 1.5 if apart else guessed < 0.4
    for one, other in zip(sorted(found, key=NAME), sorted(usual, key=NAME), strict=True):
        assert (width_of(one) > width_of(other)) == (apart > 0)


def test_gross_errors_are_named(tmp_path):
    lines = visits("a", 0.5, 3)
    spoilt = [*lines[:4], ",".join(["a", "2026-03-05T10:00:00Z", "40.0", "1.8", "a"]), *lines[5:]]
    path = file_of(tmp_path, spoilt)
    found = asked(path)
    assert found["wrong"] == ["2026-03-05T10:00:00Z"]
    assert found["season_uncertainty"] > 0
    assert "treated as gross errors: 2026-03-05" in splitline("steadiness", str(path)).stdout
    assert asked(file_of(tmp_path, lines))["wrong"] == []


def test_a_terminal_shows_progress(tmp_path):
    path = file_of(tmp_path, [line for name in "abcdef" for line in visits(name, 1.0, ord(name))])
    status, shown = on_terminal("steadiness", str(path))
    assert status == 0
    for words in (b"comparing the sources", b"figures", b"100%"):
        assert words in shown
    assert splitline("steadiness", str(path)).stderr == ""
