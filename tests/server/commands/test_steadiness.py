"""`splitline steadiness` on files of visits."""

import json
from random import Random

import pytest

from process import splitline

HEADER = "source,sampled_at,content,expanded_uncertainty,contributor\n"


def file_of(tmp_path, lines: list[str], header: str = HEADER):
    path = tmp_path / "visits.csv"
    path.write_text(header + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def visits(name: str, scatter: float, seed: int) -> list[str]:
    random = Random(seed)
    return [
        f"{name},2026-{month:02d}-{day:02d}T10:00:00Z,{random.gauss(75, scatter) + random.gauss(0, 0.9):.2f},1.8,{who}"
        for month in range(1, 7)
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
    assert first["typical"] == pytest.approx(75, abs=1.5)


def test_the_shared_part_widens_the_level_and_not_the_scatter(tmp_path):
    plain = visits("a", 1.0, 3)
    header = HEADER.replace("\n", ",shared_uncertainty\n")
    (alone,) = json.loads(splitline("steadiness", str(file_of(tmp_path, plain)), "--json").stdout)
    shared = file_of(tmp_path, [line + ",2.0" for line in plain], header)
    (together,) = json.loads(splitline("steadiness", str(shared), "--json").stdout)
    assert together["tau"] == alone["tau"]
    assert together["typical_interval"][0] < alone["typical_interval"][0]


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("a,2026-01-01T00:00:00Z,75,0,x", "uncertainty"),
        ("a,yesterday,75,1.8,x", "no time"),
        ("a,2026-01-01T00:00:00Z,much,1.8,x", "no number"),
        ("a,2026-01-01T00:00:00Z,inf,1.8,x", "no number"),
        ("a,2026-01-01T00:00:00Z,75,nan,x", "no number"),
        ("a,2026-01-01T00:00:00Z,1e300,1.8,x", "out of range"),
        ("a,2026-01-01T00:00:00Z,75,1e300,x", "out of range"),
    ],
)
def test_bad_rows_are_named_and_exit_2(tmp_path, line, word):
    ran = splitline("steadiness", str(file_of(tmp_path, [line])))
    assert ran.returncode == 2
    assert "row 2" in ran.stderr
    assert word in ran.stderr


def test_a_missing_column_is_named(tmp_path):
    ran = splitline("steadiness", str(file_of(tmp_path, ["a,75"], "source,content\n")))
    assert ran.returncode == 2
    assert "sampled_at" in ran.stderr


def test_semicolons_between_columns_are_named(tmp_path):
    ran = splitline("steadiness", str(file_of(tmp_path, ["a;75,5"], "source;content\n")))
    assert ran.returncode == 2
    assert "separate the columns with commas" in ran.stderr
    assert len(ran.stderr.splitlines()) == 1


def test_a_change_of_supplier_is_dated(tmp_path):
    random = Random(5)
    lines = [
        f"moved,{2025 + (k + 4) // 24}-{(k // 2 + 2) % 12 + 1:02d}-{5 + 14 * (k % 2):02d}T10:00:00Z,"
        f"{random.gauss(80 if k < 12 else 72, 1):.2f},1.8,{'ab'[k % 2]}"
        for k in range(20)
    ]
    (found,) = json.loads(splitline("steadiness", str(file_of(tmp_path, lines)), "--json").stdout)
    (change,) = found["changes"]
    assert change["direction"] == "down"
    assert change["at"].startswith(("2025-08", "2025-09", "2025-10"))
    assert found["typical"] < 76
