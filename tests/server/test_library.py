"""The science as a library: what it loads, what it names, and every example of the page about it."""

import doctest
import re
import subprocess
import sys
from importlib import import_module
from math import sqrt
from pkgutil import iter_modules
from typing import Any

import numpy as np
import pytest

from helpers.published import published
from house.pages import LIBRARY, session

# With the rooms of the house that each loads.
PACKAGES = {"splitline.chemistry": {"chemistry", "errors"}, "splitline.statistics": {"statistics"}}
LOADED = """
import sys
before = set(sys.modules)
from {package} import *
print(*sorted(set(sys.modules) - before))
"""


def loaded(package: str) -> set[str]:
    """What importing a package loads, in a Python of its own."""
    ran = subprocess.run(
        [sys.executable, "-c", LOADED.format(package=package)], capture_output=True, text=True, check=True
    )
    return set(ran.stdout.split())


@pytest.mark.parametrize("package", PACKAGES)
def test_a_package_alone_loads_numpy_and_the_standard_library(package: str) -> None:
    modules = loaded(package)
    outside = {name.split(".")[0] for name in modules} - set(sys.stdlib_module_names)
    assert outside == {"numpy", "splitline"}
    assert {name.split(".")[1] for name in modules if name.startswith("splitline.")} == PACKAGES[package]


@pytest.fixture(scope="module")
def notebook() -> dict[str, Any]:
    """What the page's examples leave behind; each says what the page says it does."""
    examples = session()
    assert len(examples.examples) > 50
    said: list[str] = []
    ended = doctest.DocTestRunner(verbose=False).run(examples, out=said.append, clear_globs=False)
    assert ended.failed == 0, "".join(said)
    return examples.globs


def test_the_numbers_of_the_page_are_those_that_were_published(notebook: dict[str, Any]) -> None:
    """Brine: a printed example of NBR 13992. Shrinkage: a chemistry course. Instruments: certified by NIST."""
    salt = published("extraction")["worked_examples"][0]["value"]
    assert (salt["aqueous_ml"], salt["sample_ml"]) == (64.0, 50)
    assert notebook["salt"].content == pytest.approx(salt["ethanol_vol_percent"], abs=1e-9)
    printed = published("mixing")["published"][0]["volume_after_ml"]
    assert notebook["line_of_content"](100.0, 50.0, 50.0, 20.0, 0.0) == pytest.approx(printed, abs=0.5)
    assert f"{printed} of a temperature" in LIBRARY.read_text(encoding="utf-8")
    certified = published("statistics")["anova_sirstv"]
    means = 100 * np.mean(certified["groups"], axis=1)
    within, between = (certified["certified"]["value"][name] / 5 for name in ("ms_within", "ms_between"))
    assert notebook["means"] == pytest.approx(means.tolist(), abs=1e-6)
    assert notebook["instruments"][0].own_uncertainty == pytest.approx(100 * sqrt(within), abs=0.005)
    assert f"{100 * sqrt(between - within):.2f} is the scatter" in LIBRARY.read_text(encoding="utf-8")
    low, high = notebook["nist"].estimate.tau_interval
    assert low < 100 * sqrt(between - within) < high
    fuels, blended = published("fuels"), notebook["mixed"].content / 100
    # By mass, of the printed ratios; as the published file recomputes its blends.
    ethanol, gasoline = 0.794 * blended, 0.745 * (1 - blended)
    ratios = [fuels[name]["stoichiometric_afr"]["value"] for name in ("ethanol", "gasoline")]
    assert notebook["air"].value == pytest.approx(np.average(ratios, weights=[ethanol, gasoline]), abs=0.006)


def test_what_the_page_made_up_is_found_again(notebook: dict[str, Any]) -> None:
    """12 points between summer and winter, and the one reading that was written 15 too low."""
    assert notebook["summer"] - notebook["winter"] == pytest.approx(12.0, abs=0.5)
    assert len(notebook["station"].wrong) == 1


def test_the_page_names_every_public_name_and_no_other() -> None:
    text = LIBRARY.read_text(encoding="utf-8")
    for package in PACKAGES:
        [row] = re.findall(rf"^\| `{package}` \| (.*) \|$", text, re.MULTILINE)
        module = import_module(package)
        assert sorted(re.findall(r"`(\w+)`", row)) == sorted(module.__all__)
        assert [name for name in module.__all__ if not hasattr(module, name)] == []


@pytest.mark.parametrize("package", PACKAGES)
def test_a_public_name_hides_no_module(package: str) -> None:
    """`import splitline.chemistry.density` is to give the module, whatever the package names."""
    module = import_module(package)
    names = {found.name for found in iter_modules(module.__path__)}
    assert names
    for name in names:
        assert import_module(f"{package}.{name}") is getattr(module, name)


def test_examples_in_docstrings() -> None:
    found = [one for package in PACKAGES for one in iter_modules(import_module(package).__path__, f"{package}.")]
    ended = {one.name: doctest.testmod(import_module(one.name)) for one in found}
    assert [name for name, result in ended.items() if result.failed] == []
    assert sum(result.attempted for result in ended.values()) >= 3


def test_a_name_that_is_not_public_is_none() -> None:
    module = import_module("splitline.chemistry")
    assert set(module.__all__) <= set(dir(module))
    with pytest.raises(AttributeError, match="has no attribute 'contents_after'"):
        _ = module.contents_after
