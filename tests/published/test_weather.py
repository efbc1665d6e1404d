"""Day length, radiation and readers against pvlib (source PVLIB), over sixty years and the whole sky."""

from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from topwire.weather.air import wind_at_two_metres
from topwire.weather.read import read_file, read_weather
from topwire.weather.sun import day_length, extraterrestrial_radiation

PLACES = [(39.18, -78.16), (40.71, -77.97), (50.8, 4.35), (60.0, 100.0), (34.0, 0.0)]
INSTALLED = Path(pvlib.__file__).parent / "data"


@pytest.mark.parametrize(("latitude", "tolerance"), [(34.0, 0.06), (45.0, 0.08), (60.0, 0.13)])
def test_day_length(latitude: float, tolerance: float) -> None:
    """At Greenwich, so that sunrise and sunset belong to one day.

    Spencer's year knows no leap days: it can be a day and a half out of step, and days change by 5 min each at 60 N.
    """
    days = pd.date_range("2021-01-01", "2024-12-31", tz="UTC")
    theirs = pvlib.solarposition.sun_rise_set_transit_spa(days, latitude, 0.0)
    length = ((theirs["sunset"] - theirs["sunrise"]).dt.total_seconds() / 3600).to_numpy()
    assert np.abs(length - day_length(latitude, days.dayofyear.to_numpy())).max() < tolerance


def test_extraterrestrial_radiation() -> None:
    """Against sums over five minutes with the library's distance of the sun and the same solar constant.

    The plain sine that FAO-56 has for the declination is a degree off in October: within 3 %.
    """
    latitude = 39.18
    for day in (15, 105, 196, 288):
        moments = pd.date_range("2021-01-01", periods=288, freq="5min", tz="UTC") + pd.Timedelta(days=day - 1)
        elevation = pvlib.solarposition.spa_python(moments, latitude, 0.0)["elevation"].to_numpy()
        beam = pvlib.irradiance.get_extra_radiation(day, solar_constant=0.0820e6 / 60)
        total = (np.maximum(np.sin(np.radians(elevation)), 0) * beam * 300).sum() / 1e6
        assert extraterrestrial_radiation(latitude, day) == pytest.approx(total, rel=0.03)


@pytest.mark.parametrize(("name", "year"), [("723170TYA.CSV", 1990), ("703165TY.csv", 1990)])
def test_typical_year_of_tmy3(name: str, year: int) -> None:
    """The files that the library installs, read by both."""
    theirs, _ = pvlib.iotools.read_tmy3(INSTALLED / name, coerce_year=year, map_variables=True)
    ours = read_file(INSTALLED / name, name)
    # the library stamps the hour at its end, so its last hour falls into the next year
    air = theirs["temp_air"].to_numpy().reshape(365, 24)
    np.testing.assert_allclose(ours.hours["temperature"], air)
    np.testing.assert_allclose(ours.columns["tmin"], air.min(axis=1))
    np.testing.assert_allclose(ours.columns["tmax"], air.max(axis=1))
    np.testing.assert_allclose(
        ours.columns["sun"], theirs["ghi"].to_numpy().reshape(365, 24).sum(axis=1) * 0.0036
    )
    speed = wind_at_two_metres(theirs["wind_speed"].to_numpy().reshape(365, 24).mean(axis=1), 10.0)
    np.testing.assert_allclose(ours.columns["wind"], speed)


def test_a_typical_year_says_what_it_is() -> None:
    weather = read_weather([INSTALLED / "723170TYA.CSV"])
    assert weather.typical
    told = " ".join(notice.says for notice in weather.notices)
    assert "1980 to 2003, not a sequence of real years" in told
    assert "8,345 mm a year and was left out" in told
