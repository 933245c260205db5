"""The development server, started and stopped as from a terminal."""

import os
import pty
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.request import urlopen

from helpers.system import free_port

TOP = Path(__file__).parents[2]
PATIENCE = 60


@contextmanager
def developing(folder: Path, address: str) -> Iterator[subprocess.Popen[bytes]]:
    """Run it with a terminal as standard input; output and temporary files go to the folder."""
    command = [sys.executable, TOP / "pwa" / "build" / "dev.py", "--port", address.rsplit(":", 1)[1]]
    ours, theirs = pty.openpty()
    with (folder / "said").open("wb") as said:
        environment = {**os.environ, "TMPDIR": str(folder)}
        running = subprocess.Popen(
            command, stdin=theirs, stdout=said, stderr=said, env=environment, start_new_session=True
        )
    try:
        yield running
    finally:
        with suppress(ProcessLookupError):
            os.killpg(running.pid, signal.SIGKILL)
        for end in (ours, theirs):
            os.close(end)


def eventually(ask: Callable[[], bool | str], folder: Path) -> str:
    """Ask until there is an answer, and return it."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        with suppress(OSError):
            answer = ask()
            if answer:
                return str(answer)
        time.sleep(0.1)
    raise AssertionError((folder / "said").read_text())


def text(address: str) -> str:
    with urlopen(address, timeout=PATIENCE) as answer:
        return str(answer.read().decode())


def inputs(group: int) -> dict[str, str]:
    """The standard input of each process in a group, by program name."""
    found = {}
    for process in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if os.getpgid(int(process.name)) == group:
                arguments = (process / "cmdline").read_text().split("\0")
                found[" ".join(Path(word).name for word in arguments[1:3])] = str((process / "fd/0").readlink())
    return found


def test_one_address_serves_app_and_server_until_ctrl_c(tmp_path: Path) -> None:
    address = f"http://127.0.0.1:{free_port()}"
    with developing(tmp_path, address) as running:
        page = eventually(lambda: text(address), tmp_path)
        assert '<script type="module" src="/@vite/client">' in page
        module = text(f"{address}/src/main.tsx")
        assert "import.meta.hot.accept(" in module.replace("?.", ".")
        assert "sourceMappingURL=data:application/json" in module
        assert '"invented":true' in eventually(lambda: text(f"{address}/healthz"), tmp_path)

        terminal = inputs(running.pid)
        assert terminal["-m splitline"].startswith("/dev/pts/")
        assert terminal["vite.js --host"] == "/dev/null"

        said, folder = tmp_path / "said", next(tmp_path.glob("splitline-demo-*"))
        os.utime(TOP / "server" / "splitline" / "api" / "health.py")
        eventually(lambda: said.read_text().count("Splitline is listening") == 2, tmp_path)
        assert '"FR-63"' in text(f"{address}/api/v1/regions")
        assert "proxy error" not in said.read_text()

        os.killpg(running.pid, signal.SIGINT)
        assert running.wait(PATIENCE) == 0
        assert inputs(running.pid) == {}
        assert "Traceback" not in said.read_text()
    assert not folder.exists()
