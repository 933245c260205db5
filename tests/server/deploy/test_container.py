"""Runs the container file's commands one by one in ordinary folders, then the server they build."""

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import httpx

from helpers.server_process import START_SECONDS, address_of
from helpers.system import free_port
from server.deploy.files import TOP, Stage, stages

IGNORED = shutil.ignore_patterns(*(line.split("/")[-1] for line in (TOP / ".dockerignore").read_text().splitlines()))
OURS = re.compile(r"(?<![\w.:/-])/(?=(?:src|wheels|data)\b)")


class Builder:
    """Executes a container file; each stage has its own root folder and Python environment."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.roots: dict[str, Path] = {}

    def build(self, stage: Stage) -> Path:
        """Execute one stage and return its root."""
        root = self.roots[stage.name] = self.folder / (stage.name or "last")
        subprocess.run([sys.executable, "-m", "venv", root / "venv"], check=True)
        home = root
        for instruction, rest in stage.steps:
            if instruction == "WORKDIR":
                home = self.inside(root, rest)
                home.mkdir(parents=True)
            elif instruction == "COPY":
                self.copy(root, home, shlex.split(rest))
            elif instruction == "RUN":
                self.run(root, home, rest)
        return root

    def inside(self, root: Path, path: str, home: Path | None = None) -> Path:
        """The path on this machine of a path in the container."""
        return root / path.lstrip("/") if path.startswith("/") else (home or root) / path

    def copy(self, root: Path, home: Path, words: list[str]) -> None:
        origin = TOP
        if words[0].startswith("--from="):
            origin = self.roots[words.pop(0).removeprefix("--from=")]
        *sources, target = words
        place = self.inside(root, target, home)
        for one in sources:
            path = origin / one.lstrip("/")
            if path.is_dir():
                shutil.copytree(path, place, ignore=IGNORED, dirs_exist_ok=True)
            else:
                to = place / path.name if target.endswith("/") else place
                to.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy(path, to)

    def run(self, root: Path, home: Path, command: str) -> None:
        # Only root can change a folder's owner.
        command = OURS.sub(f"{root}/", command).replace("1000", str(os.geteuid() or 1000))
        environment = {**os.environ, "PATH": f"{root}/venv/bin:{os.environ['PATH']}"}
        for name in ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV"):
            environment.pop(name, None)
        ran = subprocess.run(
            command, shell=True, cwd=home, env=environment, capture_output=True, text=True, check=False
        )
        assert ran.returncode == 0, f"{command}\n{ran.stdout}\n{ran.stderr}"


def test_the_container_file_builds_a_working_server(tmp_path: Path) -> None:
    builder = Builder(tmp_path)
    *before, last = stages()
    for stage in before:
        builder.build(stage)
    root = builder.build(last)
    assert last.last("USER") == "1000:1000"
    environment = {name: OURS.sub(f"{root}/", value) for name, value in last.environment.items()}
    program, *arguments = last.command
    command = [root / "venv" / "bin" / program, *arguments]
    outer = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    how = {
        **outer,
        **environment,
        "SPLITLINE_HOST": "127.0.0.1",
        "SPLITLINE_PORT": "0",
        "SPLITLINE_OPERATIONS": f"127.0.0.1:{free_port()}",
    }
    with (
        (tmp_path / "log").open("w") as log,
        subprocess.Popen(command, env=how, cwd=root, stdout=subprocess.PIPE, stderr=log, text=True) as server,
    ):
        try:
            url = address_of(server, tmp_path / "log")
            assert httpx.get(f"{url}/healthz", timeout=60).json()["status"] == "ok"
            assert "<html" in httpx.get(f"{url}/", timeout=60).text, "the package contains the app"
        finally:
            server.terminate()
            server.wait(START_SECONDS)
    assert (root / "data" / "splitline.sqlite3").is_file()
    assert list((root / "venv").glob("lib/python3*/site-packages/splitline-*.dist-info/licenses/**/LICENSE"))
