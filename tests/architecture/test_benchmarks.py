"""Benchmarks are run by hand: that what they measure still has the names they call it by is read here."""

import runpy
from pathlib import Path

import pytest

SCRIPTS = sorted((Path(__file__).parents[2] / "benchmarks").glob("*.py"))


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda script: script.stem)
def test_a_benchmark_finds_what_it_measures(script: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(script.parent))  # as when the script is run
    assert runpy.run_path(str(script), run_name="read")["__doc__"]
