"""How every command fails when it cannot read or write: one sentence and the right exit status."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import pytest

from helpers.command import PATIENCE, forked, splitline
from helpers.examples import reading, source
from helpers.fork_server import Forked, fork

VISIT = "source,sampled_at,content,expanded_uncertainty,contributor\na,2026-04-01T08:00:00Z,83.5,1.9,b\n"
SENTENCE = "The command could not finish: No space left on device."
COMPUTING = ("content --water 50 --fuel 50 --line 88.8", "blend --tank 15,20", "steadiness visits.csv")
ON_DATA = (
    "intake records.jsonl --data data",
    "export FR-63 --data data",
    "export FR-63 --format geojson --data data",
    "export FR-63 --format package --data data",
    "review --data data",
    "refresh --check --data data",
    "backup new.zip --data data",
    "restore kept.zip --data new",
    "serve --port 0 --data served",
)
HELP = ("--help", "--version", "serve --help", "review merge --help")
ALL = (*COMPUTING, *ON_DATA, *HELP)


@pytest.fixture
def place(tmp_path: Path, filled: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The working directory: a data folder, input files, and a file and a folder in the way."""
    monkeypatch.chdir(tmp_path)
    subprocess.run(["cp", "-r", *filled.iterdir(), tmp_path], check=True)
    Path("visits.csv").write_text(VISIT)
    Path("folder").mkdir()
    Path("plain").write_text("Some text, and no database at all.\n" * 100)
    os.mkfifo("fifo")
    return tmp_path


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with records, a data folder that holds them, and its backup."""
    folder = tmp_path_factory.mktemp("filled")
    records, data = folder / "records.jsonl", str(folder / "data")
    texts = [json.dumps(record) + "\n" for record in [source(1), *(reading(number, at=1) for number in range(600))]]
    records.write_text("".join(texts))
    for command in (["intake", str(records)], ["backup", str(folder / "kept.zip")]):
        assert splitline(*command, "--data", data).returncode == 0
    return folder


def ended(
    command: str, output: int | None = None, errors: int | None = None, closed: Sequence[int] = ()
) -> subprocess.CompletedProcess[str]:
    """Run a command until it exits. output, errors: where its streams go, else captured; closed: closed streams."""
    return forked(command.split(), output=output, errors=errors, closed=closed, no_text="replace")


@pytest.mark.parametrize(
    ("redirection", "status", "sentence"),
    [
        (">/dev/full", 1, SENTENCE + "\n"),
        (">/dev/full 2>/dev/full", 1, ""),
        ("| true", 141, ""),
        (">&-", 0, ""),
        ("2>&-", 0, ""),
        ("<&-", 0, ""),
    ],
)
def test_a_command_started_by_a_shell_behaves_like_a_forked_one(redirection: str, status: int, sentence: str) -> None:
    """The tests below use forked processes; this one starts real ones from a shell."""
    shell = f'set -o pipefail; "$@" {redirection}'
    run = ["bash", "-c", shell, "bash", sys.executable, "-m", "splitline", *COMPUTING[0].split()]
    ran = subprocess.run(run, capture_output=True, text=True, check=False, timeout=PATIENCE)
    assert (ran.returncode, ran.stderr) == (status, sentence)


@pytest.mark.parametrize("command", ALL)
def test_a_full_device_gives_one_sentence(place: Path, command: str) -> None:
    full = os.open("/dev/full", os.O_WRONLY)
    ran = ended(command, full)
    assert (ran.returncode, told(ran.stderr)) == (1, [SENTENCE])
    assert ended(command, full, full).returncode == 1
    os.close(full)


@pytest.mark.parametrize("command", ALL)
def test_a_closed_pipe_is_not_a_fault(place: Path, command: str) -> None:
    reading_end, writing_end = os.pipe()
    os.close(reading_end)
    ran = ended(command, writing_end)
    os.close(writing_end)
    assert (ran.returncode, told(ran.stderr)) == (141, [])


def told(text: str) -> list[str]:
    """The command's messages, without the lines of the server's log."""
    return [line for line in text.splitlines() if " INFO " not in line]


@pytest.mark.parametrize("command", [one for one in ALL if not one.startswith("serve --port")])
@pytest.mark.parametrize("closed", [0, 1, 2])
def test_output_to_a_closed_stream_goes_nowhere(place: Path, command: str, closed: int) -> None:
    """Output must not end up in a file that was given the stream's number, such as the database."""
    ran = ended(command, closed=[closed])
    assert (ran.returncode, ran.stderr) == (0, "")
    with sqlite3.connect("data/splitline.sqlite3") as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


@pytest.mark.parametrize("path", ["folder", "plain/below", "missing"])
@pytest.mark.parametrize(
    "command",
    [
        "content --runs {}",
        "content --water 50 --fuel 50 --line 88.8 --exchange {}",
        "steadiness {}",
        "intake {} --data data",
        "restore {} --data new",
        "serve --port 0 --data new --exchange {}",
        "serve --port 0 --data new --tls-cert {} --tls-key visits.csv",
    ],
)
def test_an_unreadable_file_is_bad_input(place: Path, command: str, path: str) -> None:
    ran = ended(command.format(path))
    assert (ran.returncode, ran.stdout, len(ran.stderr.splitlines())) == (2, "", 1)
    assert path in ran.stderr


@pytest.mark.parametrize("path", ["folder", "plain/below", "missing/below"])
@pytest.mark.parametrize(
    "command",
    [
        "export FR-63 --data data --output {}",
        "export FR-63 --format package --data data --output {}",
        "intake records.jsonl --data data --answers {}",
        "backup {} --data data",
    ],
)
def test_an_unwritable_file_is_bad_input(place: Path, command: str, path: str) -> None:
    ran = ended(command.format(path))
    assert (ran.returncode, ran.stdout, len(ran.stderr.splitlines())) == (2, "", 1)
    assert path in ran.stderr


@pytest.mark.parametrize(
    "command",
    [
        "export FR-63 --data data --output /dev/full",
        "export FR-63 --format geojson --data data --output /dev/full",
        "export FR-63 --format package --data data --output /dev/full",
        "intake records.jsonl --data data --answers /dev/full",
    ],
)
def test_the_file_that_could_not_be_written_is_named(place: Path, command: str) -> None:
    ran = ended(command)
    assert (ran.returncode, ran.stderr) == (1, "/dev/full cannot be written: No space left on device\n")


@pytest.mark.parametrize("where", ["--data plain", "--data plain/below", "--data new --photos plain"])
@pytest.mark.parametrize("command", ["backup copy.zip", "restore kept.zip", "serve --port 0"])
def test_a_file_that_should_be_a_folder_is_named(place: Path, command: str, where: str) -> None:
    before = sorted(place.rglob("*"))
    ran = ended(f"{command} {where}")
    assert (ran.returncode, len(ran.stderr.splitlines())) == (2, 1)
    assert "but plain is a file" in ran.stderr
    assert sorted(place.rglob("*")) == before


@pytest.mark.parametrize("command", [*ON_DATA, "review release x"])
def test_a_folder_that_should_be_a_database_is_named(place: Path, command: str) -> None:
    ran = ended(f"{command.replace('--data data', '')} --database sqlite:///folder")
    assert (ran.returncode, ran.stderr) == (2, "database is folder, which is a folder; name a file in it.\n")


@pytest.mark.parametrize(
    "command", ["content --runs fifo", "content --water 50 --fuel 50 --line 88 --exchange fifo", "steadiness fifo"]
)
def test_ctrl_c_while_reading_ends_the_command(place: Path, command: str) -> None:
    """The command waits for a pipe that never gets input."""
    assert interrupted(command) == (130, "")


@pytest.mark.parametrize("command", [*COMPUTING, *HELP])
def test_ctrl_c_while_writing_ends_the_command(place: Path, command: str) -> None:
    """The command waits for a full pipe that nobody reads."""
    with full_pipe() as pipe:
        assert interrupted(command, pipe) == (130, "")


@pytest.mark.parametrize("command", [*ON_DATA, "review release x"])
def test_ctrl_c_while_the_database_is_locked_ends_the_command(place: Path, command: str) -> None:
    with sqlite3.connect("data/splitline.sqlite3", isolation_level=None) as database:
        database.execute("PRAGMA locking_mode = EXCLUSIVE")
        database.execute("BEGIN EXCLUSIVE")
        database.execute("CREATE TABLE taken (it INTEGER)")
        where = f"--database sqlite:///{place}/data/splitline.sqlite3?patience=3"
        assert interrupted(f"{command.replace('--data data', '')} {where}") == (130, "")


def interrupted(command: str, output: int | None = None) -> tuple[int, str]:
    """Press Ctrl-C while a command waits; return its status and messages."""
    with tempfile.TemporaryFile("w+") as said, Path(os.devnull).open("w") as nowhere:
        process = fork(command.split(), os.environ, nowhere.fileno() if output is None else output, said.fileno())
        wait_until_it_sleeps(process)
        process.send_signal(signal.SIGINT)
        status = process.wait(PATIENCE)
        said.seek(0)
        return status, "\n".join(told(said.read()))


def wait_until_it_sleeps(process: Forked) -> None:
    """Wait until it handles SIGINT and has been idle for half a second."""
    asleep = 0
    while asleep < 10:
        time.sleep(0.05)
        assert process.poll() is None, "it did not wait"
        status = dict(line.split(":", 1) for line in Path(f"/proc/{process.pid}/status").read_text().splitlines())
        listens = int(status["SigCgt"], 16) >> (signal.SIGINT - 1) & 1
        asleep = asleep + 1 if listens and status["State"].split()[0] == "S" else 0


@contextmanager
def full_pipe() -> Iterator[int]:
    """The write end of a full pipe."""
    reading_end, writing_end = os.pipe()
    os.set_blocking(writing_end, False)
    for size in (4096, 1):
        try:
            while True:
                os.write(writing_end, b" " * size)
        except BlockingIOError:
            pass
    os.set_blocking(writing_end, True)
    yield writing_end
    os.close(reading_end)
    os.close(writing_end)


def test_a_file_name_that_is_not_text_is_escaped(place: Path) -> None:
    run = [sys.executable, "-m", "splitline", "backup", b"b\xff.zip", "--data", "data"]
    ran = subprocess.run(run, capture_output=True, check=False, timeout=60)
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert b"b\\udcff.zip: " in ran.stdout


def test_an_ascii_terminal_gets_ascii(place: Path) -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    ran = splitline("content", "--water", "50", "--fuel", "50", "--line", "88.8", environment=environment)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "82.6 \\xb1 1.5 %" in ran.stdout


def test_running_out_of_memory_gives_one_sentence(place: Path) -> None:
    """One row of 2 GB needs more than the 700 MB of address space allowed; the file takes no room on the disk."""
    Path("many.csv").write_text(VISIT.split("\n")[0] + "\n")
    os.truncate("many.csv", 2 * 1024**3)
    # The linear algebra library's threads would reserve address space too: the command itself must do without.
    limits = "unset OPENBLAS_NUM_THREADS; ulimit -v 700000"
    command = f'{limits}; exec "{sys.executable}" -m splitline steadiness many.csv'
    ran = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False, timeout=PATIENCE)
    assert (ran.returncode, ran.stderr) == (1, "The command could not finish: not enough memory.\n")
