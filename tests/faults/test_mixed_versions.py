"""Apps and servers of different versions: unknown records are refused one by one and do no harm."""

import sqlite3
from pathlib import Path

import pytest

from faults.conftest import Place, Tell
from faults.counting import counted, pulled
from faults.phones import all_send, phones, push, records
from helpers.command import splitline
from helpers.examples import Json, reading, source
from helpers.later_version import LATER, later_server
from helpers.server_process import served

# A record's fields in the first version, before photos, marks, offsets and printed labels.
FIRST_FIELDS = {*reading(1, at=1)} - {"note", "photos"}


async def test_records_of_older_and_newer_apps_are_answered_one_by_one(place: Place, tell: Tell) -> None:
    old = {name: value for name, value in reading(1, at=1).items() if name in FIRST_FIELDS}
    strange: list[tuple[Json, str, str]] = [
        ({**reading(2, at=1), "humidity": 40}, "field_unknown", "humidity"),
        ({**reading(3, at=1), "tube": {**old["tube"], "colour": "amber"}}, "field_unknown", "tube.colour"),
        ({**reading(4, at=1), "kind": "delivery"}, "kind_unknown", "kind"),
        ({**reading(5, at=1), "tube": {**old["tube"], "scale": "logarithmic"}}, "choice", "tube.scale"),
        ({**reading(6, at=1), "revision": 10_000_000}, "range", "revision"),
        ({**reading(7, at=1), "consent": "CC-BY-4.0"}, "choice", "consent"),
        ({"kind": "test", "id": reading(8, at=1)["id"]}, "field_missing", "revision"),
    ]
    station, good = source(1), [reading(n, at=1) for n in range(20, 20 + len(strange))]
    mixed = [record for pair in zip((record for record, _, _ in strange), good, strict=True) for record in pair]
    with served(place.folder, *place.options) as server:
        answers = (await push(server.url, [station, old, *mixed])).json()["answers"]
        assert [answer["status"] for answer in answers[:2]] == ["stored", "stored"]
        for (record, code, field), answer in zip(strange, answers[2::2], strict=True):
            assert answer["status"] == "refused"
            assert code in [problem["code"] for problem in answer["problems"]], answer
            [problem] = [one for one in answer["problems"] if one["code"] == code and one["field"] == field]
            assert len(problem["sentence"]) > 20
            # The answer has the id, so that the app knows the record even if its kind is unknown here.
            assert answer["id"] == record["id"]
        assert [answer["status"] for answer in answers[3::2]] == ["stored"] * len(good)
        found = counted(server.url, [station, old, *good])
        assert len(pulled(server.url)) == found.sent, "a refused record is stored"
        tell("records of another version between others", place.engine, found)


async def test_a_newer_server_migrates_the_database(place: Place, tell: Tell, tmp_path: Path) -> None:
    senders = phones(people=2, batches=2, size=4)
    with served(place.folder, *place.options) as server:
        await all_send(senders[:1], lambda: server.url)
    with served(place.folder, *place.options, environment=later_server(tmp_path / "later")) as server:
        assert f"the database has schema {LATER}" in server.errors.read_text()
        await all_send(senders[1:], lambda: server.url)
        tell("database of the version before", place.engine, counted(server.url, records(senders)))


@pytest.mark.parametrize(
    ("version", "sentence"),
    [
        ("9999", "the database was made by a later version of Splitline"),
        (
            "1001",
            "tables of version 1001 are from before the first release of Splitline and cannot be used; start with",
        ),
    ],
)
def test_a_database_of_another_version_is_left_alone(tmp_path: Path, version: str, sentence: str) -> None:
    with served(tmp_path):
        pass
    connection = sqlite3.connect(tmp_path / "splitline.sqlite3", isolation_level=None)
    connection.execute("UPDATE alembic_version SET version_num = ?", (version,))
    connection.close()
    before = (tmp_path / "splitline.sqlite3").read_bytes()
    ended = splitline("serve", "--data", str(tmp_path), "--port", "0")
    assert (ended.returncode, ended.stdout) == (1, "")
    assert ended.stderr.startswith(sentence)
    assert ended.stderr.count("\n") == 1
    assert (tmp_path / "splitline.sqlite3").read_bytes() == before
