"""The example with five invented seasons: its script makes what is shipped, and every page of the season shows life."""

import runpy
from datetime import date
from pathlib import Path

import pytest

from topwire.engine.example import new_example
from topwire.engine.inputs import read_inputs
from topwire.plan.starter import SEASONS
from topwire.records.entries import (
    CellarMoved,
    EntryKind,
    FruitPicked,
    FruitPressed,
    LotChecked,
    StageSeen,
    TreeChanged,
)
from topwire.records.store import Standing, open_store
from topwire.values.own_date import OwnDate

EXAMPLES = Path(__file__).parents[2] / "examples"
NAME = "valley-inn-seasons"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("seasons") / "inn"
    assert {path.name for path in new_example(NAME, folder)} == {"plan.yaml", "records.db"}
    return folder


def test_the_script_makes_what_is_shipped(tmp_path: Path) -> None:
    """To the letter: a bloom that lies on the edge of a day could differ on another kind of processor."""
    runpy.run_path(str(EXAMPLES / "invented"))["write"](tmp_path)
    shipped = EXAMPLES / NAME / "entries"
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(path.name for path in shipped.iterdir())
    for path in shipped.iterdir():
        ours = (tmp_path / path.name).read_text(encoding="utf-8").splitlines()
        theirs = path.read_text(encoding="utf-8").splitlines()
        assert ours == theirs, path.name


def test_all_kinds_are_there_in_every_season(folder: Path) -> None:
    with open_store(folder) as store:
        lines = store.history()
        picks = {entry.day.year for entry in store.entries(FruitPicked)}
        blooms = {entry.day.year for entry in store.entries(StageSeen)}
        dead = store.entries(TreeChanged, since=date(2015, 1, 1))
    assert {line.entry.KIND for line in lines} == set(EntryKind)
    assert picks == {2016, 2017, 2018, 2019}
    assert blooms >= picks
    assert {line.standing for line in lines} == set(Standing)
    assert len(dead) > 20


def test_nothing_goes_out_of_a_lot_before_its_pick(folder: Path) -> None:
    """Fruit pressed before it was picked would lie in the cellar all winter."""
    with open_store(folder) as store:
        entries = store.entries()
    picked = {entry.lot: entry.day for entry in entries if isinstance(entry, FruitPicked)}
    drawn = [one for one in entries if isinstance(one, FruitPressed | CellarMoved | LotChecked) and one.lot]
    assert {type(entry) for entry in drawn} == {FruitPressed, CellarMoved, LotChecked}
    assert [entry for entry in drawn if entry.day < picked[entry.lot]] == []


def test_it_is_small_and_its_plan_reads_it(folder: Path) -> None:
    assert sum(path.stat().st_size for path in (EXAMPLES / NAME).rglob("*") if path.is_file()) < 700_000
    inputs = read_inputs(folder)
    assert set(SEASONS) == {NAME}
    assert len(inputs.records.rows("bloom", OwnDate)) > 100
    with open_store(folder) as store:
        named = {entry.cultivar for entry in store.entries() if entry.cultivar}
    assert named <= set(inputs.plan.taste.must_have)
