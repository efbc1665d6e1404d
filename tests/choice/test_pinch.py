"""What limits a need, on kitchens reckoned by hand: and what is told to help does help."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import BY_LEAF, loosened, need
from choice.test_brute_force import NEEDS, kitchen

from topwire.choice.asked import ChoiceQuestion, PlantingTime
from topwire.choice.needs import WeeklyNeed
from topwire.choice.pinch import pinches
from topwire.choice.planting import Limits
from topwire.choice.scarce import Pinch, Pinched
from topwire.choice.serving import serve, solve_serving
from topwire.choice.supply import Supply
from topwire.tell.scarce import LIMITS, REMEDIES, limited_by, remedies


def asked(supply: Supply, limits: Limits, *needs: WeeklyNeed, to_plant: int | None = None) -> ChoiceQuestion:
    useful = np.ones((len(supply.cultivars),) * 2, dtype=bool)
    return ChoiceQuestion(
        supply, needs, limits, useful, {}, {}, 200, PlantingTime(2027, 1, None, 20), BY_LEAF, 3.0, (1.5, 4.5), 2.0,
        None, to_plant=to_plant,
    )  # fmt: skip


def limited(question: ChoiceQuestion, trees: list[int]) -> list[Pinched]:
    numbers = np.array(trees)
    served = solve_serving(question.supply, question.needs, question.limits, numbers)
    return list(pinches(question, numbers, served))


SAUCE = need("sauce", 28, 50, total=900.0)


@pytest.mark.parametrize(
    ("changes", "to_plant", "why"),
    [
        ({"places": 6}, None, Pinch.ROOM),
        ({"places": 6}, 6, Pinch.TOTAL),
        ({"places": 60, "most_trees": 2}, None, Pinch.MOST),
        ({"places": 60, "tree_cost": np.full(3, 100.0)}, None, Pinch.WORTH),
    ],
)
def test_six_trees_and_too_little_sauce(
    supply: Supply, limits: Limits, changes: dict[str, object], to_plant: int | None, why: Pinch
) -> None:
    question = asked(supply, loosened(limits, **changes), SAUCE, to_plant=to_plant)
    (line,) = limited(question, [2, 2, 2])
    assert line.by == ((why, pytest.approx(1.0)),)
    assert line.short_years == 2
    assert line.missing == pytest.approx(
        900.0 - serve(supply, [SAUCE], limits, np.array([2, 2, 2]))[1].served.sum() / 2
    )


def test_a_full_cellar_a_slow_press_and_a_small_pan(supply: Supply, limits: Limits) -> None:
    winter = need("fresh", 50, 52, weekly=100.0)
    (line,) = limited(asked(supply, replace(limits, cellar=150.0), winter), [0, 60, 0])
    assert line.by[0][0] is Pinch.CELLAR
    juice = need("juice", 38, 40, total=900.0)
    of_a_good_year = replace(supply, crop=np.full((2, 3), 10.0))
    (line,) = limited(asked(of_a_good_year, replace(limits, press_week=50.0), juice), [0, 0, 60])
    assert line.by == ((Pinch.PRESS, pytest.approx(1.0)),)
    sauce = need("sauce", 42, 44, total=900.0, more={"weekly_capacity": "30 kg"})
    (line,) = limited(asked(supply, limits, sauce), [0, 60, 0])
    assert line.by == ((Pinch.PAN, pytest.approx(1.0)),)


def test_weeks_without_fruit_ask_for_another_cultivar_a_colder_cellar_or_none(
    supply: Supply, limits: Limits
) -> None:
    summer = need("sauce", 28, 29, weekly=10.0)  # the early one alone, and it is not planted
    (line,) = limited(asked(supply, limits, summer), [0, 60, 0])
    assert line.by == ((Pinch.OTHERS, pytest.approx(1.0)),)
    assert line.other == "Yellow Transparent"
    assert "Yellow Transparent" in remedies(line)
    late = need("fresh", 11, 11, weekly=10.0)  # the keeper's life ends before
    (line,) = limited(asked(supply, limits, late), [10, 60, 0])
    assert line.by == ((Pinch.COLD, pytest.approx(1.0)),)
    spring = need("fresh", 25, 26, weekly=10.0)
    (line,) = limited(asked(supply, limits, spring), [10, 60, 0])
    assert line.by == ((Pinch.SEASON, pytest.approx(1.0)),)


def test_a_product_that_does_not_keep(supply: Supply, limits: Limits) -> None:
    sauce = need("sauce", 42, 44, total=120.0, used=tuple(range(42, 53)), keeps=4.0)
    (line,) = limited(asked(supply, limits, sauce), [0, 60, 0])
    assert line.by[0][0] is Pinch.SHELF  # wanted ten weeks on, and it keeps four


def test_nothing_is_said_where_all_is_served(supply: Supply, limits: Limits) -> None:
    assert not limited(asked(supply, limits, need("sauce", 42, 50, total=10.0)), [5, 60, 5])


@pytest.mark.parametrize("seed", [1, 2, 3, 4, 5, 6])
def test_what_is_told_to_help_helps(seed: int) -> None:
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, cellar=12.0, press_week=3.0, places=200, most_trees=100, most_cultivars=8)
    trees = np.array([4, 4, 4, 4, 0, 0, 4, 0])
    question = replace(asked(supply, limits, *NEEDS), useful=useful)
    helps = {
        Pinch.CELLAR: ({"cellar": 24.0}, trees),
        Pinch.PRESS: ({"press_week": 6.0}, trees),
        Pinch.WORTH: ({}, trees * 2),
        Pinch.MOST: ({}, trees * 2),
        Pinch.OTHERS: ({}, trees + 1),
    }
    for line in limited(question, trees.tolist()):
        for why, share in line.by:
            if why not in helps or share < 0.3:
                continue
            changes, numbers = helps[why]
            before = serve(supply, NEEDS, limits, trees)[1]
            after = serve(supply, NEEDS, replace(limits, **changes), numbers)[1]  # type: ignore[arg-type]
            assert after.short.mean() < before.short.mean() - 0.1


def test_every_limit_has_its_words() -> None:
    assert set(LIMITS) == set(REMEDIES) == set(Pinch)
    line = Pinched(0, 5.0, 3, ((Pinch.CELLAR, 0.7), (Pinch.SEASON, 0.3)))
    assert limited_by(line) == "the cellar is full (70%); no cultivar has fruit then (30%)"
