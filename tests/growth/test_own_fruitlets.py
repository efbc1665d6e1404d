import numpy as np
import pytest

from topwire.growth.own_fruitlets import FruitletRow, sets_of

TARGETS = np.tile([0.0, 20, 60, 100, 110], (1, 1))


def sample(clusters: int, *, counted: float | None = 40.0, grow: float = 3.0) -> list[FruitletRow]:
    """Four fruitlets a cluster: one fast, one slower, one slow, one fallen."""
    rows = []
    for cluster in range(clusters):
        for place, second in enumerate((6.5 + grow, 6.5 + 0.7 * grow, 6.5 + 0.2 * grow, None)):
            rows.append(
                FruitletRow(f"{cluster}-{place}", "Gala", 4, str(cluster), counted, 6.5, second, None)
            )
    return rows


def test_half_stay_and_are_set_beside_the_target() -> None:
    (line,), notices = sets_of(sample(70), ("Gala",), TARGETS)
    assert line.share == pytest.approx(0.5)
    assert line.fruits_per_tree == pytest.approx(0.5 * 4 * 40)
    assert line.wanted == 100
    assert "stop" in line.advice
    assert notices == []


def test_few_clusters_are_told() -> None:
    _, notices = sets_of(sample(25), ("Gala",), TARGETS)
    assert len(notices) == 1
    assert "25 clusters" in notices[0].says


def test_uncounted_clusters_and_unknown_cultivars_still_give_a_share() -> None:
    (line,), _ = sets_of(sample(70, counted=None), ("Fuji",), TARGETS)
    assert line.share == pytest.approx(0.5)
    assert line.fruits_per_tree is None
    assert line.wanted is None


def test_no_growth_is_told_not_raised() -> None:
    lines, notices = sets_of(sample(70, grow=0.0), ("Gala",), TARGETS)
    assert lines == ()
    assert "callipers" in notices[0].says


def test_nothing_measured_says_nothing() -> None:
    assert sets_of([], ("Gala",), TARGETS) == ((), [])
