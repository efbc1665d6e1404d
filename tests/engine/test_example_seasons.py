"""The example with five invented seasons: its script makes what is shipped, and every page of the season shows life."""

import runpy
from collections import defaultdict
from datetime import date
from pathlib import Path

import pytest
from layout import worlds

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
from topwire.values.address import TreeAddress
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


def test_its_rows_and_trees_are_places_of_its_own_ground(folder: Path) -> None:
    """Every tree and row that the records name, and every place of the list they are drawn from, is one of the ground.

    Held: rows and places are those the survey of the shipped plan finds, the same on every processor; no place of the
    list is named twice; a cultivar noted at a tree or in a row stands there by the list. Not held: that a layout
    planned today has the same cultivar there, which is a search and may end otherwise. A note at a place that no row
    has is refused by `topwire note` once there is a plan (tests/engine/test_noted.py); a file brought in is not held
    against one.
    """
    inputs = read_inputs(folder)
    ground = worlds.survey(inputs.plan, inputs.catalogue, inputs.outlines, inputs.standing)
    there = {ground.address(at) for at in range(ground.capacity)}
    listed: dict[TreeAddress, str] = {}
    for run in runpy.run_path(str(EXAMPLES / "invented/drawn.py"))["rows"]():
        for place in range(run["first"], run["last"] + 1):
            address = TreeAddress(run["block"], run["row"], place)
            assert address not in listed, run
            listed[address] = run["cultivar"]
    assert listed.keys() <= there
    of_row: dict[tuple[str, int], set[str]] = defaultdict(set)
    for tree in there:
        of_row[tree.block, tree.row].add(listed.get(tree, ""))
    with open_store(folder) as store:
        named = [entry for entry in store.entries() if entry.row is not None]
    assert len(named) > 500
    for entry in named:
        assert (entry.block, entry.row) in of_row, entry.where
        assert entry.address is None or entry.address in there, entry.where
        own = {listed.get(entry.address)} if entry.address else of_row[entry.block, entry.row or 0]
        assert not entry.cultivar or entry.cultivar in own, entry.where


def test_it_is_small_and_its_plan_reads_it(folder: Path) -> None:
    assert sum(path.stat().st_size for path in (EXAMPLES / NAME).rglob("*") if path.is_file()) < 700_000
    inputs = read_inputs(folder)
    assert set(SEASONS) == {NAME}
    assert len(inputs.records.rows("bloom", OwnDate)) > 100
    with open_store(folder) as store:
        named = {entry.cultivar for entry in store.entries() if entry.cultivar}
    assert named <= set(inputs.plan.taste.must_have)
