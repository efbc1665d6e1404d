import numpy as np
import pytest

from topwire.growth.asked import FruitletRow
from topwire.growth.findings import SetAdvice
from topwire.growth.fruit import FruitletsUnusable, NotMeasurable, set_from_growth
from topwire.growth.own_fruitlets import sets_of

TARGETS = np.tile([0.0, 20, 60, 100, 110], (1, 1))


def sample(
    clusters: int, *, counted: float | None = 40.0, grow: float = 3.0, leaf: int = 4
) -> list[FruitletRow]:
    """Four fruitlets a cluster: one fast, one slower, one slow, one fallen."""
    rows = []
    for cluster in range(clusters):
        for place, second in enumerate((6.5 + grow, 6.5 + 0.7 * grow, 6.5 + 0.2 * grow, None)):
            rows.append(
                FruitletRow(f"{cluster}-{place}", "Gala", leaf, str(cluster), counted, 6.5, second, None)
            )
    return rows


def test_half_stay_and_are_set_beside_the_target() -> None:
    (line,), notices = sets_of(sample(70, counted=40.0), ("Gala",), TARGETS)
    assert line.share == pytest.approx(0.5)
    assert line.fruits_per_tree == pytest.approx(0.5 * 4 * 40)
    assert line.wanted == 100
    assert line.advice is SetAdvice.STOP
    assert notices == []


@pytest.mark.parametrize(
    ("clusters", "advice"),
    [
        (100.0, SetAdvice.THIN_ON),
        (50.0, SetAdvice.LEAVE),
        (30.0, SetAdvice.STOP),
        (None, SetAdvice.COUNT_CLUSTERS),
    ],
)
def test_advice_hangs_on_fruits_beside_those_wanted(clusters: float | None, advice: SetAdvice) -> None:
    (line,), _ = sets_of(sample(70, counted=clusters), ("Gala",), TARGETS)
    assert line.advice is advice


def test_few_clusters_are_told() -> None:
    _, (notice,) = sets_of(sample(25), ("Gala",), TARGETS)
    assert notice.code == "years.few_clusters"
    assert notice.facts["clusters"] == 25


def test_uncounted_clusters_and_unknown_cultivars_still_give_a_share() -> None:
    (line,), _ = sets_of(sample(70, counted=None), ("Fuji",), TARGETS)
    assert line.share == pytest.approx(0.5)
    assert line.fruits_per_tree is None
    assert line.wanted is None


def test_no_growth_is_told_not_raised() -> None:
    lines, notices = sets_of(sample(70, grow=0.0), ("Gala",), TARGETS)
    assert lines == ()
    assert notices[0].facts["why"] == FruitletsUnusable.NONE_GREW


def test_nothing_measured_says_nothing() -> None:
    assert sets_of([], ("Gala",), TARGETS) == ((), [])


def test_fallen_fruitlets_count_as_measured() -> None:
    assert set_from_growth([3.0, 3.0, 0.0, 0.0], fastest=2).share == 0.5


def test_a_reference_needs_its_fruitlets() -> None:
    with pytest.raises(NotMeasurable, match="too few"):
        set_from_growth([1.0, 2.0], fastest=20)
    with pytest.raises(NotMeasurable, match="none grew"):
        set_from_growth([0.0] * 20)
