"""`splitline review` on the database of a running server."""

import json
import urllib.request
from pathlib import Path
from typing import Any

from helpers.command import splitline
from helpers.examples import Json, identifier, reading, secret, source
from helpers.server_process import Served, served

DUPLICATE = reading(1, at=1, id=identifier(77))


def push(server: Served, *records: Json) -> list[Json]:
    body = json.dumps({"records": records}).encode()
    headers = {"Authorization": f"Bearer {secret(1)}", "Content-Type": "application/json"}
    request = urllib.request.Request(f"{server.url}/api/v1/push", body, headers)
    with urllib.request.urlopen(request, timeout=60) as answer:
        return list(json.load(answer)["answers"])


def pulled(server: Served) -> dict[str, Json]:
    with urllib.request.urlopen(f"{server.url}/api/v1/pull", timeout=60) as answer:
        return {change["id"]: change for change in json.load(answer)["changes"]}


def review(data: Path, *arguments: str) -> Any:
    ran = splitline("review", *arguments, "--data", str(data), "--json")
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


def test_a_moderator_decides_beside_a_running_server(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        push(server, source(1), source(2), reading(1, at=1), DUPLICATE)
        listed = review(tmp_path)
        assert review(tmp_path, "list") == listed
        assert [test["id"] for test in listed["tests"]] == [DUPLICATE["id"]]
        assert listed["tests"][0]["reasons"][0]["code"] == "twin_runs"
        assert [place["similar_to"] for place in listed["sources"]] == [identifier(1)]

        decided = review(tmp_path, "release", DUPLICATE["id"], "--why", "two pumps")
        assert (decided["state"], decided["kind"]) == ("counted", "test")
        assert pulled(server)[DUPLICATE["id"]]["state"] == "counted"
        review(tmp_path, "withhold", DUPLICATE["id"], "--by", "Ada")
        assert pulled(server)[DUPLICATE["id"]]["state"] == "withheld"
        assert push(server, DUPLICATE)[0]["status"] == "held"

        assert review(tmp_path, "merge", identifier(2), identifier(1))["into"] == identifier(1)
        assert pulled(server)[identifier(2)]["into"] == identifier(1)
        review(tmp_path, "unmerge", identifier(2))
        assert pulled(server)[identifier(2)]["state"] == "counted"


def test_the_list_is_readable_text(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        push(server, source(1), reading(1, at=1), DUPLICATE)
    said = splitline("review", "--data", str(tmp_path)).stdout
    assert "twin_runs: The same runs" in said
    # 84.0 % as read; the layers exchange 0.8 points at 80 % and 1.0 at 85 %: 80 + (84 - 80.8) * 5 / 5.2.
    assert "83.1 % (V/V) ± " in said
    released = splitline("review", "release", DUPLICATE["id"], "--database", f"sqlite:///{tmp_path}/splitline.sqlite3")
    assert released.stdout == f"test {DUPLICATE['id']} is now counted.\n"
    assert splitline("review", "--data", str(tmp_path)).stdout == "Nothing waits.\n"


def test_a_failure_gives_one_sentence(tmp_path: Path) -> None:
    ran = splitline("review", "--data", str(tmp_path))
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr.startswith("There is no database at ")
    assert not list(tmp_path.iterdir())
    with served(tmp_path):
        ran = splitline("review", "release", "nothing", "--data", str(tmp_path))
    assert (ran.returncode, ran.stderr.count("\n")) == (2, 1)
    assert splitline("review", "merge", "one").returncode == 2
