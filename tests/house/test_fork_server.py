"""A forked `splitline` behaves like one that Python starts: the same output, status, signals and environment."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from helpers.command import splitline
from helpers.fork_server import can_fork, of_python
from helpers.server_process import served

RUN = ("content", "--water", "50", "--fuel", "50", "--line", "88.8")


@pytest.mark.parametrize("arguments", [("--version",), ("content", "--line", "x"), (*RUN, "--json"), ("nothing",)])
def test_a_forked_command_behaves_like_a_started_one(arguments: tuple[str, ...]) -> None:
    command = [sys.executable, "-m", "splitline", *arguments]
    began = subprocess.run(command, capture_output=True, text=True, check=False)
    forked = splitline(*arguments)
    assert (forked.returncode, forked.stdout, forked.stderr) == (began.returncode, began.stdout, began.stderr)


def test_a_forked_server_has_its_own_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Environment, working directory, umask, open files and signal handlers."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SPLITLINE_PORT", "of the tests")
    before = os.umask(0o027)
    read, write = os.pipe()
    try:
        environment = {**of_python(os.environ), "SPLITLINE_LOG": "json"}
        with served(tmp_path / "data", environment=environment) as server:
            place = Path(f"/proc/{server.process.pid}")
            status = dict(line.split(":\t", 1) for line in (place / "status").read_text().splitlines())
            assert (place / "cwd").readlink() == tmp_path
            assert status["Umask"].strip() == "0027"
            assert server.errors.read_text().startswith("{")
            # Python's own, and signals that were ignored when the tests started.
            assert f"SigIgn:\t{status['SigIgn']}" in Path("/proc/self/status").read_text().splitlines()
            ours = Path("/proc/self/fd")
            assert (ours / str(read)).readlink() not in {file.readlink() for file in (place / "fd").iterdir()}
            assert (place / "fd" / "0").readlink() == (ours / "0").readlink()
            server.process.send_signal(signal.SIGINT)
            assert server.process.wait(60) == 130
    finally:
        os.umask(before)
        os.close(read)
        os.close(write)


def test_a_forked_process_can_be_waited_for_and_killed(tmp_path: Path) -> None:
    with served(tmp_path) as server:
        assert server.process.poll() is None
        with pytest.raises(subprocess.TimeoutExpired):
            server.process.wait(0.1)
        server.process.kill()
        assert server.process.wait(60) == -signal.SIGKILL
        assert not Path(f"/proc/{server.process.pid}").exists()
        server.process.terminate()
        assert server.process.poll() == -signal.SIGKILL


def test_another_python_environment_is_not_forked() -> None:
    assert can_fork(dict(os.environ))
    assert not can_fork({**os.environ, "PYTHONPATH": "elsewhere"})
