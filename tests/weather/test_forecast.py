"""Forecasts: a kind of their own, made of a service's stretches of time, never of the record."""

import contextlib
import json
import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from topwire.values.fault import Faults
from topwire.weather.forecast import HoursAhead, hours_of_moments, hours_of_states, hours_of_sums
from topwire.weather.forecast_files import MET_NORWAY, NWS, read_forecast
from topwire.weather.forecast_kept import keep_own, kept_forecast
from topwire.weather.read import read_file

ANSWERS = Path(__file__).parent / "online" / "answers"
GRID = (ANSWERS / "gridpoint.json").read_text(encoding="utf-8")
POINT = (ANSWERS / "compact.json").read_text(encoding="utf-8")


def changed(text: str, *path: str | int, to: object) -> str:
    tree = json.loads(text)
    at = tree
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = to
    return json.dumps(tree)


def test_a_state_holds_in_every_hour_of_its_stretch_and_a_sum_is_parted() -> None:
    six = [HoursAhead(100, 6, 12.0)]
    assert hours_of_states(six, 99, 8)[1:7].tolist() == [12.0] * 6
    assert hours_of_sums(six, 99, 8)[1:7].tolist() == [2.0] * 6
    assert np.isnan(hours_of_sums(six, 99, 8)[[0, 7]]).all()


def test_moments_are_joined_over_six_hours_and_no_further() -> None:
    hours = hours_of_moments({0: 0.0, 6: 12.0, 13: 0.0}, 0, 14)
    assert hours[:7].tolist() == [0, 2, 4, 6, 8, 10, 12]
    assert np.isnan(hours[7:13]).all()
    assert hours[13] == 0


def test_the_grid_becomes_hours_and_days_of_standard_time() -> None:
    made = read_forecast(GRID, "grid")
    assert made.source == NWS
    assert "public domain" in made.credit
    assert made.issued == np.datetime64("2026-04-21T18:12:44")
    assert made.utc_offset == -5
    assert made.hour[0] == np.datetime64("2026-04-21T13")
    assert made.temperature[:4].tolist() == [11.1, 11.1, 10.0, 6.7]
    # the night's lowest belongs to the morning it ends in; the day's highest is told beyond the hours
    assert made.tmin.tolist() == [-1.1, -2.2]
    assert made.tmax.tolist() == [11.1, 14.4]
    assert made.wind[0] == pytest.approx(11.112 / 3.6 * 4.87 / np.log(67.8 * 10 - 5.42))
    assert not made.whole.any()


def test_the_point_forecast_becomes_hours() -> None:
    made = read_forecast(POINT, "point", 1)
    assert made.source == MET_NORWAY
    assert made.hour[0] == np.datetime64("2026-04-21T19")
    assert made.temperature[:2].tolist() == [9.0, 7.9]
    assert made.elevation == 180
    assert 0 < made.humidity[0] <= 100
    assert made.dew_point[0] < made.temperature[0]


@pytest.mark.parametrize(
    ("path", "to", "says"),
    [
        (("properties", "temperature", "uom"), "wmoUnit:K", "not known here"),
        (("properties", "temperature", "values"), [], "another shape"),
        (("properties", "temperature", "values", 0, "validTime"), "yesterday", "another shape"),
        (("properties", "temperature", "values", 0, "value"), 70.0, "unit"),
        (("properties", "updateTime"), "2026-04-21T18:12:44", "another shape"),
        (("properties", "relativeHumidity", "values", 0, "value"), 410, "above 100"),
    ],
)
def test_a_grid_of_another_shape_is_refused(path: tuple[str | int, ...], to: object, says: str) -> None:
    with pytest.raises(Faults, match=says):
        read_forecast(changed(GRID, *path, to=to), "grid")


def test_a_forecast_never_enters_the_record(tmp_path: Path) -> None:
    for name, text in (("grid.json", GRID), ("point.json", POINT)):
        (tmp_path / name).write_text(text, encoding="utf-8")
        with pytest.raises(Faults, match="forecast"):
            read_file(tmp_path / name, name)


def test_own_table_says_when_it_was_issued(tmp_path: Path) -> None:
    table = "# issued: 2026-05-01 06:00\ndate,tmin_c,tmax_c,rain_mm\n2026-05-01,-2,12,0\n2026-05-02,1,14,3\n"
    (tmp_path / "mine.csv").write_text(table, encoding="utf-8")
    keep_own(tmp_path, tmp_path / "mine.csv", 40.1, -77.2, "2026-05-01T12:00:00Z")
    kept = kept_forecast(tmp_path)
    assert kept is not None
    assert kept.issued == np.datetime64("2026-05-01T11:00:00")
    assert kept.tmin.tolist() == [-2, 1]
    assert kept.hour.size == 0
    assert kept.age(np.datetime64("2026-05-01T17:00:00")) == 6
    assert not kept.is_old(np.datetime64("2026-05-02T11:00:00"))
    assert kept.is_old(np.datetime64("2026-05-02T12:00:00"))
    assert kept_forecast(tmp_path, np.datetime64("2026-05-01T10:00:00")) is None, "not issued yet"
    assert kept_forecast(tmp_path, np.datetime64("2026-05-03T06:00:00")) is None, "over"
    assert kept_forecast(tmp_path, np.datetime64("2026-05-02T10:00:00")) is not None


def test_a_forecast_of_elsewhere_is_refused_and_the_kept_one_stays(tmp_path: Path) -> None:
    (tmp_path / "grid.json").write_text(GRID, encoding="utf-8")
    keep_own(tmp_path, tmp_path / "grid.json", 40.1, -77.2, "2026-04-21T19:00:00Z")
    (tmp_path / "point.json").write_text(POINT, encoding="utf-8")
    with pytest.raises(Faults, match="is for latitude 60"):
        keep_own(tmp_path, tmp_path / "point.json", 40.1, -77.2, "2026-04-21T19:00:00Z")
    kept = kept_forecast(tmp_path)
    assert kept is not None
    assert kept.source == NWS


@pytest.mark.parametrize("text", [GRID, POINT], ids=["grid", "point"])
def test_a_spoiled_answer_is_told_or_read_and_never_breaks(text: str) -> None:
    rng = random.Random(7)
    junk = [None, True, -1, 1e308, float("nan"), "x", "", [], {}, 10**40, "9999-12-31T23:00:00-14:00"]
    for _ in range(150):
        tree = json.loads(text)
        for _ in range(rng.randint(1, 3)):
            spoil(tree, rng, junk)
        with contextlib.suppress(Faults):
            read_forecast(json.dumps(tree), "spoiled")


def spoil(tree: Any, rng: random.Random, junk: list[object]) -> None:
    """One node of the tree, somewhere, made something else or taken away."""
    for _ in range(rng.randint(1, 7)):
        keys = list(tree) if isinstance(tree, dict) else list(range(len(tree)))
        if not keys:
            return
        key = rng.choice(keys)
        if not isinstance(tree[key], dict | list) or rng.random() < 0.2:
            tree[key] = rng.choice(junk)
            return
        tree = tree[key]
