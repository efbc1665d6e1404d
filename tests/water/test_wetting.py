"""The wetted ground: nothing gained or lost, and shapes that follow soil and emitters."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.water.wetting import Ball, Drip, holding, soaked, watering

RATE = 2 / 3.6e6  # [m3/s] of one emitter
LOAM = {"conductivity": 10 / 3.6e6, "lacks": 0.052}
BALL = Ball(0.9144, 0.3, 1.4, 0.32)
AT_TREES = Drip(RATE, 0.4572, 0, True)


def test_a_bulb_holds_its_water() -> None:
    width, depth = holding(0.004, flow=RATE, **LOAM)
    assert np.pi / 6 * width**2 * depth * 0.052 == pytest.approx(0.004)


@given(
    st.floats(0.3, 1.2), st.floats(0.3, 1.2), st.integers(0, 3), st.floats(1, 30), st.floats(0.02, 0.09),
    st.floats(0.25, 1.3), st.floats(0.05, 0.6),
)  # fmt: skip
def test_water_is_conserved(
    spacing: float, trees: float, per_tree: int, rate: float, lacks: float, radius: float, part: float
) -> None:
    """Shares are of all that soaked in, and the roots get what they want."""
    ball = Ball(trees, radius, 1.4, 0.4)
    area = min(np.pi * radius**2, 2 * radius * trees)
    wanted = part * 0.7 * area * 0.4 * lacks
    drip = Drip(RATE, spacing, per_tree, False)
    found = soaked(drip, ball, conductivity=rate / 3.6e6, lacks=lacks, wanted=wanted)
    assert found.roots + found.beside + found.below == pytest.approx(1.0)
    assert min(found.roots, found.beside, found.below) >= 0
    assert found.volume * found.roots == pytest.approx(wanted, rel=0.05)
    assert found.volume >= wanted * 0.98


def test_the_wetted_strip_holds_all_that_soaked_in() -> None:
    """A line's balls that have met: half an ellipse along the row, by hand."""
    wide = Ball(0.9144, 100.0, 1.4, 0.8)
    found = soaked(AT_TREES, wide, **LOAM, wanted=0.03)
    strip = np.pi / 4 * found.width * found.depth * 0.9144 * 0.052
    assert strip == pytest.approx(found.volume, rel=0.1)
    assert found.roots == pytest.approx(1.0, abs=0.01)


def test_an_emitter_at_the_trunk_wastes_less_than_one_between_trees() -> None:
    at = soaked(Drip(RATE, 0.9144, 1, True), BALL, **LOAM, wanted=0.003)
    two = soaked(AT_TREES, BALL, **LOAM, wanted=0.003)
    anyhow = soaked(Drip(RATE, 0.9, 0, False), BALL, **LOAM, wanted=0.003)
    assert at.roots > two.roots > 0.3
    assert at.roots > anyhow.roots


def test_sand_lets_it_sink_clay_lets_it_spread() -> None:
    sand, clay = (
        soaked(AT_TREES, BALL, conductivity=rate / 3.6e6, lacks=0.052, wanted=0.003) for rate in (30, 1)
    )
    assert sand.depth > clay.depth
    assert sand.width < clay.width
    assert sand.beside < clay.beside


def test_sand_is_watered_little_and_often() -> None:
    """A watering is cut until hardly any of it sinks below the roots."""
    sand = {"conductivity": 30 / 3.6e6, "lacks": 0.03}
    whole = soaked(AT_TREES, Ball(0.9144, 100.0, 1.4, 0.5), **sand, wanted=0.02)
    short = watering(AT_TREES, Ball(0.9144, 100.0, 1.4, 0.5), **sand, wanted=0.02)
    assert whole.below > 0.1 >= short.below
    assert short.volume < whole.volume
