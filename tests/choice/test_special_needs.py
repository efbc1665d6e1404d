"""What only some kitchens ask for: blends, guests who pick, pans."""

import numpy as np
import pytest
from choice.conftest import loosened, need

from topwire.choice.planting import Limits
from topwire.choice.serving import serve
from topwire.choice.supply import Supply
from topwire.plan.kitchen import BlendBounds, Need

GUESTS = {"picked_by_guests": True}


def test_guests_pick_from_the_tree_only(supply: Supply, limits: Limits) -> None:
    _, service = serve(
        supply, (need("fresh", 40, 52, weekly=10.0, more=GUESTS),), limits, np.array([0, 20, 0])
    )
    assert (np.flatnonzero(service.served[0, 0]) + 1).tolist() == [42, 43]


def test_the_kitchen_makes_no_more_of_a_product_than_it_can(supply: Supply, limits: Limits) -> None:
    sauce = need("sauce", 28, 29, total=1000.0, more={"weekly_capacity": "15 kg"})
    _, service = serve(supply, (sauce,), limits, np.array([10, 0, 0]))
    assert service.given[0, 0, 0] == pytest.approx(30)


def test_fruit_that_does_not_last_has_only_its_own_weeks_at_the_press(supply: Supply, limits: Limits) -> None:
    # Brown's Apple lasts eight weeks from week 38: of week 30 to 50 it can be pressed in nine
    _, service = serve(
        supply, (need("juice", 30, 50, total=1000.0),), loosened(limits, press_week=5.0), np.array([0, 0, 20])
    )
    assert service.given[0, 2, 0] == pytest.approx(45)


def test_a_blend_keeps_its_bounds(supply: Supply, limits: Limits) -> None:
    acid = np.array([row.juice.acid.value for row in supply.cultivars])
    sharp, mild = (2, 1) if acid[2] > acid[1] else (1, 2)
    bound = float((acid[sharp] + acid[mild]) / 2)  # no more of the sharper than of the milder
    mixed = need("juice", 43, 44, total=1000.0, more={"blend": {"acid_high": bound}})
    trees = np.zeros(3)
    trees[sharp], trees[mild] = 20, 5
    _, service = serve(supply, (mixed,), limits, trees.astype(int))
    # all of the milder, and as much of the sharper as makes the mean acid the bound
    assert service.given[0, mild, 0] == pytest.approx(50)
    assert service.given[0, sharp, 0] == pytest.approx(50, rel=0.1)  # the two have kept a little differently
    _, free = serve(supply, (need("juice", 43, 44, total=1000.0),), limits, trees.astype(int))
    assert free.given[0, sharp, 0] == pytest.approx(200)


@pytest.mark.parametrize(
    "more",
    [
        {"use": "pie", "amount": "9 kg/season", "blend": {"acid_low": 4.5}},
        {"use": "pie", "amount": "9 kg/season", "picked_by_guests": True},
        {"use": "cider", "amount": "9 kg/season", "blend": "sweet cider"},
        {"use": "fresh", "amount": "9 kg/season", "pan": "holds"},
    ],
)
def test_needs_that_make_no_sense_are_refused(more: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"goes with"):
        Need.model_validate({**more, "from": "1 Sep", "to": "1 Nov"})


def test_blend_bounds_are_in_order() -> None:
    with pytest.raises(ValueError, match="below"):
        BlendBounds.model_validate({"acid_low": 7.0, "acid_high": 5.0})
