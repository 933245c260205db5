"""Which modules each command imports, listed by Python itself (`-X importtime`)."""

import os
import re
import subprocess
import sys
import tomllib
from importlib.util import find_spec
from pathlib import Path

import pytest

PROJECT = tomllib.loads((Path(__file__).parents[3] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
OTHER_NAMES = {"pillow": "PIL", "python-json-logger": "pythonjsonlogger"}
NAMES = [re.match(r"[\w-]+", requirement)[0] for requirement in PROJECT["dependencies"]]
DEPENDENCIES = {OTHER_NAMES.get(name, name.replace("-", "_")) for name in NAMES}

SERVER = {"litestar", "uvicorn", "uvloop", "httptools", "prometheus_client", "pythonjsonlogger", "zstandard"}
RUN = ["content", "--water", "50", "--fuel", "50", "--line", "88.8"]
VISIT = "source,sampled_at,content,expanded_uncertainty,contributor\na,2026-04-01T08:00:00Z,83.5,1.9,b\n"
COMMANDS = ["serve", "content", "blend", "steadiness", "intake", "export", "review", "backup", "restore"]
HELP = [["--help"], *([command, "--help"] for command in COMMANDS), ["review", "merge", "--help"]]


def loaded(*arguments: str) -> set[str]:
    """Run a command and return the names of all modules it imported."""
    command = [sys.executable, "-X", "importtime", "-m", "splitline", *arguments]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    return {line.rsplit("|", 1)[1].strip() for line in ran.stderr.splitlines() if line.startswith("import time:")}


def packages(modules: set[str]) -> set[str]:
    """The project's dependencies that these modules belong to."""
    return {module.split(".")[0] for module in modules} & DEPENDENCIES


def test_every_dependency_has_a_known_import_name():
    assert [name for name in sorted(DEPENDENCIES) if find_spec(name) is None] == []
    assert SERVER <= DEPENDENCIES


@pytest.mark.parametrize("arguments", HELP, ids=" ".join)
def test_help_imports_no_package_and_no_command(arguments):
    modules = loaded(*arguments)
    assert packages(modules) == set()
    assert "asyncio" not in modules
    ours = {module for module in modules if module.startswith("splitline.commands.")}
    assert ours == {"splitline.commands.options", "splitline.commands.reading"}


def test_computing_commands_import_only_numpy(tmp_path):
    visits = tmp_path / "visits.csv"
    visits.write_text(VISIT, encoding="utf-8")
    for arguments in (RUN, ["blend", "--tank", "15,20"], ["steadiness", str(visits)]):
        modules = loaded(*arguments)
        assert packages(modules) <= {"numpy"}, arguments
        assert "asyncio" not in modules


def test_data_commands_import_no_server(tmp_path):
    """Only commands that work by region load the outlines; only those that move pictures load the picture store."""
    records, copy = tmp_path / "records.csv", str(tmp_path / "copy.zip")
    records.write_text("kind,id,name\n", encoding="utf-8")
    outlines, pictures = "shapely", "obstore"
    for arguments, place, others in (
        (["intake", str(records)], "data", set()),
        (["export", "FR-63"], "data", {pictures}),
        (["review"], "data", {pictures, outlines}),
        (["backup", copy], "data", {outlines}),
        (["restore", copy], "new", {outlines}),
    ):
        found = packages(loaded(*arguments, "--data", str(tmp_path / place)))
        assert "sqlalchemy" in found, arguments
        assert "asyncpg" not in found, arguments
        assert found & (SERVER | {"rich"} | others) == set(), arguments


def test_serving_runs_statements_without_sqlalchemy():
    """SQLAlchemy only writes statements; its schema tools load only if there are tables to change."""
    command = [sys.executable, "-X", "importtime", "-c", "import splitline.app"]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    modules = {line.rsplit("|", 1)[1].strip() for line in ran.stderr.splitlines() if line.startswith("import time:")}
    assert "splitline.store.engine" in modules
    carrying = ("sqlalchemy.ext.asyncio", "sqlalchemy.orm", "alembic", "asyncpg")
    assert [module for module in modules if module.startswith(carrying)] == []


@pytest.mark.skipif((os.cpu_count() or 1) == 1, reason="numpy starts no other threads on a single processor")
def test_numpy_starts_no_threads_of_its_own():
    running = "import os, sys; from splitline.cli import main; main(sys.argv[1:]); "
    program = running + "print(len(os.listdir('/proc/self/task')))"
    environment = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    command = [sys.executable, "-c", program, *RUN]
    ran = subprocess.run(command, capture_output=True, text=True, check=True, env=environment)
    assert ran.stdout.splitlines()[-1] == "1"
