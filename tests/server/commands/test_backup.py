"""`splitline backup` and `splitline restore`: their output, and one sentence for each failure."""

import asyncio
import sqlite3
from datetime import UTC, datetime
from pathlib import Path
from zipfile import ZipFile

import pytest

from helpers.command import splitline
from helpers.examples import person, reading, source, texts
from splitline.app import open_services
from splitline.config import settings
from splitline.figures.schedule import bring_up
from splitline.figures.worker import Here
from splitline.store.migrate import migrate

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A data folder with a source and two readings."""

    async def fill() -> None:
        services = open_services(settings({"data": tmp_path / "data"}, {}), lambda: NOW, Here())
        await migrate(services.store)
        await services.intake.receive(person(1), texts(source(1), reading(1, at=1), reading(2, at=1)), NOW)
        await bring_up(services.store, lambda: NOW)
        await services.store.close()

    asyncio.run(fill())
    return tmp_path / "data"


def rows(data: Path, table: str) -> list[tuple[object, ...]]:
    with sqlite3.connect(data / "splitline.sqlite3") as connection:
        return connection.execute(f"SELECT * FROM {table} ORDER BY 1, 2").fetchall()


def test_backup_then_restore_returns_everything(data: Path, tmp_path: Path) -> None:
    file, other = tmp_path / "kept.zip", tmp_path / "other"
    made = splitline("backup", str(file), "--data", str(data))
    assert (made.returncode, made.stderr) == (0, "")
    assert made.stdout.startswith(f"{file}: ")
    assert made.stdout.endswith("tables, and 0 pictures.\n")
    back = splitline("restore", str(file), "--data", str(other))
    assert (back.returncode, back.stderr) == (0, "")
    assert "as of 20" in back.stdout
    for table in ("sources", "tests", "contributors", "source_figures", "region_months"):
        assert rows(other, table) == rows(data, table) != []
    said = splitline("backup", str(tmp_path / "less.zip"), "--data", str(data), "--without-photos").stdout
    assert f"the pictures were left in {data / 'photos'}" in said


def test_a_failure_is_one_sentence_and_leaves_nothing(data: Path, tmp_path: Path) -> None:
    file, other, text = tmp_path / "kept.zip", tmp_path / "other", tmp_path / "text.zip"
    assert splitline("backup", str(file), "--data", str(data)).returncode == 0
    whole = file.read_bytes()
    text.write_text("no zip")
    cut = tmp_path / "cut.zip"
    cut.write_bytes(whole[:-400])
    damaged = tmp_path / "damaged.zip"
    with ZipFile(file) as archive:
        at = archive.getinfo("tables/tests.jsonl").header_offset + 120
    damaged.write_bytes(whole[:at] + bytes([whole[at] ^ 255]) + whole[at + 1 :])
    for arguments, status, sentence in (
        (("backup", file, "--data", data), 2, "kept.zip already exists and was not changed"),
        (("backup", tmp_path / "no" / "x.zip", "--data", data), 2, "cannot be written (No such file or directory)"),
        (("backup", tmp_path / "x.zip", "--data", other), 2, "There is no database at"),
        (("backup", tmp_path / "x.zip", "--database", f"sqlite:///{text}"), 1, "the database cannot be read"),
        (("restore", tmp_path / "none.zip", "--data", other), 2, "cannot be read (No such file or directory)"),
        (("restore", text, "--data", other), 2, "text.zip is not a Splitline backup"),
        (("restore", cut, "--data", other), 2, "cut.zip is not a Splitline backup, or is incomplete"),
        (("restore", damaged, "--data", other), 2, "damaged.zip is damaged"),
        (("restore", file, "--data", data), 2, "already has tables; restore into an empty place"),
    ):
        ran = splitline(*map(str, arguments))
        assert (ran.returncode, ran.stdout) == (status, ""), ran.stderr
        assert sentence in ran.stderr
        assert ran.stderr.count("\n") == 1
        assert not (other / "splitline.sqlite3").exists()
    assert sorted(path.name for path in tmp_path.glob("*.zip*")) == ["cut.zip", "damaged.zip", "kept.zip", "text.zip"]
