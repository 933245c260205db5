"""Both languages on new random input: Node calls the app's functions with Python's cases."""

import json
import os
from pathlib import Path
from typing import Any

import pytest

import vectors

COUNT = 10_000


def test_committed_vectors_match_python():
    for name in vectors.FILES:
        committed = json.loads((vectors.FOLDER / f"{name}.json").read_text(encoding="utf-8"))
        assert _close(committed, json.loads(json.dumps(vectors.vectors(name)))), name


def test_ten_thousand_random_cases_agree(
    tmp_path: Path, node: Any, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
):
    """SPLITLINE_SEED selects other cases; the seed and the largest difference are printed."""
    seed = int(os.environ.get("SPLITLINE_SEED", "20261125"))
    file = tmp_path / f"seed-{seed}.json"
    file.write_text(json.dumps({"cases": vectors.random_cases(seed, COUNT)}), encoding="utf-8")
    monkeypatch.setitem(node.environment, "SPLITLINE_CASES", str(file))
    node.run("node_modules/vitest/vitest.mjs", "run", "vectors")
    said = capfd.readouterr().out
    print(said)
    assert "largest relative difference" in said


def _close(ours: object, theirs: object) -> bool:
    """Equal, with reals to 1e-12 relative: another processor may round the last digit differently."""
    if isinstance(ours, float) and isinstance(theirs, float | int):
        return ours == pytest.approx(theirs, rel=1e-12, abs=1e-12)
    if isinstance(ours, dict) and isinstance(theirs, dict):
        return ours.keys() == theirs.keys() and all(_close(ours[key], theirs[key]) for key in ours)
    if isinstance(ours, list) and isinstance(theirs, list):
        return len(ours) == len(theirs) and all(map(_close, ours, theirs))
    return ours == theirs
