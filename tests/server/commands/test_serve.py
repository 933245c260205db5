"""`splitline serve` from a terminal."""

import signal
import sqlite3
import subprocess
import sys

import httpx
import pytest

from helpers.command import splitline
from helpers.server_process import START_SECONDS, served

NAME = "splitline.sqlite3"


def test_ctrl_c_stops_the_server_silently(tmp_path):
    with served(tmp_path, anew=True) as server:
        # The socket listens a moment before the server answers.
        httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
        server.process.send_signal(signal.SIGINT)
        assert server.process.wait(START_SECONDS) == 130
        assert server.errors.read_text().splitlines()[2:] == []


def test_a_second_server_on_one_file_is_refused_before_it_writes(tmp_path):
    data = tmp_path / "data"
    with served(data) as server:
        httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
        before = {path.name: path.stat().st_mtime_ns for path in data.iterdir() if path.name != "errors.txt"}
        command = [sys.executable, "-m", "splitline", "serve", "--port", "0", "--demo"]
        for options in (["--data", "data"], ["--database", f"sqlite:///{data}/../data/{NAME}"]):
            ended = subprocess.run([*command, *options], cwd=tmp_path, capture_output=True, text=True, timeout=60)
            assert (ended.returncode, ended.stdout) == (1, "")
            assert ended.stderr == (
                f"{data / NAME} is being served by another process; "
                "stop that one first, or use PostgreSQL, which several can serve\n"
            )
        after = {path.name: path.stat().st_mtime_ns for path in data.iterdir() if path.name != "errors.txt"}
        assert after == before
        assert [path.name for path in tmp_path.iterdir()] == ["data"]
        assert httpx.get(f"{server.url}/healthz", timeout=60, verify=False).status_code == 200


def test_sigterm_stops_the_server_with_status_0(tmp_path):
    with served(tmp_path, anew=True) as server:
        httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
        server.process.send_signal(signal.SIGTERM)
        assert server.process.wait(START_SECONDS) == 0


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
def test_a_new_server_starts_however_the_last_one_ended(tmp_path, how):
    with served(tmp_path) as server:
        httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
        server.process.send_signal(how)
        server.process.wait(START_SECONDS)
        with served(tmp_path) as following:
            assert httpx.get(f"{following.url}/healthz", timeout=60, verify=False).status_code == 200


def test_commands_work_beside_a_running_server(tmp_path):
    """SQLite's own locks still work, and so do the commands that no other test runs beside a server."""
    data, new, kept = (str(tmp_path / name) for name in ("data", "new", "kept.zip"))
    with served(tmp_path / "data") as server:
        httpx.get(f"{server.url}/healthz", timeout=60, verify=False)
        for command in (["export", "FR-63", "--data", data], ["backup", kept, "--data", data]):
            ran = splitline(*command)
            assert ran.returncode == 0, ran.stderr
        assert splitline("restore", kept, "--data", new).returncode == 0
        writing = sqlite3.connect(tmp_path / "data" / NAME, timeout=0, isolation_level=None)
        writing.execute("BEGIN IMMEDIATE")
        writing.close()


@pytest.mark.parametrize(("text", "word"), [(None, "cannot be read"), ("[", "not JSON"), ("{}", "contents_percent")])
def test_a_broken_exchange_table_prevents_the_start(tmp_path, text, word):
    table = tmp_path / "table.json"
    if text is not None:
        table.write_text(text)
    ran = splitline("serve", "--port", "0", "--data", str(tmp_path / "data"), "--exchange", str(table))
    assert (ran.returncode, ran.stdout) == (2, "")
    assert word in ran.stderr
    assert "Traceback" not in ran.stderr
    assert len(ran.stderr.splitlines()) == 1
