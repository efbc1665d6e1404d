"""The air: there and back, and the limits of the wind profile."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.weather import air


@given(st.floats(-40, 45))
@settings(max_examples=60, deadline=None)
def test_dew_point_is_the_way_back(temperature: float) -> None:
    assert air.dew_point(air.saturation_pressure(temperature)) == pytest.approx(temperature, abs=1e-9)


@given(st.floats(-30, 40), st.floats(0, 30))
@settings(max_examples=60, deadline=None)
def test_humidity_and_vapour_agree(temperature: float, below: float) -> None:
    humidity = air.relative_humidity(temperature, temperature - below)
    assert 0 < humidity <= 100
    assert air.vapour_pressure(temperature, humidity) == pytest.approx(
        float(air.saturation_pressure(temperature - below)), rel=1e-9
    )


@given(st.floats(-30, 40))
@settings(max_examples=30, deadline=None)
def test_slope_is_the_slope(temperature: float) -> None:
    step = 1e-3
    rise = air.saturation_pressure(temperature + step) - air.saturation_pressure(temperature - step)
    assert air.saturation_slope(temperature) == pytest.approx(float(rise) / (2 * step), rel=2e-3)


def test_no_dew_point_without_vapour() -> None:
    assert np.isnan(air.dew_point([0.0, -5.0])).all()


def test_wind() -> None:
    assert air.wind_at_two_metres(3.0, 2.0) == 3.0
    assert air.wind_at_two_metres(3.0, 10.0) == pytest.approx(2.244, abs=0.001)
    with pytest.raises(ValueError, match=r"holds from 0\.5 m up"):
        air.wind_at_two_metres(3.0, 0.2)
