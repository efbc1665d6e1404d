"""The region's list against every list there is, and the joint order against each place's own."""

from itertools import combinations

import numpy as np
import pytest

from topwire.many.cover import fewest, is_served, packed, served_places, unpacked
from topwire.many.findings import PlaceAnswer, PlannedThere, WantedThere
from topwire.many.joint import JointOrders
from topwire.nursery.starts import chance_of_enough


def invented_region(seed: int, *, cultivars: int = 9, places: int = 14) -> dict[bytes, int]:
    random = np.random.default_rng(seed)
    season = random.integers(0, 3, cultivars)
    liking = random.uniform(0.15, 0.8, cultivars)
    kinds: dict[bytes, int] = {}
    for _ in range(places):
        key = packed(random.random(cultivars) < liking * random.uniform(0.3, 1.2), season)
        kinds[key] = kinds.get(key, 0) + 1
    return kinds


def shortest_by_trying(kinds: dict[bytes, int], cultivars: int, share: float, choices: int) -> int:
    """Length of the shortest of all lists that serve the share."""
    servable = sum(count for key, count in kinds.items() if any(key))
    for length in range(cultivars + 1):
        for listed in combinations(range(cultivars), length):
            if served_places(kinds, cultivars, listed, choices) >= share * servable - 1e-9:
                return length
    raise AssertionError("all cultivars together serve all that can be served")


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize(("share", "choices"), [(1.0, 1), (0.8, 1), (0.9, 2), (1.0, 3)])
def test_no_list_is_shorter_than_the_one_found(seed: int, share: float, choices: int) -> None:
    kinds = invented_region(seed)
    found = fewest(kinds, 9, share, choices)
    servable = sum(count for key, count in kinds.items() if any(key))
    assert served_places(kinds, 9, found.listed, choices) >= share * servable - 1e-9
    assert len(found.listed) == shortest_by_trying(kinds, 9, share, choices) == found.bound


def test_a_place_where_nothing_lasts_asks_for_nothing() -> None:
    nothing = packed(np.zeros(9, dtype=bool), np.zeros(9, dtype=np.int64))
    assert fewest({nothing: 5}, 9, 1.0).listed == ()
    kinds = {**invented_region(1), nothing: 100}
    assert len(fewest(kinds, 9, 0.9).listed) == len(fewest(invented_region(1), 9, 0.9).listed)


def test_a_place_is_served_where_each_part_of_the_season_has_its_choice() -> None:
    lasting, season = np.array([True, True, True, True, False]), np.array([0, 0, 1, 1, 2])
    wants = unpacked(packed(lasting, season), 5)
    assert wants.tolist() == [
        [True, True, False, False, False],
        [False, False, True, True, False],
        [False] * 5,
    ]
    listed = np.array([True, False, True, False, True])
    assert is_served(wants, listed, 1)
    assert not is_served(wants, listed, 2)
    assert is_served(wants, np.ones(5, dtype=bool), 3), "all that last there are enough where they are fewer"


def answer(planned: PlannedThere) -> PlaceAnswer:
    made = object.__new__(PlaceAnswer)
    object.__setattr__(made, "planned", planned)
    return made


def place(winter: int, *lines: tuple[str, int]) -> PlaceAnswer:
    wants = tuple(WantedThere(name, "G.41", trees, trees, 0.7) for name, trees in lines)
    return answer(PlannedThere(100.0, 90.0, 30, wants, winter, 0.02, 0.9, None, "USD"))


def test_together_fewer_grafts_bring_all_trees() -> None:
    joint = JointOrders()
    for _ in range(20):
        joint.take(place(2028, ("Gala", 5), ("Wealthy", 3)))
    joint.take(place(2029, ("Gala", 4)))
    winters, lines = joint.orders()
    assert [(one.winter, one.places, one.trees) for one in winters] == [(2028, 20, 160), (2029, 1, 4)]
    assert winters[1].grafts == winters[1].grafts_apart, "one place alone orders what it would order"
    assert winters[0].grafts < winters[0].grafts_apart
    assert all(one.chance >= 0.9 for one in winters)
    for line in lines:
        assert line.chance == pytest.approx(chance_of_enough(line.trees, line.grafts, 0.7, 0.02))
    first = [line.chance for line in lines if line.winter == 2028]
    assert winters[0].chance == pytest.approx(np.prod(first))


def test_a_large_order_is_of_several_lots() -> None:
    joint = JointOrders()
    for _ in range(300):
        joint.take(place(2028, ("Gala", 30)))
    (winter,), (line,) = joint.orders()
    assert line.trees == 9000
    assert winter.chance >= 0.9
    assert 9000 / 0.7 < line.grafts < 18_000


def test_of_equal_lists_the_one_that_anyone_may_propagate() -> None:
    """Two cultivars that last at the same places: the free one is listed, whichever stands first."""
    season = np.zeros(2, dtype=np.int64)
    kinds = {packed(np.array([True, True]), season): 5}
    for free in (0, 1):
        found = fewest(kinds, 2, 1.0, free=np.arange(2) == free)
        assert (found.listed, found.bound) == ((free,), 1)


@pytest.mark.parametrize("seed", range(6))
def test_a_licence_makes_no_list_longer(seed: int) -> None:
    kinds = invented_region(seed)
    free = np.random.default_rng(seed).random(9) < 0.5
    found, plain = fewest(kinds, 9, 0.9, 2, free), fewest(kinds, 9, 0.9, 2)
    assert len(found.listed) == len(plain.listed) == found.bound
    assert free[list(found.listed)].sum() >= free[list(plain.listed)].sum()
