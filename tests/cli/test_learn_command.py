"""`topwire learn`: shown, used and taken back; a figure used wakes only what reads it."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from engine import small

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.cli import main
from topwire.ledger.labour import LabourRow
from topwire.records.entries import FruitPicked, LotChecked, SeenStage, StageSeen, WorkDone
from topwire.records.store import open_store


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    folder = small.make(tmp_path / "yard")
    with open_store(folder) as store:
        for year in (2023, 2024):
            picked = date(year, 10, 10)
            store.append(
                [
                    FruitPicked(day=picked, cultivar="GoldRush", mass=20.0, lot=f"lot {year}"),
                    LotChecked(day=picked + timedelta(weeks=10), lot=f"lot {year}", sound=0.7),
                    WorkDone(day=date(year, 10, 10), job="picking", hours=0.4, cultivar="GoldRush"),
                    StageSeen(day=date(year, 4, 28), cultivar="GoldRush", stage=SeenStage.FULL_BLOOM),
                ]
            )
    return folder


def weeks(folder: Path) -> float:
    found = Catalogue(read_tables(folder / "catalogue")).cultivar["GoldRush"].storage_weeks
    assert found is not None
    return found


def test_shown_used_and_taken_back(yard: Path) -> None:
    before = weeks(yard)
    shown = run("learn", yard)
    assert shown.exit_code == 0, shown.output
    assert "How long fruit keeps in your cellar" in shown.output
    assert "picking" in shown.output
    assert "Used, it moves the weeks" in shown.output
    assert weeks(yard) == before
    used = run("learn", yard, "--use", "keeping", "--use", "hours")
    assert used.exit_code == 0, used.output
    assert weeks(yard) < before
    (rate,) = [
        row
        for row in Catalogue(read_tables(yard / "catalogue")).rows("labour", LabourRow)
        if row.task == "picking"
    ]
    assert rate.low < rate.middle < 110.0
    assert "The plan follows it: the weeks" in run("learn", yard).output
    assert '"what": "keeping"' in run("learn", yard, "--json").output
    again = weeks(yard)
    run("learn", yard, "--use", "keeping")  # from what was seen, not from what was learnt
    assert weeks(yard) == again
    assert run("learn", yard, "--undo", "keeping", "--undo", "hours").exit_code == 0
    assert weeks(yard) == before


def test_an_own_row_of_the_grower_goes_before_what_was_learnt(yard: Path) -> None:
    (yard / "catalogue").mkdir()
    (yard / "catalogue/cultivars.csv").write_text("name,storage_weeks\nGoldRush,33\n", encoding="utf-8")
    run("learn", yard, "--use", "keeping")
    assert weeks(yard) == 33.0


def test_dates_are_followed_by_the_plans_own_setting(yard: Path) -> None:
    text = (yard / "plan.yaml").read_text(encoding="utf-8")
    assert run("learn", yard, "--use", "dates").exit_code == 0
    assert "own_dates_until: 2024" in (yard / "plan.yaml").read_text(encoding="utf-8")
    run("learn", yard, "--undo", "dates")
    assert "own_dates_until" not in (yard / "plan.yaml").read_text(encoding="utf-8")
    assert text.splitlines()[0] in (yard / "plan.yaml").read_text(encoding="utf-8")


def test_what_was_not_seen_cannot_be_used(yard: Path) -> None:
    result = run("learn", yard, "--use", "yield")
    assert result.exit_code == 2
    assert "nothing of it yet" in result.output


def test_what_is_beyond_belief_is_told(yard: Path) -> None:
    """40 hours over 20 kg are a slip: which note, what it would say, and that it is left out."""
    assert "beyond belief" not in run("learn", yard).output
    with open_store(yard) as store:
        day = date(2025, 10, 12)
        store.append(
            [
                FruitPicked(day=day, cultivar="Wickson", mass=20.0),
                WorkDone(day=day, job="picking", hours=40.0, cultivar="Wickson"),
            ]
        )
    shown = " ".join(run("learn", yard).output.split())
    assert "Left out, as beyond belief" in shown
    assert "Wickson" in shown
    assert "they teach nothing" in shown
    assert '"left_out"' in run("learn", yard, "--json").output
