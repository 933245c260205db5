"""Development server: run `python pwa/build/dev.py`, then open the address that Vite prints.

Vite serves the app, updates the open page, and proxies the API to a server with a throw-away demo, which restarts when
one of its files changes. That server has the terminal: `breakpoint()` in a handler opens pdb there. Ctrl-C stops both
and deletes the demo's data.
"""

import argparse
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory

from hook import BuildFailed, Node
from watchfiles import PythonFilter, watch

TOP = Path(__file__).parents[2]
VITE = "node_modules/vite/bin/vite.js"
DEBUGGER = "127.0.0.1:5678"
STOPPING = 3
"""Seconds."""


def main() -> int:
    """Serve until interrupted; return the exit status."""
    chosen, for_vite = options().parse_known_args()
    if chosen.debugger and find_spec("debugpy") is None:
        print("There is no debugpy here: pip install -e '.[dev]'.", file=sys.stderr)
        return 1
    for name in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(name, signal.default_int_handler)
    with TemporaryDirectory(prefix="splitline-demo-") as folder, suppress(KeyboardInterrupt):
        port = free_port()
        try:
            with vite(f"http://127.0.0.1:{port}", for_vite):
                serve(Path(folder), port, chosen.debugger)
        except BuildFailed as failure:
            print(failure, file=sys.stderr)
            return 1
    return 0


def options() -> argparse.ArgumentParser:
    """Return the parser for this script's options; all others go to Vite."""
    parser = argparse.ArgumentParser(
        description="Serve the app and a demo while you work on them.",
        epilog="All other options go to Vite, such as --port 5174, --host 0.0.0.0 and --open.",
    )
    what = f"let an editor attach to the server at {DEBUGGER} (needs debugpy)"
    parser.add_argument("--debugger", action="store_true", help=what)
    return parser


@contextmanager
def vite(server: str, options: Sequence[str]) -> Iterator[None]:
    """Run Vite's server, which proxies the API's paths to ours. Raises `BuildFailed` if its packages are missing."""
    node = Node(TOP / "pwa")
    node.install()
    command = [str(node.program), VITE, "--host", "127.0.0.1", "--clearScreen", "false", *options]
    environment = {**node.environment, "SPLITLINE_URL": server}
    # Keyboard input goes to pdb.
    running = subprocess.Popen(command, cwd=node.folder, env=environment, stdin=subprocess.DEVNULL)
    try:
        yield
    finally:
        stop(running)


def serve(folder: Path, port: int, debugger: bool) -> None:
    """Run `splitline serve --demo` from this clone, restarting when a file changes, until interrupted."""
    os.chdir(TOP / "server")  # Python searches here before installed packages.
    attach = ["-Xfrozen_modules=off", "-m", "debugpy", "--listen", DEBUGGER] if debugger else []
    command = [*attach, "-m", "splitline", "serve", "--demo", "--data", str(folder), "--port", str(port)]
    running = subprocess.Popen([sys.executable, *command])
    try:
        for _ in watch("splitline", watch_filter=PythonFilter(extra_extensions=[".json"])):
            stop(running)
            running = subprocess.Popen([sys.executable, *command])
    finally:
        stop(running)


def stop(running: "subprocess.Popen[bytes]") -> None:
    """Ask a process to stop, and kill it if it does not, as when a debugger has paused it."""
    running.terminate()
    try:
        running.wait(STOPPING)
    except subprocess.TimeoutExpired:
        running.kill()
        running.wait()


def free_port() -> int:
    """Return a free port; the server gets the same one at every restart."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


if __name__ == "__main__":
    sys.exit(main())
