"""Coefficients and rain: limits, monotony, and the shape over the year."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from topwire.water import demand

STAGES = demand.Stages(*(np.array([float(day)]) for day in (95, 115, 160, 290, 320)))
TABLE = demand.Coefficients(0.35, 0.90, 0.65)


def test_curve_turns_where_the_stages_say() -> None:
    days = np.arange(1, 366)
    curve = demand.stage_curve(days, STAGES, TABLE)[:, 0]
    assert curve[93] == demand.KC_LEAST
    assert curve[94] == curve[114] == 0.35
    assert curve[159] == curve[289] == pytest.approx(0.90)
    assert curve[319] == pytest.approx(0.65)
    assert curve[320] == demand.KC_LEAST
    assert curve[(115 + 160) // 2 - 1] == pytest.approx((0.35 + 0.9) / 2, abs=0.01)


@given(cover=some.floats(0.01, 0.9), height=some.floats(0.5, 5.0))
def test_more_cover_never_drinks_less(cover: float, height: float) -> None:
    full = demand.full_cover_coefficient(height, stomata=0.9)
    less, more = (demand.density(part * cover, height, multiplier=1.5) for part in (0.9, 1.0))
    assert demand.basal_coefficient(less, full) <= demand.basal_coefficient(more, full)
    assert demand.KC_LEAST <= demand.basal_coefficient(more, full) <= full
    assert 0 < more <= 1


def test_grass_below_adds() -> None:
    full = demand.full_cover_coefficient(3.5, stomata=0.9)
    share = demand.density(0.4, 3.5, multiplier=1.5)
    assert demand.basal_coefficient_with_grass(share, full, 0.75) > demand.basal_coefficient(share, full)
    # over grass that drinks more than trees would, the trees' shade takes half the difference off
    assert demand.basal_coefficient_with_grass(1.0, 0.9, 1.1) == pytest.approx(1.0)


def test_dry_wind_raises_and_small_coefficients_stay() -> None:
    assert demand.adjusted(0.95, wind=4.0, humidity_least=25.0, height=3.0) > 0.95
    assert demand.adjusted(0.95, wind=1.0, humidity_least=70.0, height=3.0) < 0.95
    assert demand.adjusted(0.40, wind=4.0, humidity_least=25.0, height=3.0) == 0.40


def test_shade_at_noon_covers_more_where_the_sun_is_low() -> None:
    assert demand.effective_cover(0.3, np.radians(90)) == pytest.approx(0.3)
    assert demand.effective_cover(0.3, np.radians(30)) == pytest.approx(0.6)
    assert demand.effective_cover(0.8, np.radians(30)) == 1.0


@given(
    rain=some.lists(some.floats(0, 200), min_size=1, max_size=20),
    reference=some.floats(0, 9),
    number=some.floats(30, 99),
)
def test_rain_is_parted_whole(rain: list[float], reference: float, number: float) -> None:
    counts, ran, lost = demand.effective_rain(rain, np.full(len(rain), reference), number)
    assert counts + ran + lost == pytest.approx(np.array(rain), abs=1e-12)
    assert (counts >= 0).all()
    assert (ran >= 0).all()


def test_light_rain_is_gone_by_night_and_heavy_rain_runs_off() -> None:
    counts, ran, lost = demand.effective_rain([0.9, 1.1, 100.0], [5.0, 5.0, 5.0], 79.0)
    assert lost.tolist() == [0.9, 0.0, 0.0]
    assert ran[1] == 0.0
    assert ran[2] == pytest.approx((100 - 0.2 * 67.519) ** 2 / (100 + 0.8 * 67.519), abs=0.01)
    assert counts[2] < 100
