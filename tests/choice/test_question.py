"""Which cultivars are asked about: trees that have to be bought, unions that break."""

from dataclasses import fields, replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from choice.conftest import CATALOGUE, candidate_of

from topwire.catalogue.model import Cultivar
from topwire.catalogue.unions import UnionRow
from topwire.choice.asked import Barred, ChoiceQuestion, Places
from topwire.choice.disease_question import ratings_of
from topwire.choice.question import BOUGHT_COST, WEAK_COST, limits_of, question, why_barred
from topwire.engine.inputs import read_inputs
from topwire.engine.run import plan_orchard
from topwire.layout.places import places_of
from topwire.plan.model import Plan
from topwire.plan.starter import copy_example
from topwire.values.terms import Resistance
from topwire.values.traits import Right, UnionRisk

UNIONS = CATALOGUE.rows("unions", UnionRow)
RATINGS = ratings_of(CATALOGUE)
ROWS = tuple(CATALOGUE.cultivar[name] for name in ("Honeycrisp", "GoldRush"))
UNSURE = next(row for row in CATALOGUE.cultivars if row.propagation_right is Right.UNKNOWN)
BOUGHT = replace(UNSURE, propagation_right=Right.LICENSED)
FREE = next(row for row in CATALOGUE.cultivars if row.propagation_right is Right.FREE)


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    folder = tmp_path_factory.mktemp("plan") / "inn"
    copy_example("valley-inn", folder)
    found = read_inputs(folder).plan
    trees = found.trees.model_copy(update={"rootstock": "G.41", "rootstock_for": {}})
    taste = found.taste.model_copy(update={"must_have": [], "own_grafts_only": False})
    return found.model_copy(update={"trees": trees, "taste": taste})


def changed(plan: Plan, section: str, **values: object) -> Plan:
    return plan.model_copy(update={section: getattr(plan, section).model_copy(update=values)})


def why(plan: Plan, row: Cultivar, standing: dict[str, int] | None = None) -> Barred | None:
    """At a place where everything ripens and nothing is unfit."""
    seasons = SimpleNamespace(unfit={}, harvest_first=np.full((4, 1), 250.0))
    return why_barred(plan, row, seasons, 0, standing or {}, UNIONS, RATINGS[row.name])  # type: ignore[arg-type]


def test_a_union_known_to_break_stays_out(plan: Plan) -> None:
    assert [why(plan, row) for row in ROWS] == [Barred.UNION_BREAKS, None]


def test_a_crab_is_a_pollen_donor_unless_the_plan_names_it(plan: Plan) -> None:
    crab = CATALOGUE.cultivar["Wickson"]
    assert why(plan, crab) is Barred.CRAB
    assert why(changed(plan, "taste", must_have=["Wickson"]), crab) is None


@pytest.mark.parametrize(
    ("section", "values"),
    [
        ("trees", {"rootstock_for": {"Honeycrisp": "G.214"}}),
        ("trees", {"rootstock": "G.214"}),
        ("taste", {"must_have": ["Honeycrisp"]}),
    ],
)
def test_another_stock_or_the_growers_will_lets_it_in(
    plan: Plan, section: str, values: dict[str, object]
) -> None:
    assert [why(changed(plan, section, **values), row) for row in ROWS] == [None, None]


def test_trees_that_stand_are_not_judged_by_the_new_stock(plan: Plan) -> None:
    assert why(plan, ROWS[0], {"Honeycrisp": 3}) is None


def test_what_may_be_neither_grafted_nor_surely_bought_comes_only_by_name(plan: Plan) -> None:
    assert why(plan, UNSURE) is Barred.RIGHT_UNKNOWN
    assert why(changed(plan, "taste", must_have=[UNSURE.name]), UNSURE) is None
    assert why(plan, UNSURE, {UNSURE.name: 3}) is None


def test_own_grafts_only(plan: Plan) -> None:
    assert why(plan, BOUGHT) is None
    own = changed(plan, "taste", own_grafts_only=True)
    assert why(own, BOUGHT) is Barred.BOUGHT
    assert why(own, FREE) is None
    assert why(changed(own, "taste", must_have=[BOUGHT.name]), BOUGHT) is None


def test_strong_resistance_bars_the_susceptible_unless_they_are_wanted(plan: Plan) -> None:
    gala = CATALOGUE.cultivar["Gala"]
    strong = changed(plan, "taste", disease_resistance=Resistance.STRONG)
    assert why(plan, gala) is None
    assert why(strong, gala) in (Barred.SCAB, Barred.FIRE_BLIGHT, Barred.SCAB_AND_FIRE_BLIGHT)
    assert why(changed(strong, "taste", must_have=["Gala"]), gala) is None


def test_bought_trees_and_weak_unions_cost_more(plan: Plan) -> None:
    places = Places(100, 3.0, {})
    rows = (candidate_of(BOUGHT), candidate_of(FREE))
    any_taste = changed(plan, "taste", disease_resistance=Resistance.ANY)
    weak = UnionRow(**{field.name: None for field in fields(UnionRow)} | {
        "rootstock": "G.41", "cultivar": FREE.name, "risk": UnionRisk.WEAK})  # fmt: skip
    assert limits_of(any_taste, rows, places, (), {}).tree_cost.tolist() == [1 + BOUGHT_COST, 1]
    assert limits_of(any_taste, rows, places, [weak], {}).tree_cost.tolist() == [
        1 + BOUGHT_COST,
        1 + WEAK_COST,
    ]


def test_favourites_and_dislikes_are_soft_wishes(plan: Plan) -> None:
    places, rows = Places(100, 3.0, {}), (candidate_of(FREE), candidate_of(FREE))
    wished = changed(plan, "taste", favourites=[FREE.name])
    shunned = changed(plan, "taste", dislikes=[FREE.name])
    usual = limits_of(plan, rows, places, (), {}).tree_cost
    assert (limits_of(wished, rows, places, (), {}).tree_cost == usual - 0.5).all()
    assert (limits_of(shunned, rows, places, (), {}).tree_cost == usual + 1.0).all()


def test_an_own_mature_yield_changes_the_crop_in_the_same_proportion(tmp_path: Path) -> None:
    """The figure that is told is the figure that is reckoned with."""
    folder = tmp_path / "fence"
    copy_example("garden-fence", folder)
    before = posed(folder)
    (folder / "catalogue").mkdir(exist_ok=True)
    (folder / "catalogue" / "crop_load.csv").write_text(
        "item,low,load,high,source,mark,remark\nmature yield,10,15,20,,proposal,\n"
    )
    after = posed(folder)
    assert after.mature_yield == pytest.approx(before.mature_yield / 2)
    assert after.supply.crop == pytest.approx(before.supply.crop / 2)


def posed(folder: Path) -> ChoiceQuestion:
    inputs = read_inputs(folder)
    orchard = plan_orchard(inputs, until="ground")
    assert orchard.place is not None
    assert orchard.ground is not None
    return question(inputs.plan, inputs.catalogue, orchard.place, places_of(orchard.ground))


@pytest.mark.parametrize(
    ("habit", "name", "barred"),
    [
        ("tip bearers", "Cortland", Barred.TIP_BEARER),
        ("triploids", "Jonagold", Barred.TRIPLOID),
        ("weak growers", "Honeycrisp", Barred.WEAK_GROWER),
    ],
)
def test_a_way_of_growing_may_be_left_out(plan: Plan, habit: str, name: str, barred: Barred) -> None:
    """Cortland bears partly at its tips, Jonagold is triploid, Honeycrisp is weak: the catalogue's own rows."""
    row = CATALOGUE.cultivar[name]
    taste = type(plan.taste).model_validate(
        plan.taste.model_dump() | {"leave_out": [habit], "disease_resistance": "any"}
    )
    without = plan.model_copy(update={"taste": taste})
    assert why(without, row) is barred
    assert why(changed(without, "taste", must_have=[name]), row) is not barred
    assert why(changed(without, "taste", leave_out=[]), row) is not barred
    unknown = replace(row, tip_bearing=None, ploidy=None, vigour=None)
    assert why(without, unknown) is not barred
