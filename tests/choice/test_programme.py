"""Each family of constraints alone, on a kitchen small enough to reckon by hand."""

from itertools import product

import numpy as np
import pytest
from choice.conftest import loosened, need

from topwire.choice.at_once import build, solve_whole
from topwire.choice.master import Master
from topwire.choice.model import Model
from topwire.choice.planting import TREE_COST, WORST_WEIGHT, Limits
from topwire.choice.search import find
from topwire.choice.service import CLEAN_LOSS, WASTE_COST, WORST_SHARE, add_years
from topwire.choice.serving import serve, unavoidable
from topwire.choice.solver import solve
from topwire.choice.supply import TABLE_GRADE, Supply, flowering
from topwire.choice.years import Infeasible
from topwire.values.terms import Risk

EVERYONE = ~np.eye(3, dtype=bool)


CAREFUL = WORST_WEIGHT[Risk.CAREFUL]


def test_a_year_is_served_from_its_crop(supply: Supply, limits: Limits) -> None:
    needs = (need("juice", 38, 40, total=1000.0),)
    _, service = serve(supply, needs, limits, np.array([0, 0, 10]))
    # first year: 100 kg picked, trimmed; second year: no crop at all
    assert service.served[0].sum() == pytest.approx(100 * (1 - CLEAN_LOSS))
    assert service.served[1].sum() == 0
    assert service.short.tolist() == pytest.approx([1000 - 97, 1000])
    assert service.waste.tolist() == pytest.approx([3, 0])  # the trimmings


def test_only_table_grade_is_eaten_fresh(supply: Supply, limits: Limits) -> None:
    needs = (need("fresh", 44, 44, weekly=1000.0),)
    _, service = serve(supply, needs, limits, np.array([0, 10, 0]))
    assert service.given[0, 1, 0] == pytest.approx(TABLE_GRADE * 100)
    assert service.waste[0] == pytest.approx(100 - service.served[0].sum())


def test_nothing_is_served_before_it_is_picked_or_after_its_life(supply: Supply, limits: Limits) -> None:
    needs = (need("fresh", 40, 20, weekly=1.0),)
    _, service = serve(supply, needs, limits, np.array([0, 20, 0]))
    weeks = np.flatnonzero(service.served[0, 0]) + 1
    assert 41 not in weeks
    assert 42 in weeks
    assert 10 in weeks  # twenty weeks after the middle of picking, over New Year
    assert 11 not in weeks


def test_the_cellar_holds_no_more_than_it_holds(supply: Supply, limits: Limits) -> None:
    needs = (need("fresh", 1, 8, weekly=100.0),)
    small = loosened(limits, cellar=50.0)
    _, service = serve(supply, needs, small, np.array([0, 30, 0]))
    assert service.given[0, 1, 0] <= 50 + 1e-6
    _, free = serve(supply, needs, limits, np.array([0, 30, 0]))
    assert free.given[0, 1, 0] > 200


def test_the_press_takes_no_more_than_its_weeks(supply: Supply, limits: Limits) -> None:
    needs = (need("juice", 38, 40, total=1000.0),)
    _, service = serve(supply, needs, loosened(limits, press_week=10.0), np.array([0, 0, 10]))
    assert service.given[0, 2, 0] == pytest.approx(30)


def test_objective_is_mean_and_worst_fifth_with_trees_and_waste(supply: Supply, limits: Limits) -> None:
    needs = (need("juice", 38, 40, total=100.0),)
    objective, service = serve(supply, needs, limits, np.array([0, 0, 20]))
    waste = np.array([200.0 - 100.0, 0.0])  # picked and never in the kitchen
    cost = np.array([0.0, 100.0]) + WASTE_COST * waste
    worst = cost.max() if WORST_SHARE * 2 <= 1 else cost.mean()
    expected = (1 - CAREFUL) * cost.mean() + CAREFUL * worst + TREE_COST * 20
    assert objective == pytest.approx(expected)
    assert service.short.tolist() == pytest.approx([0, 100])


def test_a_board_of_two_counts_sameness(supply: Supply, limits: Limits) -> None:
    needs = (need("fresh", 44, 44, weekly=100.0),)
    alone, _ = serve(supply, needs, limits, np.array([0, 20, 0]))
    same, _ = serve(supply, needs, loosened(limits, board=2), np.array([0, 20, 0]))
    assert same > alone + 10


def trees_of(supply: Supply, needs: tuple, limits: Limits, useful: np.ndarray = EVERYONE) -> np.ndarray:
    programme = build(supply, needs, limits, useful)
    found = solve_whole(programme, supply, limits, gap=0.0)
    assert found.values is not None
    return np.round(found.values[programme.planting.trees]).astype(int)


JUICE = (need("juice", 30, 45, total=300.0, weight=3.0),)


def test_none_or_enough(supply: Supply, limits: Limits) -> None:
    few = loosened(limits, fewest_trees=25, most_trees=30, most_cultivars=3)
    for trees in trees_of(supply, JUICE, few, np.ones((3, 3), dtype=bool)):
        assert trees == 0 or 25 <= trees <= 30


def test_must_have_is_there_and_standing_trees_stay(supply: Supply, limits: Limits) -> None:
    everyone = np.ones((3, 3), dtype=bool)
    assert trees_of(supply, JUICE, loosened(limits, must_have=("Yellow Transparent",)), everyone)[0] >= 2
    assert trees_of(supply, JUICE, loosened(limits, standing={"Yellow Transparent": 7}), everyone)[0] >= 7


def test_heritage_share(supply: Supply, limits: Limits) -> None:
    everyone = np.ones((3, 3), dtype=bool)
    old = np.array([row.heritage for row in supply.cultivars])
    assert old.tolist() == [True, False, False]
    trees = trees_of(supply, JUICE, loosened(limits, heritage_share=0.5), everyone)
    assert trees[old].sum() >= 0.5 * trees.sum()


def test_two_donors_for_each(supply: Supply, limits: Limits) -> None:
    useful = np.zeros((3, 3), dtype=bool)
    useful[0, 2] = useful[1, 2] = True  # only the third could be planted, and only with both others
    programme = build(supply, JUICE, limits, useful)
    assert solve_whole(programme, supply, limits, gap=0.0).infeasible
    assert (trees_of(supply, JUICE, limits) > 0).sum() == 3  # each wants the two others


def test_brute_force_agrees(supply: Supply, limits: Limits) -> None:
    needs = (
        need("juice", 38, 40, total=60.0, weight=2.0),
        need("pie", 42, 50, weekly=4.0),
        need("sauce", 28, 30, total=30.0),
    )
    small = loosened(limits, places=14, fewest_trees=2, most_trees=8, fewest_cultivars=1)
    everyone = np.ones((3, 3), dtype=bool)
    best = min(
        serve(supply, needs, small, np.array(trees))[0]
        for trees in product((0, *range(2, 9)), repeat=3)
        if 0 < sum(trees) <= 14
    )
    programme = build(supply, needs, small, everyone)
    assert solve_whole(programme, supply, small, gap=0.0).objective == pytest.approx(best, abs=1e-6)
    found = find(supply, needs, small, everyone)
    assert found.bound <= best + 1e-6
    assert found.objective <= best * 1.01


def test_impossible_conditions_are_found_out(supply: Supply, limits: Limits) -> None:
    with pytest.raises(Infeasible):
        find(supply, JUICE, loosened(limits, places=3, fewest_cultivars=3), EVERYONE)


def test_a_set_without_its_donors_is_not_allowed(supply: Supply, limits: Limits) -> None:
    master = Master(supply, limits, EVERYONE, np.arange(2))
    master.restrict(inside=np.array([0, 1, 2]))
    assert master.solve() is not None
    master.restrict(inside=np.array([0, 1]), outside=np.array([2]))
    assert master.solve() is None


def test_weeks_no_cultivar_reaches_are_told_apart(supply: Supply) -> None:
    needs = (need("fresh", 20, 20, weekly=10.0, weight=3.0), need("fresh", 44, 44, weekly=10.0))
    assert unavoidable(supply, needs).tolist() == [30.0, 30.0]


def test_alternate_bearing_is_carried_and_keeps_its_mean() -> None:
    crop = flowering(np.ones((20, 2)), np.array([0.0, 0.4]))
    assert crop == pytest.approx(np.ones((20, 2)))
    frost = np.ones((6, 1))
    frost[2] = 0.0
    after = (flowering(frost, np.array([0.4])) * frost)[:, 0]
    assert after[2] == 0
    assert after[3] > 1.3  # a year without crop gives a heavy one
    assert after[4] < after[3]


def test_the_same_every_time(supply: Supply, limits: Limits) -> None:
    first, second = (find(supply, JUICE, limits, EVERYONE).trees.tolist() for _ in range(2))
    assert first == second


@pytest.mark.parametrize("trees", [(1, 1, 1), (0, 0, 10), (5, 20, 3)])
@pytest.mark.parametrize("risk", list(Risk))
def test_served_year_by_year_is_served_in_all_years_at_once(
    supply: Supply, limits: Limits, trees: tuple[int, ...], risk: Risk
) -> None:
    limits = loosened(limits, press_week=200.0, risk=risk)
    needs = (*JUICE, need("fresh", 38, 48, weekly=30.0))
    model = Model()
    numbers = np.array(trees, dtype=float)
    columns = model.add_columns(TREE_COST * limits.tree_cost, low=numbers, high=numbers)
    add_years(model, supply, needs, limits, trees=columns)
    assert serve(supply, needs, limits, np.array(trees))[0] == pytest.approx(
        solve(model, gap=0.0, relaxed=True).objective, abs=1e-3
    )
