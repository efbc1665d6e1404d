"""The interface for notebooks and other programs: four functions, plain rows in SI, nothing private."""

import json
import re
import subprocess
import sys
from dataclasses import asdict
from pathlib import Path

import pytest
from engine import small
from engine.shared import planned_yard

import topwire

DOCS = Path(__file__).parents[1] / "docs" / "python.md"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    planned = planned_yard(tmp_path_factory)
    return planned.rename(planned.with_name("my-orchard"))  # as the documented example calls it


def test_what_is_public_is_documented() -> None:
    text = DOCS.read_text(encoding="utf-8")
    for name in topwire.__all__:
        if not name.startswith("__"):
            assert f"topwire.{name}(" in text


def test_a_folder_is_read_checked_planned_and_told_as_rows(folder: Path) -> None:
    assert topwire.check(folder) == ()
    inputs = topwire.read(folder)
    orchard = topwire.plan_orchard(inputs, until="nursery")
    assert orchard.nursery is not None
    assert orchard.ledger is None
    found = topwire.tables(orchard)
    grafts = found["nursery.grafts"]
    assert [column.key for column in grafts.columns] == list(grafts.rows[0])
    assert sum(int(row["grafts"] or 0) for row in grafts.rows) == sum(
        line.grafts for line in orchard.nursery.lines
    )
    assert json.dumps([asdict(table) for table in found.values()], allow_nan=False)


def test_mistakes_are_told_in_words(tmp_path: Path) -> None:
    broken = small.make(tmp_path / "broken")
    plan = broken / "plan.yaml"
    plan.write_text(
        plan.read_text(encoding="utf-8").replace("most_trees: 5", "most_tree: 5"), encoding="utf-8"
    )
    (said,) = topwire.check(broken)
    assert "most_trees" in said
    assert "line" in said


def test_importing_it_loads_nothing_heavy() -> None:
    code = "import sys, topwire; assert not {'numpy', 'pydantic', 'scipy'} & set(sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_the_documented_example_runs(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder.parent)
    (block,) = re.findall(r"```python\n(.*?)```", DOCS.read_text(encoding="utf-8"), re.DOTALL)
    exec(compile(block, str(DOCS), "exec"), {})
