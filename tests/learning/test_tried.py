"""What a learnt figure would change in the plan, before it is used."""

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from engine.shared import planned_yard

from topwire.choice.held import held
from topwire.choice.question import question
from topwire.engine.inputs import read_inputs
from topwire.engine.learn import learn, use
from topwire.engine.orchard import Orchard
from topwire.engine.recall import remember
from topwire.engine.run import plan_orchard
from topwire.engine.tried import try_figures
from topwire.layout.places import places_of
from topwire.records.entries import FruitPicked, LotChecked, SeenStage, StageSeen, WorkDone
from topwire.records.store import open_store
from topwire.show.tried_sheets import sheets
from topwire.tell.reader import Reader
from topwire.values.fault import Faults


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Orchard]:
    folder = planned_yard(tmp_path_factory)
    orchard = plan_orchard(read_inputs(folder))
    assert orchard.choice is not None
    with open_store(folder) as store:
        for line in orchard.choice.chosen:
            day = date(2033, 9, 20)
            lot = f"lot {line.name}"
            store.append(
                [
                    FruitPicked(day=day, cultivar=line.name, mass=40.0, lot=lot),
                    LotChecked(day=day + timedelta(days=40), cultivar=line.name, lot=lot, sound=0.5),
                    WorkDone(day=day, job="picking", cultivar=line.name, hours=2.0),
                ]
            )
    orchard = plan_orchard(read_inputs(folder))
    remember(folder, orchard)
    return folder, orchard


def test_the_held_choice_serves_what_the_choice_said(planned: tuple[Path, Orchard]) -> None:
    """Asked its own question, the planting gives what the search said it gives."""
    folder, orchard = planned
    inputs = read_inputs(folder)
    assert orchard.choice is not None
    assert orchard.place is not None
    assert orchard.ground is not None
    asked = question(inputs.plan, inputs.catalogue, orchard.place, places_of(orchard.ground))
    again = held(asked, orchard.choice)
    assert again.shortfall == pytest.approx(orchard.choice.shortfall, abs=1e-6)
    assert np.allclose(again.harvest, orchard.choice.harvest)
    assert np.allclose(again.yield_per_tree, orchard.choice.yield_per_tree)


def test_fruit_that_keeps_less_reaches_the_kitchen_less(planned: tuple[Path, Orchard]) -> None:
    folder, _ = planned
    found = try_figures(folder, ["keeping"], learn(folder))
    assert found.woken[0] == "choice"
    plan, tried = found.plan.choice, found.tried.choice
    assert plan is not None
    assert tried is not None
    assert tried.shortfall > plan.shortfall
    assert tried.trees == plan.trees
    assert found.same_harvest is None
    assert not (folder / "learned").exists()
    told = {
        line for sheet in sheets(found, Reader(learn(folder).units)) for row in sheet.rows for line in row[:1]
    }
    assert "of it left over" in told


def test_slower_hands_cost_hours_and_wake_only_what_counts_hours(planned: tuple[Path, Orchard]) -> None:
    folder, _ = planned
    found = try_figures(folder, ["hours"], learn(folder))
    assert found.woken == ("press", "ledger")
    assert found.plan.ledger is not None
    assert found.tried.ledger is not None
    assert found.tried.ledger.outdoor_hours > found.plan.ledger.outdoor_hours


def test_what_is_tried_is_what_the_plan_says_once_it_is_used(planned: tuple[Path, Orchard]) -> None:
    folder, _ = planned
    tried = try_figures(folder, ["hours"], learn(folder)).tried.ledger
    use(folder, ["hours"], learn(folder))
    try:
        used = plan_orchard(read_inputs(folder)).ledger
        assert used is not None
        assert tried is not None
        assert used.outdoor_hours == pytest.approx(tried.outdoor_hours)
        assert used.npv == pytest.approx(tried.npv)
        with pytest.raises(Faults, match="already"):
            try_figures(folder, ["hours"], learn(folder))
    finally:
        (folder / "learned" / "labour.csv").unlink()


def test_dates_that_moved_are_told_by_cultivar(planned: tuple[Path, Orchard]) -> None:
    folder, orchard = planned
    assert orchard.choice is not None
    assert orchard.place is not None
    name = orchard.choice.chosen[0].name
    year = int(orchard.place.years[-1])
    middle = float(np.nanmedian(orchard.place.full_bloom[:, orchard.place.cultivars.index(name)]))
    seen = date(year, 1, 1) + timedelta(days=round(middle) + 9)
    with open_store(folder) as store:
        store.append([StageSeen(day=seen, cultivar=name, stage=SeenStage.FULL_BLOOM)])
    found = try_figures(folder, ["dates"], learn(folder))
    assert "place" in found.woken
    moved = {line.cultivar: line for line in found.moved}
    assert moved[name].bloom[1] > moved[name].bloom[0] + 1.0


def test_a_plan_that_was_changed_since_has_to_be_made_first(planned: tuple[Path, Orchard]) -> None:
    folder, _ = planned
    text = (folder / "plan.yaml").read_text(encoding="utf-8")
    (folder / "plan.yaml").write_text(f"{text}# a word more\n", encoding="utf-8")
    try:
        with pytest.raises(Faults, match="changed"):
            try_figures(folder, ["hours"], learn(folder))
    finally:
        (folder / "plan.yaml").write_text(text, encoding="utf-8")
