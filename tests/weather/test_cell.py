"""A grid cell beside a station and beside the orchard's own thermometer: it fills, and never leads or judges alone."""

import json
from pathlib import Path

import numpy as np
import pytest

from topwire.plan.naming import with_weather_file
from topwire.values.fault import Faults
from topwire.weather import joining
from topwire.weather.cell import FEWEST_COMMON, day_shift, month_of, monthly_steps, moved, spring_share
from topwire.weather.mornings import OwnMornings, by_month, clear_nights, read_mornings, steps_of
from topwire.weather.read import read_file, read_weather

DAY = np.arange(np.datetime64("2001-01-01"), np.datetime64("2011-01-01"))
WAVE = 10 - 12 * np.cos(2 * np.pi * (DAY - DAY.astype("datetime64[Y]")).astype(int) / 365.25)
SWING = 8 + 5 * np.sin(np.arange(DAY.size) * 2.3)  # day to night, clear where wide
HIGH = WAVE + SWING / 2
LOW = WAVE - SWING / 2


def station_file(folder: Path, first: int = 2000, last: int = 4000) -> Path:
    lines = [f"{DAY[at]},{LOW[at]:.2f},{HIGH[at]:.2f},1.0" for at in range(first, min(last, DAY.size))]
    path = folder / "station.csv"
    path.write_text("date,tmin_c,tmax_c,rain_mm\n" + "\n".join(lines) + "\n")
    return path


def cell_file(folder: Path, low: np.ndarray) -> Path:
    keys = [str(day).replace("-", "") for day in DAY]
    values = {"T2M_MIN": low, "T2M_MAX": HIGH, "PRECTOTCORR": np.ones(DAY.size)}
    tree = {
        "geometry": {"coordinates": [-77.2, 40.1, 200.0]},
        "properties": {
            "parameter": {
                name: dict(zip(keys, map(float, column), strict=True)) for name, column in values.items()
            }
        },
        "header": {"fill_value": -999.0},
        "parameters": {name: {"units": "mm/day" if name[0] == "P" else "C"} for name in values},
    }
    path = folder / "cell.json"
    path.write_text(json.dumps(tree))
    return path


def test_a_step_needs_ninety_common_days_of_its_month() -> None:
    station = np.full(DAY.size, np.nan)
    january = np.flatnonzero(month_of(DAY) == 0)
    station[january[:FEWEST_COMMON]] = LOW[january[:FEWEST_COMMON]] - 2
    station[np.flatnonzero(month_of(DAY) == 1)[: FEWEST_COMMON - 1]] = 0.0
    steps = monthly_steps(DAY, LOW, station)
    assert steps[0] == pytest.approx(-2)
    assert np.isnan(steps[1:]).all()
    assert moved(DAY, LOW, steps)[january[-1]] == pytest.approx(LOW[january[-1]] - 2)
    assert moved(DAY, LOW, steps)[40] == LOW[40]


def test_the_station_leads_though_the_cell_is_longer_and_the_cell_is_moved_to_it(tmp_path: Path) -> None:
    paths = [cell_file(tmp_path, LOW + 1.5), station_file(tmp_path)]
    for order in (paths, paths[::-1]):
        record = read_weather(order)
        assert record.from_cell is not None
        assert record.from_cell[:2000].all()
        assert not record.from_cell[2000:].any()
        np.testing.assert_allclose(record.tmin, LOW, atol=0.02)
        told = [str(notice) for notice in record.notices if "month by month" in notice.says]
        assert len(told) == 2
        assert "-1.5 °C" in told[0]


def test_beside_ten_measured_years_a_cell_adds_none_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(joining, "ENOUGH_YEARS", 4)
    record = read_weather([cell_file(tmp_path, LOW), station_file(tmp_path)])
    assert record.day[0] == DAY[2000]
    assert not np.isnan(record.tmin).any()
    assert any("were left out" in notice.says for notice in record.notices)


def test_a_station_read_in_the_morning_is_seen() -> None:
    rng = np.random.default_rng(3)
    cell = WAVE + rng.normal(0, 3, DAY.size)
    station = np.roll(cell, 1) + rng.normal(0, 1, DAY.size)
    assert day_shift(DAY, cell, station) == 1
    assert day_shift(DAY, cell, cell + rng.normal(0, 1, DAY.size)) == 0
    assert day_shift(DAY[:80], cell[:80], station[:80]) == 0, "too few days"


def test_a_cell_alone_says_so(tmp_path: Path) -> None:
    record = read_weather([cell_file(tmp_path, LOW)])
    assert record.from_cell is not None
    assert spring_share(record.day, record.from_cell) == 1.0
    assert read_weather([station_file(tmp_path, 0, 3000)]).from_cell is None


def test_clear_mornings_measure_and_cloudy_ones_do_not() -> None:
    clear = np.flatnonzero(clear_nights(DAY, LOW, HIGH) & np.isin(month_of(DAY), (3, 4)))
    cloudy = np.flatnonzero(~clear_nights(DAY, LOW, HIGH) & np.isin(month_of(DAY), (3, 4)))
    at = np.concatenate([clear[:20], cloudy[:10]])
    lowest = np.concatenate([LOW[clear[:20]] - 3.0, LOW[cloudy[:10]]])
    steps = steps_of(OwnMornings(DAY[at], lowest, (None,) * at.size), DAY, LOW, HIGH)
    assert steps is not None
    assert (steps.clear, steps.other) == (20, 10)
    assert steps.colder == pytest.approx(3.0 * 20 / 23)
    assert steps.colder_other == pytest.approx(0.0)
    assert steps_of(OwnMornings(DAY[clear[:9]], LOW[clear[:9]], (True,) * 9), DAY, LOW, HIGH) is None


def test_months_stand_apart_and_are_drawn_together() -> None:
    clear = clear_nights(DAY, LOW, HIGH)
    april, may = (np.flatnonzero(clear & (month_of(DAY) == month))[:12] for month in (3, 4))
    at = np.concatenate([april, may])
    lowest = LOW[at] - np.repeat([4.0, 2.0], 12)
    steps = steps_of(OwnMornings(DAY[at], lowest, (True,) * 24), DAY, LOW, HIGH)
    assert steps is not None
    assert steps.month[3] == pytest.approx(-1.0 * 12 / 20)
    assert steps.month[4] == pytest.approx(1.0 * 12 / 20)
    found = by_month(steps, DAY, LOW, HIGH)
    assert found[april[0]] == pytest.approx(LOW[april[0]] - 0.6)
    assert (found[~clear] == LOW[~clear]).all()
    assert (found <= HIGH).all()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("date,lowest\n2001-04-01,3\n", "lowest_c, lowest_f"),
        ("date,lowest_f\n4/1/2001,33\n", "line 2, date"),
        ("date,lowest_f\n2001-04-01,cold\n", "line 2, lowest_f"),
        ("date,lowest_f,sky\n2001-04-01,33,starry\n", "clear, cloudy or windy"),
        ("date,lowest_f\n2001-04-01,33\n2001-04-01,34\n", "twice"),
    ],
)
def test_a_wrong_line_of_mornings_is_told(text: str, says: str) -> None:
    with pytest.raises(Faults, match=says):
        read_mornings(text, "mornings.csv")


def test_mornings_are_read_in_either_unit() -> None:
    found = read_mornings("date,lowest_f,sky\n2001-04-01,32,clear\n2001-04-02,50,\n", "m")
    np.testing.assert_allclose(found.lowest, [0, 10], atol=1e-9)
    assert found.clear == (True, None)


def test_a_german_station_file_is_read_packed(tmp_path: Path) -> None:
    packed = Path(__file__).parent / "online" / "answers" / "tageswerte_KL_99999_akt.zip"
    reading = read_file(packed, packed.name)
    assert reading.columns["tmin"][:2].tolist() == [4.0, -0.1], "TNK, not TGK, the lowest above the ground"
    assert np.isnan(reading.columns["rain"][5]), "-999"
    (tmp_path / "other.zip").write_bytes(packed.read_bytes()[:400])
    with pytest.raises(Faults, match="archive"):
        read_file(tmp_path / "other.zip", "other.zip")


def test_a_file_is_named_in_the_plan_and_every_remark_stays() -> None:
    plan = "name: X\nweather:\n  files: [weather/daily.csv]       # mine\n  warming: 2 C\nfiles: [a]\n"
    assert with_weather_file(plan, "weather/new.csv") == plan.replace(
        "daily.csv]", "daily.csv, weather/new.csv]"
    )
    assert with_weather_file(plan, "weather/new.csv", frozenset({"weather/daily.csv"})) == plan.replace(
        "daily.csv", "new.csv"
    )
    assert with_weather_file(plan, "weather/daily.csv") == plan
    assert with_weather_file("weather:\n  files:\n    - a.csv\n", "b.csv") is None
