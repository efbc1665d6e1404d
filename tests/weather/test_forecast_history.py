"""Forecasts that newer ones replaced: what was known on a past day, and how good they were."""

import gzip
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from weather_support import invented_days, write_daily

from topwire.show.forecast_sheets import sheets
from topwire.show.sheet import printed
from topwire.tell.reader import Reader
from topwire.values.units import UnitSystem
from topwire.weather.forecast_history import EARLIER, TOLD, DayTold, days_told, earlier
from topwire.weather.forecast_kept import FOLDER, keep_history, keep_own, kept_forecast, told_so_far
from topwire.weather.forecast_score import days_came, scores
from topwire.weather.read import read_weather
from topwire.weather.record import Weather

PLACE = (40.1, -77.2)


def told_on(folder: Path, issued: date, lows: list[float]) -> None:
    """A forecast of the grower's own, issued at 5 in the morning, 10 of universal time."""
    lines = [f"# issued: {issued} 05:00", "date,tmin_c,tmax_c,rain_mm"]
    lines += [f"{issued + timedelta(days=ahead)},{low},{low + 12},0" for ahead, low in enumerate(lows)]
    path = folder / "mine.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    keep_own(folder, path, *PLACE, f"{issued}T10:05:00Z")


def low_ahead(folder: Path, moment: str, day: str) -> float:
    found = kept_forecast(folder, np.datetime64(moment))
    assert found is not None
    return float(found.tmin[found.day == np.datetime64(day)][0])


def test_a_past_day_sees_the_forecast_of_its_day_and_no_later_one(tmp_path: Path) -> None:
    for number, day in enumerate((date(2026, 5, 1), date(2026, 5, 2), date(2026, 5, 3))):
        told_on(tmp_path, day, [float(number)] * 5)
    assert len(earlier(tmp_path / FOLDER)) == 2
    for day, low in (("2026-05-01", 0.0), ("2026-05-02", 1.0), ("2026-05-03", 2.0)):
        assert low_ahead(tmp_path, f"{day}T23:00:00", day) == low
    assert low_ahead(tmp_path, "2026-05-02T09:00:00", "2026-05-03") == 0.0, "the second was not issued yet"
    assert kept_forecast(tmp_path, np.datetime64("2026-04-30T12:00:00")) is None


def test_the_bytes_are_kept_as_they_came_and_once(tmp_path: Path) -> None:
    told_on(tmp_path, date(2026, 5, 1), [1.0] * 3)
    body = (tmp_path / FOLDER / "own.csv").read_text(encoding="utf-8")
    keep_history(tmp_path)
    keep_history(tmp_path)
    (one,) = earlier(tmp_path / FOLDER)
    assert one.path.name == "2026-05-01T100000Z.utc-5.own.csv.gz"
    assert gzip.decompress(one.path.read_bytes()).decode() == body


def test_what_each_told_is_written_beside_them_and_made_again_when_it_is_torn(tmp_path: Path) -> None:
    told_on(tmp_path, date(2026, 5, 1), [1.0, 2.0])
    told_on(tmp_path, date(2026, 5, 2), [3.0, 4.0])
    told = told_so_far(tmp_path)
    assert [(one.day.day, one.ahead, one.tmin) for one in told] == [
        (1, 0, 1.0),
        (2, 1, 2.0),
        (2, 0, 3.0),
        (3, 1, 4.0),
    ]
    table = tmp_path / FOLDER / EARLIER / TOLD
    table.write_text(table.read_text(encoding="utf-8")[:-7] + "x,y\n", encoding="utf-8")
    assert [one.tmin for one in told_so_far(tmp_path)] == [one.tmin for one in told]
    (packed,) = (tmp_path / FOLDER / EARLIER).glob("*.gz")
    packed.write_bytes(packed.read_bytes()[:20])
    table.unlink()
    assert [one.ahead for one in told_so_far(tmp_path)] == [0, 1], "a torn file tells nothing, the others do"


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Weather:
    """Lows of 5 degrees, highs of 15, and in the last ten days lows of -1 and 3 mm of rain on every second."""
    days = invented_days("2024-03-01", "2026-05-11")
    known = read_weather([write_daily(tmp_path_factory.mktemp("record") / "daily.csv", *days)])
    low, rain = np.full(known.day.size, 5.0), np.zeros(known.day.size)
    low[-10:] = -1.0
    rain[-10::2] = 3.0
    return replace(known, tmin=low, tmax=np.full(known.day.size, 15.0), rain=rain)


def told(ahead: int, low: float, rain: float) -> list[DayTold]:
    days = [date(2026, 5, 1) + timedelta(days=number) for number in range(10)]
    return [
        DayTold(np.datetime64(day - timedelta(days=ahead), "s"), day, ahead, low, 14.0, rain, float("nan"))
        for day in days
    ]


def test_scores_by_days_ahead_beside_the_usual_of_the_season(record: Weather) -> None:
    """Told 1 degree, came -1: missed by 2, colder by 2, no frost told; the usual is 5 and misses by 6."""
    tomorrow, later = scores([*told(1, 1.0, 2.0), *told(3, -2.0, 0.0)], record)
    assert (tomorrow.ahead, tomorrow.days) == (1, 10)
    assert (tomorrow.low_missed, tomorrow.low_colder, tomorrow.low_plain) == pytest.approx((2.0, 2.0, 6.0))
    assert (tomorrow.high_missed, tomorrow.high_plain) == pytest.approx((1.0, 0.0))
    assert (tomorrow.frosts, tomorrow.frosts_told, later.frosts_told) == (10, 0, 10)
    assert (tomorrow.wet, tomorrow.wet_told, tomorrow.wet_false) == (5, 5, 0.5)
    assert later.wet_told == 0
    assert np.isnan(later.wet_false)


def test_a_gap_that_was_filled_is_nothing_that_came(record: Weather) -> None:
    filled = record.filled.copy()
    filled[-7:] = True
    assert scores(told(1, 1.0, 0.0), replace(record, filled=filled)) == ()
    assert len(days_came(told(1, 1.0, 0.0), replace(record, filled=filled), last=14)) == 3


def test_the_table_says_what_was_told_and_what_came(record: Weather) -> None:
    made = sheets([*told(1, 1.0, 2.0), *told(3, -2.0, 0.0)], record, last=4)
    days, score = (printed(sheet, Reader(UnitSystem.US)) for sheet in made)
    assert len(days.rows) == 4
    assert "0 of 10 told" in [str(cell) for row in score.rows for cell in row]


def test_a_day_told_before_it_begins_is_a_whole_day(tmp_path: Path) -> None:
    told_on(tmp_path, date(2026, 5, 1), [1.0, 2.0])
    found = kept_forecast(tmp_path)
    assert found is not None
    assert [one.ahead for one in days_told(found)] == [0, 1]
