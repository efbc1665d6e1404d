"""Mornings read off the orchard's own thermometer become the plan's colder_than_station."""

from pathlib import Path

import numpy as np
import pytest
from engine import small

from topwire.engine.inputs import read_inputs
from topwire.values.fault import Faults
from topwire.weather.mornings import clear_nights


def mornings(folder: Path, colder: float, count: int) -> None:
    record = read_inputs(folder).weather
    month = record.day.astype("datetime64[M]").astype(int) % 12
    clear = np.flatnonzero(clear_nights(record.day, record.tmin, record.tmax) & (month == 3))[:count]
    lines = [f"{record.day[at]},{record.tmin[at] - colder:.2f},clear" for at in clear]
    (folder / "weather" / "mornings.csv").write_text("date,lowest_c,sky\n" + "\n".join(lines) + "\n")
    plan = folder / "plan.yaml"
    plan.write_text(plan.read_text() + "weather: {mornings: weather/mornings.csv}\n")


def test_mornings_measure_how_much_colder_it_is(tmp_path: Path) -> None:
    folder = small.make(tmp_path / "yard")
    before = read_inputs(folder)
    mornings(folder, colder=2.0, count=17)
    found = read_inputs(folder)
    assert found.plan.place.colder_than_station == pytest.approx(2.0 * 17 / 20, abs=0.01)
    assert any("17 clear mornings" in notice.says for notice in found.notices)
    assert found.weather_hash != before.weather_hash


def test_few_mornings_are_told_and_not_used(tmp_path: Path) -> None:
    folder = small.make(tmp_path / "yard")
    mornings(folder, colder=2.0, count=5)
    found = read_inputs(folder)
    assert found.plan.place.colder_than_station == 0
    assert any("fewer than 10" in notice.says for notice in found.notices)


def test_one_thing_is_stated_in_one_way(tmp_path: Path) -> None:
    folder = small.make(tmp_path / "yard")
    mornings(folder, colder=2.0, count=17)
    plan = folder / "plan.yaml"
    plan.write_text(plan.read_text().replace("  exposure:", "  colder_than_station: 1 C\n  exposure:"))
    with pytest.raises(Faults, match=r"weather.mornings: and place.colder_than_station"):
        read_inputs(folder)


def test_a_file_of_mornings_that_is_not_there_is_told(tmp_path: Path) -> None:
    folder = small.make(tmp_path / "yard")
    plan = folder / "plan.yaml"
    plan.write_text(plan.read_text() + "weather: {mornings: weather/mornings.csv}\n")
    with pytest.raises(Faults, match="there is no file"):
        read_inputs(folder)
