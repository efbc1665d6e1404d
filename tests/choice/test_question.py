"""Which cultivars are asked about: trees that have to be bought, unions that break."""

import numpy as np
import pytest
from choice.conftest import CATALOGUE

from topwire.catalogue.model import Right
from topwire.catalogue.unions import UnionRow
from topwire.choice.question import BOUGHT_COST, WEAK_COST, Places, _to_be_had, _united, limits_of
from topwire.engine.inputs import read_inputs
from topwire.plan.kitchen import Resistance
from topwire.plan.model import Plan
from topwire.plan.starter import copy_example

UNIONS = CATALOGUE.rows("unions", UnionRow)
ROWS = tuple(CATALOGUE.cultivar[name] for name in ("Honeycrisp", "GoldRush"))
BOUGHT = next(row for row in CATALOGUE.cultivars if row.propagation_right is not Right.FREE)
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


def test_a_union_known_to_break_stays_out_and_says_how_to_have_it(plan: Plan) -> None:
    rows, left_out = _united(plan, ROWS, {}, {}, UNIONS)
    assert [row.name for row in rows] == ["GoldRush"]
    assert left_out["Honeycrisp"].startswith("its union with G.41 is known to break; state another stock")


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
    assert _united(changed(plan, section, **values), ROWS, {}, {}, UNIONS) == (ROWS, {})


def test_trees_that_stand_are_not_judged_by_the_new_stock(plan: Plan) -> None:
    assert _united(plan, ROWS, {}, {"Honeycrisp": 3}, UNIONS) == (ROWS, {})


def test_own_grafts_only(plan: Plan) -> None:
    rows = (BOUGHT, FREE)
    assert _to_be_had(plan, rows, {}, {}) == (rows, {})
    own = changed(plan, "taste", own_grafts_only=True)
    kept, left_out = _to_be_had(own, rows, {}, {})
    assert kept == (FREE,)
    assert "have to be bought" in left_out[BOUGHT.name]
    assert _to_be_had(changed(own, "taste", must_have=[BOUGHT.name]), rows, {}, {})[0] == rows


def test_bought_trees_and_weak_unions_cost_more(plan: Plan) -> None:
    places = Places(100, 3.0, {})
    plain = limits_of(plan, (BOUGHT, FREE), places).tree_cost
    weak = limits_of(plan, (BOUGHT, FREE), places, weak=frozenset({FREE.name})).tree_cost
    any_taste = changed(plan, "taste", disease_resistance=Resistance.ANY)
    assert limits_of(any_taste, (BOUGHT, FREE), places).tree_cost.tolist() == [1 + BOUGHT_COST, 1]
    assert (weak - plain).tolist() == pytest.approx([0, WEAK_COST])
    assert np.all(plain >= 1)
