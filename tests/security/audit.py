"""Asks the advisory services whether a package that Splitline uses has a known vulnerability.

    .venv/bin/pip install -e '.[dev]' && .venv/bin/python tests/security/audit.py

pip-audit checks what `pip install .` installs, npm audit the app's lock file. If a service does not answer, that is
reported with exit status 2; a known vulnerability gives 1.
"""

import json
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement

TOP = Path(__file__).parents[2]
PATIENCE_SECONDS = 300


class NoAnswer(Exception):
    """An advisory service could not be asked."""


def installed() -> Iterator[str]:
    """The installed packages that Splitline needs at run time, with their versions."""
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    waiting, seen = list(project["dependencies"]), set()
    while waiting:
        wanted = Requirement(waiting.pop())
        if wanted.name.lower() in seen or (wanted.marker and not wanted.marker.evaluate({"extra": ""})):
            continue
        seen.add(wanted.name.lower())
        try:
            found = distribution(wanted.name)
        except PackageNotFoundError:
            continue
        yield f"{found.metadata['Name']}=={found.version}"
        waiting += found.requires or []


def python_packages() -> list[str]:
    """Known vulnerabilities of the Python packages. Raises `NoAnswer`."""
    listed = "\n".join(sorted(installed()))
    command = [sys.executable, "-m", "pip_audit", "--format", "json", "--no-deps", "--disable-pip", "-r", "/dev/stdin"]
    done = run(command, "The service of pip-audit", listed)
    try:
        found = json.loads(done.stdout)["dependencies"]
    except (json.JSONDecodeError, KeyError, TypeError) as fault:
        raise NoAnswer(f"The service of pip-audit does not answer: {last_line(done)}") from fault
    # A package unknown to the service was not checked; pip-audit itself would count it as clean.
    skipped = [one["name"] for one in found if "skip_reason" in one]
    if skipped or not found:
        raise NoAnswer(f"The service of pip-audit knows nothing of {len(skipped)} of {len(found)} packages.")
    return [f"{one['name']} {one['version']}: {fault['id']}" for one in found for fault in one["vulns"]]


def field_app() -> list[str]:
    """Known vulnerabilities of the npm packages, including build tools. Raises `NoAnswer`."""
    npm = shutil.which("npm")
    if npm is None:
        raise NoAnswer("The service of npm cannot be asked: npm is not on the PATH.")
    done = run([npm, "audit", "--json", "--package-lock-only", "--prefix", str(TOP / "pwa")], "The service of npm")
    try:
        found = json.loads(done.stdout)
    except json.JSONDecodeError as fault:
        raise NoAnswer(f"The service of npm does not answer: {last_line(done)}") from fault
    if "vulnerabilities" not in found:
        said = found.get("message") or found.get("error", {}).get("summary") or last_line(done)
        raise NoAnswer(f"The service of npm does not answer: {str(said).splitlines()[0][:200]}")
    return [f"{name}: {fault['severity']}" for name, fault in found["vulnerabilities"].items()]


def run(command: list[str], whose: str, given: str = "") -> subprocess.CompletedProcess[str]:
    """Run an audit program until it exits. Raises `NoAnswer`."""
    try:
        return subprocess.run(
            command, input=given, capture_output=True, text=True, timeout=PATIENCE_SECONDS, check=False
        )
    except subprocess.TimeoutExpired as fault:
        raise NoAnswer(f"{whose} does not answer within {PATIENCE_SECONDS} seconds.") from fault


def last_line(done: subprocess.CompletedProcess[str]) -> str:
    """The last line of a program's output."""
    lines = (done.stderr or done.stdout).strip().splitlines()
    return lines[-1][:200] if lines else f"exit status {done.returncode}"


def main() -> int:
    """Print known vulnerabilities, and services that did not answer."""
    status = 0
    for name, ask in (("Python packages", python_packages), ("npm packages", field_app)):
        try:
            found = ask()
        except NoAnswer as fault:
            print(f"{name}: {fault}")
            status = 2
            continue
        print(f"{name}: {len(found)} known faults", *found, sep="\n  ")
        status = max(status, 1 if found else 0)
    return status


if __name__ == "__main__":
    sys.exit(main())
