"""Every cited key exists; every command and plan field is documented; no file names a folder of one machine."""

import csv
import re
from pathlib import Path

import click
import pytest

from topwire.catalogue.model import Cultivar, Rootstock, parse_evidence
from topwire.catalogue.tables import read_tables
from topwire.cli import main
from topwire.plan.manual import manual
from topwire.sources import bibliography

ROOT = Path(__file__).parents[2]
TABLES = sorted((ROOT / "src/topwire/catalogue/data").glob("*.csv"))


def test_evidence_of_cultivars_and_rootstocks_is_in_the_bibliography() -> None:
    tables = read_tables()
    for name, row_type in (("cultivars", Cultivar), ("rootstocks", Rootstock)):
        for row in tables[name].rows.values():
            for field, evidence in parse_evidence(row.cells["evidence"]).items():
                assert field in row_type.__dataclass_fields__, f"{row.where}: no field {field}"
                assert set(evidence.sources) <= set(bibliography()), f"{row.where}: {evidence.sources}"


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.name)
def test_source_columns_cite_known_keys(path: Path) -> None:
    with path.open(encoding="utf-8", newline="") as stream:
        for line, row in enumerate(csv.DictReader(stream), start=2):
            for column, cell in row.items():
                if column in ("source", "sources"):
                    for key in re.split(r"[|;+]", cell or ""):
                        key = key.strip().partition(",")[0]
                        known = (
                            not key
                            or key in bibliography()
                            or key in ("proposal", "common practice", "maker")
                        )
                        assert known, f"{path.name}, line {line}: no source {key}"


def test_every_plan_field_says_what_it_is() -> None:
    for line in manual().splitlines():
        if line.startswith("| `"):
            name, says, written, _ = (cell.strip() for cell in line.strip("|").split("|"))
            assert says, f"{name} has no description"
            assert written, f"{name}: how is it written?"


def test_the_plan_manual_is_true() -> None:
    assert (ROOT / "docs/plan.md").read_text(encoding="utf-8") == manual(), (
        "run python -m topwire.plan.manual"
    )


def test_every_command_stands_in_the_manual() -> None:
    text = (ROOT / "docs/commands.md").read_text(encoding="utf-8")
    for name, command in main.commands.items():
        assert f"topwire {name}" in text
        for option in command.params:
            if isinstance(option, click.Option):
                assert option.opts[0] in text, f"topwire {name} {option.opts[0]}"


def test_no_file_names_a_machines_folder() -> None:
    banned = re.compile(r"(?<![\w.:/])/(?:home|root|Users|mnt|srv|opt)/")
    for folder in ("src", "docs", "examples", "benchmarks"):
        for path in (ROOT / folder).rglob("*"):
            if path.suffix in (".py", ".md", ".csv", ".yaml", ".typ", ".toml") and path.is_file():
                found = banned.search(path.read_text(encoding="utf-8"))
                assert found is None, f"{path.relative_to(ROOT)}: {found}"
