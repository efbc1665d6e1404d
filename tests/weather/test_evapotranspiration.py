"""Reference evapotranspiration: the rules for missing data, and what must hold of any weather."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from topwire.weather.air import dew_point, vapour_pressure
from topwire.weather.evapotranspiration import (
    reference_evapotranspiration,
)
from topwire.weather.sun import extraterrestrial_radiation

DAYS = np.arange(1, 366)
LOW = 5 - 10 * np.cos(2 * np.pi * (DAYS - 15) / 365)
HIGH = LOW + 11


def reference(**columns: np.ndarray | None) -> np.ndarray:
    return reference_evapotranspiration(
        day_of_year=DAYS, tmin=LOW, tmax=HIGH, latitude=42.0, elevation=300.0, **columns
    ).amount


def test_missing_columns_and_missing_days_come_to_the_same() -> None:
    none = np.full(DAYS.size, np.nan)
    np.testing.assert_array_equal(reference(), reference(dew=none, wind=none, sun=none))


def test_the_rules_are_those_stated() -> None:
    from topwire.weather.radiation import radiation_from_range

    sun = radiation_from_range(LOW, HIGH, extraterrestrial_radiation(42.0, DAYS))
    np.testing.assert_allclose(reference(), reference(dew=LOW, wind=np.full(365, 2.0), sun=sun))


def test_says_on_which_days_a_rule_stood_in() -> None:
    wind = np.full(365, 3.0)
    wind[100:110] = np.nan
    found = reference_evapotranspiration(
        day_of_year=DAYS, tmin=LOW, tmax=HIGH, latitude=42.0, elevation=300.0, wind=wind, dew=LOW
    )
    assert found.wind_estimated.sum() == 10
    assert found.sun_estimated.all()
    assert not found.moisture_estimated.any()


def test_dry_air_wind_and_sun_each_take_more() -> None:
    july = 200
    base = reference()[july]
    assert reference(dew=LOW - 5)[july] > base
    assert reference(wind=np.full(365, 4.0))[july] > base
    assert reference(sun=np.full(365, 30.0))[july] > base


@given(
    arrays(float, 20, elements=st.floats(-30, 30)),
    arrays(float, 20, elements=st.floats(0, 25)),
    st.floats(20, 60),
)
@settings(max_examples=50, deadline=None)
def test_never_negative_and_never_more_than_a_desert(
    low: np.ndarray, swing: np.ndarray, latitude: float
) -> None:
    found = reference_evapotranspiration(
        day_of_year=np.linspace(1, 365, 20), tmin=low, tmax=low + swing, latitude=latitude, elevation=200.0
    )
    for amount in (found.amount, found.by_temperature):
        assert (amount >= 0).all()
        assert (amount < 20).all()


def test_a_missing_day_is_missing() -> None:
    low = LOW.copy()
    low[40] = np.nan
    found = reference_evapotranspiration(
        day_of_year=DAYS, tmin=low, tmax=HIGH, latitude=42.0, elevation=300.0
    )
    assert np.isnan(found.amount[40])
    assert np.isfinite(np.delete(found.amount, 40)).all()


def test_humidity_at_its_mean_gives_the_dew_point_back() -> None:
    assert dew_point(vapour_pressure(20.0, 100.0)) == pytest.approx(20.0)
