"""`splitline export`: the files read back with the standard library, and the descriptor against the columns."""

import asyncio
import csv
import io
import json
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from helpers.command import splitline
from helpers.examples import person, reading, source, texts
from splitline.app import open_services
from splitline.config import settings
from splitline.figures.worker import Here
from splitline.store.migrate import migrate

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)
PARSERS: dict[str, Callable[[str], Any]] = {
    "string": str,
    "number": float,
    "integer": int,
    "datetime": datetime.fromisoformat,
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder with two sources and two readings of one region."""

    async def fill() -> None:
        services = open_services(settings({"data": tmp_path}, {}), lambda: NOW, Here())
        await migrate(services.store)
        records = texts(source(1), source(2, (45.8, 3.1)), reading(1, at=1), reading(2, at=2))
        await services.intake.receive(person(1), records, NOW)
        await services.store.close()

    asyncio.run(fill())
    return tmp_path


def test_the_descriptor_lists_every_column(folder: Path) -> None:
    file = folder / "out.zip"
    ran = splitline("export", "FR-63", "--format", "package", "--output", str(file), "--data", str(folder))
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "", "")
    with zipfile.ZipFile(file) as package:
        assert package.testzip() is None
        told = json.loads(package.read("datapackage.json"))
        resources = {resource["path"]: resource for resource in told["resources"]}
        assert set(package.namelist()) == {"datapackage.json", *resources}
        table = list(csv.reader(io.StringIO(package.read("readings.csv").decode(), newline=""), strict=True))
        features = json.loads(package.read("sources.geojson"))["features"]
    fields = resources["readings.csv"]["schema"]["fields"]
    assert [field["name"] for field in fields] == table[0]
    assert len(table) == 3
    for row in table[1:]:
        for field, cell in zip(fields, row, strict=True):
            assert cell == "" or PARSERS[field["type"]](cell) is not None
    assert len(features) == 2
    assert [licence["name"] for licence in told["licenses"]] == ["CC0-1.0"]
    assert datetime.fromisoformat(told["created"]).tzinfo is not None
    without_unit = {field["name"] for field in fields if field["type"] in ("number", "integer") and "unit" not in field}
    assert without_unit == {"graduation"}, "its unit depends on the scale"
    assert all(field["description"] for field in fields)
    assert told["name"] == told["name"].lower()


@pytest.mark.parametrize("kind", ["csv", "geojson"])
def test_export_writes_to_standard_output(folder: Path, kind: str) -> None:
    ran = splitline("export", "FR-63", "--format", kind, "--data", str(folder))
    assert ran.returncode == 0, ran.stderr
    if kind == "csv":
        assert len(list(csv.reader(io.StringIO(ran.stdout)))) == 3
    else:
        assert len(json.loads(ran.stdout)["features"]) == 2


def test_a_failure_gives_one_sentence(folder: Path, tmp_path: Path) -> None:
    for arguments, words in (
        (("XX-99", "--data", str(folder)), "There is no region XX-99"),
        (("FR-63", "--data", str(tmp_path / "elsewhere")), "There is no database at "),
        (("FR-63", "--data", str(folder), "--output", str(tmp_path / "no" / "file")), "cannot be written"),
    ):
        ran = splitline("export", *arguments)
        assert (ran.returncode, ran.stderr.count("\n")) == (2, 1)
        assert words in ran.stderr
