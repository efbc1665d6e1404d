"""What a record holds, year by year."""

from pathlib import Path

import numpy as np
from weather_support import invented_days, write_daily

from topwire.weather.coverage import coverage
from topwire.weather.read import read_weather


def test_years_add_up(tmp_path: Path) -> None:
    day, tmin, tmax, rain = invented_days("2017-07-01", "2020-01-01")
    tmin[200:203] = np.nan
    tmin[600:650] = np.nan
    rain[205:207] = np.nan
    rain[610:660] = np.nan
    half = 500
    first = write_daily(tmp_path / "first.csv", day[:half], tmin[:half], tmax[:half], rain[:half])
    second = write_daily(tmp_path / "second.csv", day[half:], tmin[half:], tmax[half:], rain[half:])
    rows = coverage(read_weather([first, second]))
    assert [row.year for row in rows] == [2017, 2018, 2019]
    assert [row.days for row in rows] == [184, 365, 365]
    assert all(row.measured + row.filled + row.missing == row.days for row in rows)
    assert [row.filled for row in rows] == [0, 3, 0]
    assert [row.missing for row in rows] == [0, 0, 50]
    assert [row.rain_missing for row in rows] == [0, 0, 50]
    assert [row.files for row in rows] == [("first.csv",), ("first.csv", "second.csv"), ("second.csv",)]
