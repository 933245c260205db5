"""The programs that `server/deploy` is for, installed if missing and allowed."""

from functools import cache
from pathlib import Path

from helpers.system import present, program

NGINX = ("nginx-light",)
SYSTEMD = ("systemd",)
NGINX_UNIT = Path("/etc/systemd/system/nginx.service")


@cache
def nginx_path() -> Path:
    """Path of nginx. Raises MissingFromSystem."""
    return present(lambda: program("nginx") or program("/usr/sbin/nginx"), NGINX, without_service())


@cache
def systemd_analyze_path() -> Path:
    """Path of systemd-analyze. Raises MissingFromSystem."""
    return present(lambda: program("systemd-analyze"), SYSTEMD)


def without_service() -> list[tuple[str, ...]]:
    """Commands that stop Debian's package from starting a public nginx: the tests start their own."""
    if NGINX_UNIT.exists() or NGINX_UNIT.is_symlink():
        return []
    return [("mkdir", "-p", str(NGINX_UNIT.parent)), ("ln", "-s", "/dev/null", str(NGINX_UNIT))]
