"""Scab, rusts, rots, blight and insects: what holds whatever the tables say. Published values stand in the checks."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.phenology.degree_days import degree_days
from topwire.phenology.disease_weather import blight_heat, degree_hours, heat_on_blossoms
from topwire.protection import insects, rusts, scab, summer, weather_harm
from topwire.protection.blight_windows import conditions, days_to_symptoms
from topwire.values.insect_clock import CutOff, DayCurve

TEMPERATURES = st.floats(-10, 45)


@given(TEMPERATURES, st.floats(0, 120), st.floats(0, 24))
def test_longer_wetness_never_infects_less(air: float, hours: float, more: float) -> None:
    assert scab.infection(air, hours + more) >= scab.infection(air, hours)
    assert rusts.quince_infection(air, hours + more) >= rusts.quince_infection(air, hours)


@given(TEMPERATURES)
def test_worse_infections_want_longer_wetness(air: float) -> None:
    light, moderate, severe = scab.hours_needed(air)
    assert light <= moderate <= severe
    assert rusts.leaf_hours(air)[0] <= rusts.leaf_hours(air)[1]
    assert scab.least_hours(air) > 0


@pytest.mark.parametrize("air", [-5.0, 30.0, np.nan])
def test_beyond_its_warmth_nothing_infects(air: float) -> None:
    assert scab.infection(air, 200.0) == 0
    assert rusts.quince_infection(air, 200.0) == 0
    assert np.isinf(scab.conidia_hours(air))
    assert np.isinf(summer.black_rot_hours(40.0)[2])


def test_spores_ripen_with_warmth_and_halt_in_a_dry_week() -> None:
    rain = np.array([1.0, *[0.0] * 10, 1.0])
    counted = scab.ripening_heat(np.full(12, 10.0), rain)
    assert list(counted) == [10.0] * 8 + [0.0] * 3 + [10.0]
    assert (np.diff(scab.ripe_share(np.linspace(0, 600, 30))) > 0).all()


def test_heat_on_blossoms_slides_with_the_flowers_that_are_open() -> None:
    """The worked five days: heat passes 110 K h on the third; on the fourth those of the first day are too old, and of
    the second those of its first hours (44.8 K d, of 44.4)."""
    low, high = np.array([8.0, 10, 12, 14, 16]), np.array([20.0, 24, 27, 29, 30])
    heat = degree_hours(low, high)
    ageing = np.array([9.6, 12.6, 15.1, 17.1, 19.0])
    (found,) = heat_on_blossoms(heat, ageing, [1.0], [10.0])
    assert found[2] == pytest.approx(117.8, abs=0.1)
    assert found[3] == pytest.approx(heat[1:4].sum() - heat[1] * (44.8 - 44.4) / 12.6)
    assert blight_heat(low, high, [1.0], [10.0])[0].tolist() == [False, False, True, True, True]
    (late,) = heat_on_blossoms(heat, ageing, [3.0], [3.0])
    assert np.isnan(late[[0, 1, 3, 4]]).all()
    assert late[2] == pytest.approx(heat[2])


def test_all_four_conditions_make_an_infection() -> None:
    assert all(conditions(120.0, 18.0, True, True))
    for gone in ((90.0, 18.0, True, True), (120.0, 15.0, True, True), (120.0, 18.0, False, True)):
        assert sum(conditions(*gone)) == 3


def test_symptoms_come_within_what_practice_saw() -> None:
    assert days_to_symptoms(np.full(60, 30.0), np.full(60, 30.0), 0) == 5
    assert days_to_symptoms(np.full(60, 5.0), np.full(60, 5.0), 0) == 30


@given(st.floats(-20, 40), st.floats(0.1, 30), st.sampled_from(list(DayCurve)))
def test_cut_offs_take_more_and_more(low: float, span: float, curve: DayCurve) -> None:
    each = [
        float(degree_days([low], [low + span], 10.0, 31.1, curve=curve, cut_off=cut)[0])
        for cut in (CutOff.NONE, CutOff.HORIZONTAL, CutOff.VERTICAL)
    ]
    assert each[0] >= each[1] - 1e-9
    assert each[1] >= each[2] - 1e-9
    assert each[2] >= -1e-9


def test_a_day_without_a_span_is_plain() -> None:
    for curve in DayCurve:
        assert degree_days([20.0], [20.0], 10.0, 31.1, curve=curve)[0] == pytest.approx(10.0)


def test_degree_days_scale_by_nine_fifths() -> None:
    celsius = degree_days([8.0], [30.0], 10.0, 29.0)
    fahrenheit = degree_days([46.4], [86.0], 50.0, 84.2)
    assert fahrenheit == pytest.approx(celsius * 1.8)


def test_a_sum_is_reached_on_the_day_that_completes_it() -> None:
    daily = np.full((1, 10), 5.0)
    assert insects.day_reached(daily, 2, 10.0)[0] == 3
    assert insects.day_reached(daily, 2, 0.0)[0] == 2
    assert np.isnan(insects.day_reached(daily, 2, 100.0)[0])


def test_fruit_burns_more_in_still_dry_air_and_unknown_air_is_the_middle() -> None:
    over = weather_harm.skin_over_air([0.5, 2.0, 5.0, np.nan], [30.0, 50.0, 50.0, 50.0])
    assert list(over) == [17.0, 14.0, 11.0, 14.0]
    assert (
        weather_harm.browns_at("Honeycrisp")
        < weather_harm.browns_at("Gala")
        < weather_harm.browns_at("Cripps Pink")
    )
    assert weather_harm.browns_at("Caudle") == weather_harm.browns_at("Honeycrisp")
