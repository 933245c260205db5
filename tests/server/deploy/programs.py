"""The programs that the files of `server/deploy` are for, installed where they are missing and that is allowed."""

from functools import cache
from pathlib import Path

from helpers.system import present, program

NGINX = ("nginx-light",)
SYSTEMD = ("systemd",)
NGINX_UNIT = Path("/etc/systemd/system/nginx.service")


@cache
def nginx_path() -> Path:
    """The proxy. Raises MissingFromSystem."""
    return present(lambda: program("nginx") or program("/usr/sbin/nginx"), NGINX, without_service())


@cache
def systemd_analyze_path() -> Path:
    """What checks a unit. Raises MissingFromSystem."""
    return present(lambda: program("systemd-analyze"), SYSTEMD)


def without_service() -> list[tuple[str, ...]]:
    """Commands that keep Debian's package from starting nginx for all to see: the tests start their own."""
    if NGINX_UNIT.exists() or NGINX_UNIT.is_symlink():
        return []
    return [("mkdir", "-p", str(NGINX_UNIT.parent)), ("ln", "-s", "/dev/null", str(NGINX_UNIT))]
