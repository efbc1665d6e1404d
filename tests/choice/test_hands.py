"""What may be picked in a week: by hand, against every planting, and the refusal's least."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import need
from choice.test_brute_force import NEEDS, kitchen, plantings

from topwire.choice.hands import Picking, picked_by_week, picking_ease
from topwire.choice.master import cost_of
from topwire.choice.must_give import what_must_give
from topwire.choice.peak import picking_weeks
from topwire.choice.planting import Limits
from topwire.choice.reasons import Nearby, worth_of_more
from topwire.choice.scarce import More
from topwire.choice.search import find
from topwire.choice.supply import Supply
from topwire.choice.years import Infeasible, Years


def test_picked_in_equal_parts_over_the_picking_weeks(supply: Supply) -> None:
    picked = picked_by_week(supply)
    assert picked.sum(axis=2) == pytest.approx(supply.crop)
    assert picked[0, 1, 41:43] == pytest.approx([5.0, 5.0])  # the keeper: 10 kg in weeks 42 and 43
    assert picked[1, 0, 27] == 5.0  # the early one: 5 kg in week 28 of the second year


def _peak(supply: Supply, trees: np.ndarray, ease: np.ndarray) -> float:
    return float((trees / ease @ picked_by_week(supply).mean(axis=0)).max())


@pytest.mark.parametrize("seed", [3, 7])
@pytest.mark.parametrize("small", [False, True])
def test_the_plan_within_the_hands_is_the_best_of_all_within_them(seed: int, small: bool) -> None:
    supply, limits, useful = kitchen(seed)
    rates = picking_ease(np.full(8, 0.06 if small else 0.18))
    free = find(supply, NEEDS, limits, useful)
    most = 0.8 * _peak(supply, free.trees.astype(float), rates)
    named = {row.name: float(rate) for row, rate in zip(supply.cultivars, rates, strict=True)}
    held = replace(limits, picking=Picking(most, named if small else {}))
    years = Years(supply, NEEDS, limits)
    allowed = [
        cost_of(years.short(numbers, np.arange(3))[0], limits, numbers)
        for numbers in (np.array(trees, dtype=float) for trees in plantings(supply, limits, useful, (4,)))
        if _peak(supply, numbers, rates) <= most + 1e-9
    ]
    if not allowed:
        with pytest.raises(Infeasible):
            find(supply, NEEDS, held, useful)
        (notice,) = what_must_give(supply, held, useful)
        assert notice.code == "choice.hands_too_few"
        return
    found = find(supply, NEEDS, held, useful)
    assert found.objective == pytest.approx(min(allowed), abs=1e-5)
    assert _peak(supply, found.trees.astype(float), rates) <= most + 1e-6


def test_the_refusal_tells_the_least_that_would_do(supply: Supply, limits: Limits) -> None:
    """Ten trees at least of the keeper, 5 kg each in a week; of the others none have to be."""
    must = ("GoldRush",)
    held = replace(limits, must_have=must, fewest_trees=10, picking=Picking(20.0))
    (notice,) = what_must_give(supply, held, np.ones((3, 3), dtype=bool) & ~np.eye(3, dtype=bool))
    assert notice.code == "choice.hands_too_few"
    # Two donors stand beside it: ten early trees bear 7.5 kg each in the mean, ten pressers 5 kg, each in its own week.
    assert notice.facts["least"].value == pytest.approx(75.0, rel=1e-3)  # type: ignore[union-attr]


def test_the_weeks_their_share_and_the_price_of_a_flatter_harvest(supply: Supply, limits: Limits) -> None:
    sauce = need("sauce", 28, 45, total=900.0)
    useful = np.ones((3, 3), dtype=bool)
    one = replace(limits, places=60, picking=Picking(150.0), most_trees=30)
    found = find(supply, (sauce,), one, useful)
    near = Nearby(supply, (sauce,), one, useful, np.arange(3), found.cuts, found.trees)
    weeks, worth = picking_weeks(near, supply, found.trees)
    assert weeks.mean.max() <= 150.0 + 1e-6
    assert weeks.mean.sum() == pytest.approx(float((supply.crop @ found.trees).mean()))
    assert weeks.heaviest(52)[1] == pytest.approx(1.0)
    assert weeks.flatter is not None
    assert weeks.flatter > 0
    assert worth is not None
    assert worth.gain > 0
    more = {line.more: line for line in worth_of_more(near, found.trees, cellar_per_area=None)}
    assert (More.MOST in more) == bool((found.trees >= 30).any())
