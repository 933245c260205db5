"""The system programs that the tests use are real, and missing ones are reported."""

import asyncio
import os
import subprocess
import tempfile
from pathlib import Path

import asyncpg
import pytest

from helpers import programs, system


async def test_the_database_server_is_postgresql(postgresql_url: str) -> None:
    connection = await asyncpg.connect(postgresql_url)
    try:
        assert (await connection.fetchval("SELECT version()")).startswith("PostgreSQL")
        await connection.execute("CREATE DATABASE made_by_a_test")
        await connection.execute("DROP DATABASE made_by_a_test")
    finally:
        await connection.close()


def test_two_database_servers_run_at_once_and_none_is_left(postgresql_url: str) -> None:
    # Not in the test's folder: PostgreSQL's user cannot reach it.
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        with system.postgresql_server(folder) as other:
            assert other != postgresql_url
            assert len(list(folder.iterdir())) == 1
            asyncio.run(visit(other))
        assert list(folder.iterdir()) == []
    with pytest.raises(OSError, match=r"refused|Connect call failed"):
        asyncio.run(visit(other))


async def visit(url: str) -> None:
    await (await asyncpg.connect(url)).close()


def test_chromium_starts(chromium: Path) -> None:
    for browser in (chromium, programs.desktop_chromium_path()):
        command = [browser, "--version", "--no-sandbox"]
        assert "Chromium" in subprocess.run(command, capture_output=True, text=True, check=True).stdout


def test_the_other_browsers_are_there() -> None:
    driver, browser = programs.webkit_paths()
    for program in (driver, browser, programs.xvfb_path(), programs.firefox_path(), programs.geckodriver_path()):
        assert os.access(program, os.X_OK), program


@pytest.mark.parametrize("packages", [programs.CHROMIUM, programs.POSTGRESQL, programs.WEBKIT, programs.FIREFOX])
def test_without_apt_the_message_names_the_packages(packages: tuple[str, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(programs.MissingFromSystem, match=" ".join(packages)):
        programs.install(packages)


def test_all_that_is_missing_is_installed_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(programs.MissingFromSystem, match=r"chromium .* webkit2gtk-driver xvfb firefox-esr"):
        programs.install_missing()


def test_only_services_that_are_installed_are_held_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A developer's own nginx must go on working when the tests install a browser."""
    monkeypatch.setattr(programs, "NGINX_UNIT", tmp_path / "nginx.service")
    monkeypatch.setattr(programs, "CLUSTER_CONFIGURATION", tmp_path / "createcluster.conf")
    assert list(programs.without_services(programs.CHROMIUM)) == []
    assert [command[0] for command in programs.without_services(programs.NGINX)] == ["mkdir", "ln"]
    assert [command[0] for command in programs.without_services(programs.POSTGRESQL)] == ["mkdir", "sh"]


def test_without_rights_the_message_names_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not root, with apt-get but without sudo."""
    (tmp_path / "apt-get").symlink_to("/bin/true")
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(programs.MissingFromSystem, match="Run 'apt-get install chromium' as root"):
        programs.install(["chromium"], user=1000)
