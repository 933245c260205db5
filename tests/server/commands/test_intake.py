"""`splitline intake`: files of records, answered as a push is."""

import csv
import io
import json
import stat
import subprocess
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from helpers.command import on_terminal, splitline
from helpers.examples import Json, identifier, person, reading, secret, source
from helpers.server_process import served

RECORDS = [
    source(1, name="007"),
    reading(1, at=1, note="12.5", tube={"id": identifier(9), "scale": "volume", "graduation": 1.0}),
    reading(1, at=1, id=identifier(77)),
    reading(2, at=9),
    {**reading(3, at=1), "temperature": 99},
]
STATUSES = ["stored", "stored", "held", "refused", "refused"]


def lines(path: Path, records: list[Json]) -> Path:
    path.write_text("\n".join(json.dumps(record) for record in records) + "\n\n", encoding="utf-8")
    return path


def flat(record: Any, path: str = "") -> dict[str, object]:
    """A record as columns and cells."""
    if isinstance(record, dict):
        parts = [flat(part, f"{path}.{name}" if path else name) for name, part in record.items()]
    elif isinstance(record, list):
        parts = [flat(part, f"{path}[{index}]") for index, part in enumerate(record)]
    else:
        return {path: str(record).lower() if isinstance(record, bool) else record}
    return {name: cell for part in parts for name, cell in part.items()}


def table(path: Path, records: list[Json]) -> Path:
    rows = [flat(record) for record in records]
    columns = list(dict.fromkeys(name for row in rows for name in row))
    text = io.StringIO()
    writer = csv.DictWriter(text, columns)
    writer.writeheader()
    writer.writerows(rows)
    path.write_bytes(b"\xef\xbb\xbf" + text.getvalue().encode())
    return path


def take(folder: Path, file: Path, *options: str) -> tuple[subprocess.CompletedProcess[str], list[Json]]:
    answers = folder / "answers.jsonl"
    ran = splitline("intake", str(file), "--data", str(folder / "data"), "--answers", str(answers), *options)
    return ran, [json.loads(line) for line in answers.read_text(encoding="utf-8").splitlines()]


def pushed(folder: Path) -> list[Json]:
    """A server's answers to the same records from the same person."""
    with served(folder) as server:
        headers = {"Authorization": f"Bearer {secret(1)}", "Content-Type": "application/json"}
        body = json.dumps({"records": RECORDS}).encode()
        with urllib.request.urlopen(
            urllib.request.Request(f"{server.url}/api/v1/push", body, headers), timeout=60
        ) as answer:
            return list(json.load(answer)["answers"])


@pytest.mark.parametrize(("write", "first"), [(lines, 1), (table, 2)])
def test_each_row_gets_the_answer_of_a_push(tmp_path: Path, write: Any, first: int) -> None:
    mine = tmp_path / "mine"
    mine.write_text(secret(1) + "\n")
    ran, answers = take(tmp_path, write(tmp_path / "records", RECORDS), "--secret-file", str(mine), "--json")
    assert ran.returncode == 2, "some rows were refused"
    assert [answer["status"] for answer in answers] == STATUSES
    assert [answer.pop("row") for answer in answers] == [first + index for index in range(5)]
    assert answers == pushed(tmp_path / "other")
    counts = {"stored": 2, "replaced": 0, "known": 0, "held": 1, "refused": 2}
    assert json.loads(ran.stdout) == {"contributor": person(1).id, **counts}
    named = [line.split(":")[:2] for line in ran.stderr.splitlines()]
    assert named == [
        [f"row {first + 2}", " held"],
        [f"row {first + 3}", " refused"],
        [f"row {first + 4}", " refused"],
    ]


def test_a_second_intake_changes_nothing_and_keeps_the_secret(tmp_path: Path) -> None:
    file = lines(tmp_path / "records", RECORDS[:2])
    first, _ = take(tmp_path, file)
    again, answers = take(tmp_path, file)
    assert (first.returncode, again.returncode) == (0, 0)
    assert [answer["status"] for answer in answers] == ["known", "known"]
    assert first.stdout.split("contributor")[1] == again.stdout.split("contributor")[1]
    kept = tmp_path / "data" / "intake-secret"
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert kept.read_text().strip() not in first.stdout + first.stderr


def test_several_batches_go_in_beside_a_running_server(tmp_path: Path) -> None:
    records = [source(1), *(reading(number, at=1) for number in range(600))]
    with served(tmp_path / "data") as server:
        ran, answers = take(tmp_path, lines(tmp_path / "records", records))
        assert ran.returncode == 0, ran.stderr
        assert [answer["row"] for answer in answers] == list(range(1, 602))
        with urllib.request.urlopen(f"{server.url}/api/v1/sources/{identifier(1)}", timeout=60) as answer:
            # One an hour for 25 days; of one person's day 20 count.
            assert json.load(answer)["figures"]["tests"] == 25 * 20


def test_damaged_lines_do_not_affect_their_neighbours(tmp_path: Path) -> None:
    file = tmp_path / "records"
    file.write_bytes(b"\n".join([json.dumps(RECORDS[0]).encode(), b"{broken", b'{"kind": "\xff"}', b"[1]", b"null"]))
    ran, answers = take(tmp_path, file)
    assert (ran.returncode, [answer["status"] for answer in answers]) == (2, ["stored"] + ["refused"] * 4)
    assert "Traceback" not in ran.stderr


def test_cells_keep_the_type_of_their_field(tmp_path: Path) -> None:
    file = table(tmp_path / "records", RECORDS[:2])
    take(tmp_path, file)
    with served(tmp_path / "data") as server, urllib.request.urlopen(f"{server.url}/api/v1/pull", timeout=60) as answer:
        station, test = json.load(answer)["changes"]
    assert station["record"]["name"] == "007"
    assert test["record"]["note"] == "12.5"
    assert test["record"]["temperature_measured"] is True
    assert test["record"]["runs"] == [{**test["record"]["runs"][0], "water": 50.0, "fuel": 50.0, "line": 88.8}]


@pytest.mark.parametrize("number", ["1e999", "-1e999", "NaN", "Infinity", "9" * 400])
def test_an_invalid_number_is_named_with_its_field(tmp_path: Path, number: str) -> None:
    file = tmp_path / "records.csv"
    file.write_text(f"kind,runs[0].line\ntest,{number}\n")
    ran = splitline("intake", str(file), "--data", str(tmp_path / "data"))
    assert ran.returncode == 2
    assert f"runs[0].line is {number[:8]}" in ran.stderr
    assert "give ." not in ran.stderr


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"id,runs[0].line,runs\n1,2,3\n", 'The column "runs"'),
        (b"id,Tube Scale\n1,2\n", 'The column "Tube Scale"'),
        (b"", "The column"),
        (b"id,kind;name\n1,source;x\n", "could be separated by commas and semicolons"),
        (b'id,name\n1,"open\n', "cannot be read"),
        (b"id,name\n1,\xff\n", "cannot be read"),
    ],
)
def test_a_file_without_records_gives_one_sentence(tmp_path: Path, content: bytes, words: str) -> None:
    file = tmp_path / "records"
    file.write_bytes(content)
    ran = splitline("intake", str(file), "--data", str(tmp_path / "data"))
    assert (ran.returncode, ran.stdout, ran.stderr.count("\n")) == (2, "", 1)
    assert words in ran.stderr


def test_a_missing_file_is_named_and_nothing_is_created(tmp_path: Path) -> None:
    ran = splitline("intake", str(tmp_path / "nothing"), "--data", str(tmp_path / "data"))
    assert (ran.returncode, "nothing cannot be read" in ran.stderr) == (2, True)
    assert list(tmp_path.iterdir()) == []
    file, bad = lines(tmp_path / "records", []), tmp_path / "secret"
    for text in (None, "abc"):
        if text:
            bad.write_text(text)
        ran = splitline("intake", str(file), "--data", str(tmp_path / "data"), "--secret-file", str(bad))
        assert (ran.returncode, "does not contain a secret" in ran.stderr) == (2, True)


def test_a_terminal_shows_progress(tmp_path: Path) -> None:
    file = lines(tmp_path / "records", [source(1), *(reading(number, at=1) for number in range(600))])
    status, shown = on_terminal("intake", str(file), "--data", str(tmp_path / "data"))
    assert status == 0
    assert b"%" in shown
    assert file.name.encode() in shown
