"""Standing trees free to be grafted over or taken out, on a kitchen small enough to reckon by hand."""

import numpy as np
import pytest
from choice.conftest import loosened, need

from topwire.choice.findings import StandingAdvice
from topwire.choice.planting import Donors, Limits
from topwire.choice.standing import WORK, YEARS_LOST, standing_advice
from topwire.choice.supply import TABLE_GRADE, Supply
from topwire.tell.choice import advice as in_words

NOBODY = np.zeros((3, 3), dtype=bool)  # pollen is not asked for
TABLE = need("fresh", 44, 8, weekly=60.0, weight=3.0)  # GoldRush alone lasts so long


def advice(
    supply: Supply, limits: Limits, trees: list[int], *, horizon: int = 20, useful: Donors = NOBODY
) -> StandingAdvice:
    (found,) = standing_advice(supply, (TABLE,), limits, useful, np.array(trees), horizon=horizon)
    return found


def test_trees_of_no_use_are_grafted_over_net_of_the_crops_lost(supply: Supply, limits: Limits) -> None:
    # the ground is full; a GoldRush brings 7.5 kg of table fruit at a weight of 3, less what is lost in 20 years
    full = loosened(limits, standing={"Yellow Transparent": 6}, places=26, most_trees=40)
    found = advice(supply, full, [6, 20, 0])
    assert found.graft_over == (("GoldRush", 6),)
    assert found.keep == 0
    assert found.saves == pytest.approx(
        6 * (3.0 * TABLE_GRADE * 10 * (1 - YEARS_LOST / 20) - WORK), rel=0.1
    )  # less what is lost in store


def test_a_short_horizon_is_no_time_to_graft_over(supply: Supply, limits: Limits) -> None:
    full = loosened(limits, standing={"Yellow Transparent": 6}, places=26, most_trees=40)
    assert not advice(supply, full, [6, 20, 0], horizon=2).graft_over


def test_trees_that_bring_less_than_their_care_are_taken_out(supply: Supply, limits: Limits) -> None:
    served = loosened(limits, standing={"Yellow Transparent": 6}, places=200, most_trees=150)
    found = advice(supply, served, [6, 150, 0])
    assert (found.keep, found.take_out) == (0, 6)
    assert found.saves == pytest.approx(
        6 * (1 - WORK), abs=1.5
    )  # place and care less grubbing; and less rots


def test_what_must_be_there_stays(supply: Supply, limits: Limits) -> None:
    full = loosened(
        limits,
        standing={"Yellow Transparent": 6},
        must_have=("Yellow Transparent",),
        places=26,
        most_trees=40,
    )
    found = advice(supply, full, [6, 20, 0])
    assert found.keep == 2  # the fewest trees of a cultivar


def test_trees_that_serve_are_kept_and_added_to(supply: Supply, limits: Limits) -> None:
    found = advice(supply, loosened(limits, standing={"GoldRush": 4}, places=20), [0, 20, 0])
    assert in_words(found) == "keep and add 16"
    assert (found.keep, found.graft_over, found.take_out, found.add) == (4, (), 0, 16)
    assert found.saves == 0


def test_no_standing_trees_no_advice(supply: Supply, limits: Limits) -> None:
    assert standing_advice(supply, (TABLE,), limits, NOBODY, np.array([0, 20, 0]), horizon=20) == ()


def test_the_only_donor_of_another_cultivar_is_not_lost(supply: Supply, limits: Limits) -> None:
    full = loosened(limits, standing={"Yellow Transparent": 6}, places=26, most_trees=40)
    found = advice(supply, full, [6, 20, 0], useful=~np.eye(3, dtype=bool))
    assert found.keep == 2
    assert found.graft_over == (("GoldRush", 4),)
