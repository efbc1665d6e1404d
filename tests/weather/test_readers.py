"""Every kind of file, recognised by what stands in it; the small invented files say the same three days in May."""

from pathlib import Path

import numpy as np
import pytest

from topwire.weather.air import dew_point, vapour_pressure, wind_at_two_metres
from topwire.weather.read import read_file
from topwire.weather.reading import Reading

DATA = Path(__file__).parent / "data"
TMIN, TMAX = [4.0, 6.5, 2.2], [15.5, 18.0, 11.1]
DAYS = np.arange("2021-05-01", "2021-05-04", dtype="datetime64[D]")
COLDEST, WARMEST = 4.0, 16.0  # of the hourly files


def read(name: str) -> Reading:
    return read_file(DATA / name, name)


@pytest.mark.parametrize(
    "name", ["daily.csv", "daily_us.csv", "daily_semicolon.csv", "power_daily.csv", "power_daily.json"]
)
def test_three_days(name: str) -> None:
    reading = read(name)
    assert (reading.day == DAYS).all()
    np.testing.assert_allclose(reading.columns["tmin"], TMIN, atol=1e-9)
    np.testing.assert_allclose(reading.columns["tmax"], TMAX, atol=1e-9)
    np.testing.assert_allclose(reading.columns["rain"][:2], [0.0, 12.7], atol=1e-9)
    assert not reading.typical
    assert not reading.hours


@pytest.mark.parametrize("name", ["ghcn_access.csv", "ghcn_by_station.csv", "ghcn.dly"])
def test_noaa_leaves_out_what_failed_its_checks(name: str) -> None:
    reading = read(name)
    assert (reading.day == DAYS).all()
    np.testing.assert_allclose(reading.columns["tmin"], [4.0, 6.5, np.nan], atol=1e-9)
    np.testing.assert_allclose(reading.columns["tmax"], TMAX, atol=1e-9)
    np.testing.assert_allclose(reading.columns["rain"], [0.0, 12.7, np.nan], atol=1e-9)
    assert any(
        "failed NOAA's own quality checks were left out (1)" in notice.says for notice in reading.notices
    )


def test_a_file_by_any_other_name(tmp_path: Path) -> None:
    for at, path in enumerate(sorted(DATA.iterdir())):
        other = tmp_path / f"{at}.xyz"
        other.write_bytes(path.read_bytes())
        known, renamed = read(path.name), read_file(other, path.name)
        assert (known.day == renamed.day).all()
        for name, values in known.columns.items():
            np.testing.assert_array_equal(values, renamed.columns[name])


def test_further_columns_come_to_the_units_of_the_house() -> None:
    plain, us, power = read("daily.csv"), read("daily_us.csv"), read("power_daily.csv")
    np.testing.assert_allclose(plain.columns["wind"], [2.2, 1.8, np.nan])
    np.testing.assert_allclose(us.columns["wind"][0], wind_at_two_metres(4.4704, 10.0))
    np.testing.assert_allclose(power.columns["sun"], [18.0, 9.9, np.nan])  # 3.6 MJ to the kWh
    moist = dew_point(vapour_pressure((4.0 + 15.5) / 2, 70.0))
    assert power.columns["dew_point"][0] == pytest.approx(float(moist))


def test_a_trace_of_rain_is_none() -> None:
    assert read("daily_semicolon.csv").columns["rain"][2] == 0.0


@pytest.mark.parametrize(
    "name", ["hourly.csv", "power_hourly.csv", "power_hourly_universal.json", "hourly_split.csv"]
)
def test_days_out_of_hours(name: str) -> None:
    reading = read(name)
    assert (reading.day == DAYS[:2]).all()
    assert reading.hours["temperature"].shape == (2, 24)
    assert reading.hours["temperature"][0].argmax() == 15
    assert reading.columns["tmin"][0] == pytest.approx(COLDEST, abs=0.01)
    assert reading.columns["tmax"][0] == pytest.approx(WARMEST, abs=0.01)


def test_a_day_with_three_hours_missing_has_no_extremes() -> None:
    reading = read("hourly_split.csv")
    assert np.isnan(reading.columns["tmin"][1])
    assert np.isnan(reading.hours["temperature"][1, :3]).all()
    assert np.isfinite(reading.hours["temperature"][1, 3:]).all()


def test_hours_add_up() -> None:
    plain, power = read("hourly.csv"), read("power_hourly.csv")
    assert plain.columns["rain"][0] == pytest.approx(2.54)
    assert plain.columns["sun"][0] == pytest.approx(8 * 500 * 0.0036)
    assert plain.columns["wind"][0] == pytest.approx(float(wind_at_two_metres(5.0, 10.0)))
    assert power.columns["rain"][1] == pytest.approx(0.5)
    assert power.columns["sun"][0] == pytest.approx(np.nansum(power.hours["sun"][0]))


def test_universal_time_is_moved_and_told() -> None:
    assert any("moved by -5 h" in notice.says for notice in read("power_hourly_universal.json").notices)


def test_power_is_told_to_be_a_cell() -> None:
    assert any("50 km" in notice.says for notice in read("power_daily.csv").notices)


@pytest.mark.parametrize("name", ["place.epw", "tmy3.csv"])
def test_typical_years(name: str) -> None:
    reading = read(name)
    assert reading.typical
    assert [str(day) for day in reading.day] == ["2001-01-01", "2001-07-01"]
    np.testing.assert_allclose(reading.columns["tmin"], [-1.0, 19.0], atol=0.05)
    np.testing.assert_allclose(reading.columns["tmax"], [11.0, 31.0], atol=0.05)
    assert reading.columns["wind"][0] == pytest.approx(float(wind_at_two_metres(3.6, 10.0)))
    assert any("not a sequence of real years" in notice.says for notice in reading.notices)


def test_missing_values_of_epw() -> None:
    reading = read("place.epw")
    assert np.isnan(reading.hours["dew_point"][0, 3])
    assert np.isnan(reading.hours["sun"][0, 3])
    # the hour that ends at 16 is the hour from 15 to 16
    assert reading.hours["temperature"][0].argmax() == 15


@pytest.mark.parametrize(("kind", "typical"), [("measured", False), ("IWEC Data", True), ("TMYx", True)])
def test_an_epw_of_one_year_is_real_unless_it_says_otherwise(
    tmp_path: Path, kind: str, typical: bool
) -> None:
    path = tmp_path / "one.epw"
    path.write_text((DATA / "place.epw").read_text().replace("\n2004,", "\n1999,").replace("TMY", kind))
    reading = read_file(path, "one.epw")
    assert reading.typical == typical
    year = 2001 if typical else 1999
    assert [str(day) for day in reading.day] == [f"{year}-01-01", f"{year}-07-01"]


def test_dates_of_three_columns(tmp_path: Path) -> None:
    path = tmp_path / "days.txt"
    path.write_text("Day\tMonth\tYear\tTmin(C)\tTmax(C)\tPrcp(mm)\n1\t5\t2021\t4.0\t15.5\t0.0\n")
    reading = read_file(path, "days.txt")
    assert reading.day[0] == DAYS[0]
    assert reading.columns["tmax"][0] == 15.5


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_what_spreadsheets_write(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "sheet.csv"
    path.write_bytes("Date,Min Temp (°F),Max Temp (°F)\r\n2021-05-01,39.2,59.9\r\n".encode(encoding))
    assert read_file(path, "sheet.csv").columns["tmin"][0] == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("cell", "hour"),
    [("2021-05-01 14:00", 14), ("2021-05-01T14:30", 14), ("2021-05-01 24:00", 24), ("2021-5-1 9:00", 9)],
)
def test_times(tmp_path: Path, cell: str, hour: int) -> None:
    path = tmp_path / "hours.csv"
    path.write_text(f"time,temp_c\n{cell},10.0\n")
    reading = read_file(path, "hours.csv")
    assert reading.day[0] == DAYS[hour // 24]
    assert reading.hours["temperature"][0, hour % 24] == 10.0


def test_half_hours_are_averaged(tmp_path: Path) -> None:
    path = tmp_path / "hours.csv"
    path.write_text("time,temp_c,rain_mm\n2021-05-01 14:00,10.0,1\n2021-05-01 14:30,12.0,2\n")
    hours = read_file(path, "hours.csv").hours
    assert hours["temperature"][0, 14] == 11.0
    assert hours["rain"][0, 14] == 3.0
