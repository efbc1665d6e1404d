"""The least that must give where nothing fits, reckoned by hand on three cultivars."""

import numpy as np
import pytest
from choice.conftest import loosened, need

from topwire.choice.must_give import what_must_give
from topwire.choice.planting import Limits
from topwire.choice.search import find
from topwire.choice.supply import Supply
from topwire.choice.years import Infeasible
from topwire.tell.choice import ways_out
from topwire.tell.reader import Reader
from topwire.tell.words import Facts
from topwire.values.units import UnitSystem

EVERYONE = np.ones((3, 3), dtype=bool)  # three donors wanted: all three cultivars have to be there
OUTER = np.zeros((3, 3), dtype=bool)
OUTER[[0, 2]] = True  # the first and the third pollinate all


def told(supply: Supply, limits: Limits, useful: np.ndarray = EVERYONE) -> list[str]:
    (notice,) = what_must_give(supply, limits, useful)
    assert notice.code == "choice.no_set"
    return ways_out(Facts(notice, Reader(UnitSystem.METRIC)))


def test_each_condition_gives_as_little_as_it_must(supply: Supply, limits: Limits) -> None:
    # three cultivars of ten trees on 25 places: two of them, or 8 trees of each, or five more places
    tight = loosened(limits, places=25, fewest_trees=10, fewest_cultivars=3)
    assert told(supply, tight, OUTER) == [
        "lower fewest_cultivars from 3 to 2",
        "allow plantings of 8 trees instead of 10 (fewest_trees)",
        "make room for 5 more trees",
    ]


def test_the_heritage_share_that_is_possible(supply: Supply, limits: Limits) -> None:
    # one old cultivar of at most 60 trees beside two others of at least 20: 60 of 100 at the best
    tight = loosened(limits, fewest_trees=20, fewest_cultivars=3, heritage_share=0.9)
    assert told(supply, tight) == [
        "lower heritage_share from 0.9 to 0.6",
        "allow plantings of 3 trees instead of 20 (fewest_trees)",  # 60 of 66 is 0.909
    ]


def test_the_fewest_of_must_have_are_dropped(supply: Supply, limits: Limits) -> None:
    must = tuple(row.name for row in supply.cultivars)
    tight = loosened(limits, must_have=must, most_cultivars=2)
    assert told(supply, tight, OUTER) == [
        "raise most_cultivars from 2 to 3",
        f"drop {must[1]} from must_have",
    ]


def test_a_cultivar_without_donors_is_named(supply: Supply, limits: Limits) -> None:
    useful = OUTER.copy()
    useful[:, 1] = False  # nothing pollinates the second
    tight = loosened(limits, must_have=(supply.cultivars[1].name,))
    assert told(supply, tight, useful) == [
        f"drop {supply.cultivars[1].name} from must_have",
        f"find pollen for {supply.cultivars[1].name} outside the orchard (place.neighbours), as its donors have no "
        "place in this plan",
    ]


def test_two_conditions_together_where_one_is_not_enough(supply: Supply, limits: Limits) -> None:
    # eight cultivars are not to be had of three; two of ten trees need twenty places, and there are five
    tight = loosened(limits, places=5, fewest_trees=10, fewest_cultivars=8, most_cultivars=8)
    ways = told(supply, tight)
    assert (
        "lower fewest_cultivars from 8 to 3 and allow plantings of 1 tree instead of 10 (fewest_trees)"
        in ways
    )
    assert "lower fewest_cultivars from 8 to 3 and make room for 25 more trees" in ways


@pytest.mark.parametrize(("field", "enough", "short"), [("fewest_trees", 8, 9), ("places", 30, 29)])
def test_what_is_told_is_enough_and_no_less_is(
    supply: Supply, limits: Limits, field: str, enough: int, short: int
) -> None:
    tight = loosened(limits, places=25, fewest_trees=10, fewest_cultivars=3)
    needs = (need("juice", 30, 45, total=300.0, weight=3.0),)
    assert find(supply, needs, loosened(tight, **{field: enough}), EVERYONE).trees.min() >= 1
    with pytest.raises(Infeasible):
        find(supply, needs, loosened(tight, **{field: short}), EVERYONE)
