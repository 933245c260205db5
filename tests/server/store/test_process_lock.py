"""The lock file beside a SQLite database: one server per file, whatever name it is opened by."""

import os
from pathlib import Path

import pytest

from splitline.config import settings
from splitline.store.faults import StoreUnavailable
from splitline.store.process_lock import ENDING, ServedTwice, only_server

NAME = "splitline.sqlite3"


def url(path: Path | str) -> str:
    return settings({"database": f"sqlite:///{path}"}, {}).database


def test_only_one_server_may_open_a_file_at_a_time(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path / NAME)
    with only_server(url(tmp_path / NAME)):
        for name in (tmp_path / NAME, tmp_path / "link", os.path.relpath(tmp_path / NAME)):
            with pytest.raises(ServedTwice, match=f"^{tmp_path / NAME} is being served"), only_server(url(name)):
                pass
        with only_server(url(tmp_path / "another")):
            pass
    with only_server(url(tmp_path / NAME)):
        assert {path.name for path in tmp_path.iterdir()} == {"link", f"{NAME}{ENDING}", f"another{ENDING}"}


def test_a_file_with_two_names_is_refused_until_one_is_gone(tmp_path: Path) -> None:
    """SQLite's "How To Corrupt An SQLite Database File", 2.5: each name has its own write-ahead log."""
    (tmp_path / NAME).touch()
    with only_server(url(tmp_path / NAME)):
        (tmp_path / "another").hardlink_to(tmp_path / NAME)
        with pytest.raises(ServedTwice, match=f"^{tmp_path / 'another'} is also linked"):
            only_server(url(tmp_path / "another")).__enter__()
    (tmp_path / NAME).unlink()
    with only_server(url(tmp_path / "another")):
        pass


def test_any_number_of_servers_may_use_one_postgresql(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same URL twice at once raises no `ServedTwice` and creates no lock file."""
    monkeypatch.chdir(tmp_path)
    address = settings({"database": "postgresql://db/fuel"}, {}).database
    with only_server(address), only_server(address):
        assert list(tmp_path.iterdir()) == []


def test_without_a_lock_file_the_store_is_unavailable() -> None:
    with pytest.raises(StoreUnavailable, match=r"^the database does not answer: /proc/none/x-serving: "):
        only_server(url("/proc/none/x")).__enter__()
