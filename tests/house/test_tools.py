"""The linters, the type checkers and the app's own tests, each as one test that shows the tool's output."""

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from house.pages import script

TOP = Path(__file__).parents[2]


def python(*arguments: str | Path) -> None:
    """Run a Python module in the repository; its output is captured with the test's."""
    subprocess.run([sys.executable, "-m", *arguments], cwd=TOP, check=True)


def tracked(*endings: str) -> list[str]:
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=TOP, capture_output=True, text=True, check=True).stdout
    return [path for path in listed.split("\0") if path.endswith(endings) and (TOP / path).exists()]


def test_python_is_formatted() -> None:
    python("ruff", "format", "--check", *tracked(".py"))


def test_ruff_finds_nothing() -> None:
    python("ruff", "check", *tracked(".py"))


def test_python_types_are_correct(tmp_path: Path) -> None:
    """Also of the examples of the page about the library, as somebody who uses it would check them."""
    examples = tmp_path / "examples.py"
    examples.write_text(script(), encoding="utf-8")
    python("mypy", "server", "pwa/build", examples)


def test_typescript_types_are_correct(node: Any) -> None:
    node.run("node_modules/.bin/tsc", "--noEmit")


def test_biome_finds_nothing(node: Any) -> None:
    node.run("node_modules/.bin/biome", "check", ".", "../tests/pwa")


def test_the_apps_own_tests_pass(node: Any) -> None:
    node.run("node_modules/.bin/vitest", "run")


def test_each_tool_fails_on_a_deliberate_fault(tmp_path: Path, node: Any, hook: Any) -> None:
    """A tool that finds something must fail its test, whether run by Python or by Node."""
    bad = tmp_path / "bad.py"
    bad.write_text("import os\n")
    with pytest.raises(subprocess.CalledProcessError):
        python("ruff", "check", bad)
    with pytest.raises(hook.BuildFailed, match="ended with 7"):
        node.run("-e", "process.exit(7)")


def test_a_complete_node_modules_is_left_alone(hook: Any) -> None:
    """The build must not remove a developer's test tools, nor trust a folder from another lock file."""
    locked = {
        "node_modules/app": {"integrity": "a"},
        "node_modules/linter": {"integrity": "b", "dev": True},
        "node_modules/other-system": {"integrity": "c", "optional": True},
    }
    app = {"node_modules/app": {"integrity": "a"}}
    assert hook.satisfied(app, locked, with_tests=False)
    assert not hook.satisfied(app, locked, with_tests=True)
    assert hook.satisfied({**app, "node_modules/linter": {"integrity": "b"}}, locked, with_tests=True)
    assert not hook.satisfied({"node_modules/app": {"integrity": "older"}}, locked, with_tests=False)
    assert not hook.satisfied({}, locked, with_tests=False)
    assert not hook.satisfied({}, {}, with_tests=False)
