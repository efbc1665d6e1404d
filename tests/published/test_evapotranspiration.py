"""Reference evapotranspiration against two libraries, a year of weather at three latitudes (sources PYET, PYFAO56)."""

import numpy as np
import pandas as pd
import pyet
import pytest
from pyfao56 import refet

from topwire.weather.air import saturation_pressure
from topwire.weather.evapotranspiration import reference_evapotranspiration
from topwire.weather.sun import extraterrestrial_radiation

PLACES = [(34.0, 50.0), (45.0, 200.0), (55.0, 900.0)]
DATES = pd.date_range("2021-01-01", "2021-12-31")
OF_YEAR = DATES.dayofyear.to_numpy()
RANDOM = np.random.default_rng(6)
LOW = 6 - 9 * np.cos(2 * np.pi * (OF_YEAR - 18) / 365) + RANDOM.normal(0, 3, OF_YEAR.size)
HIGH = LOW + RANDOM.uniform(3, 16, OF_YEAR.size)
DEW = LOW - RANDOM.uniform(0, 4, OF_YEAR.size)
WIND = RANDOM.uniform(0.5, 5, OF_YEAR.size)


def weather(latitude: float) -> np.ndarray:
    return RANDOM.uniform(0.25, 0.7, OF_YEAR.size) * extraterrestrial_radiation(latitude, OF_YEAR)


@pytest.mark.parametrize(("latitude", "elevation"), PLACES)
def test_against_pyet(latitude: float, elevation: float) -> None:
    sun = weather(latitude)
    ours = reference_evapotranspiration(
        day_of_year=OF_YEAR,
        tmin=LOW,
        tmax=HIGH,
        latitude=latitude,
        elevation=elevation,
        dew=DEW,
        wind=WIND,
        sun=sun,
    )

    def series(values: np.ndarray) -> pd.Series:
        return pd.Series(values, index=DATES)

    theirs = pyet.pm_fao56(
        series((LOW + HIGH) / 2),
        series(WIND),
        rs=series(sun),
        elevation=elevation,
        lat=np.radians(latitude),
        tmax=series(HIGH),
        tmin=series(LOW),
        ea=series(saturation_pressure(DEW) / 1000),
    ).to_numpy()
    # the library rounds constants otherwise and lets the cloud term fall below the range of its data
    np.testing.assert_allclose(ours.amount, theirs, atol=0.03)
    by_temperature = pyet.hargreaves(
        series((LOW + HIGH) / 2), series(HIGH), series(LOW), np.radians(latitude)
    ).to_numpy()
    # the library takes the latent heat of the day's temperature where FAO-56 has that of 20 deg C
    np.testing.assert_allclose(ours.by_temperature, np.maximum(by_temperature, 0), rtol=0.025)


@pytest.mark.parametrize(("latitude", "elevation"), PLACES)
def test_against_pyfao56(latitude: float, elevation: float) -> None:
    sun = weather(latitude)
    ours = reference_evapotranspiration(
        day_of_year=OF_YEAR,
        tmin=LOW,
        tmax=HIGH,
        latitude=latitude,
        elevation=elevation,
        dew=DEW,
        wind=WIND,
        sun=sun,
    ).amount
    theirs = [
        refet.ascedaily(
            "S", elevation, latitude, int(day), arriving, high, low, vapr=vapour, wndsp=speed, wndht=2.0
        )
        for day, arriving, high, low, vapour, speed in zip(
            OF_YEAR, sun, HIGH, LOW, saturation_pressure(DEW) / 1000, WIND, strict=True
        )
    ]
    np.testing.assert_allclose(ours, np.maximum(theirs, 0), atol=0.03)
