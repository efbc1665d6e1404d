"""A place among many has the very figures that it has alone."""

import shutil
from contextlib import closing
from dataclasses import fields, replace
from pathlib import Path

import netCDF4
import numpy as np
import pytest
from many.invented import PLAN, days, temperatures, write_places

from topwire.engine.department import Earlier
from topwire.engine.inputs import read_inputs
from topwire.engine.keys import question_key
from topwire.engine.recall import recall
from topwire.engine.run import plan_orchard
from topwire.engine.steps import PLACE
from topwire.engine.store import as_json
from topwire.many.findings import PlaceAnswer
from topwire.many.grid import WeatherGrid
from topwire.many.kept import ORCHARDS, KeptAnswers, read_answer
from topwire.many.listed import read_places
from topwire.many.run import ManyWanted, to_do
from topwire.many.template import read_template
from topwire.many.whole import made_folder
from topwire.many.work import do
from topwire.values.fault import Faults
from topwire.values.key import key_of


def wanted(folder: Path, table: Path, *, grid: str = "") -> ManyWanted:
    return ManyWanted(
        read_places(table), read_template(folder / "template.yaml"), grid, "place", folder / "run"
    )


def answers(asked: ManyWanted, size: int) -> dict[str, PlaceAnswer]:
    """All places, so many a task."""
    todo, _ = to_do(asked, KeptAnswers(asked.out))
    found = {}
    for start in range(0, len(todo), size):
        done = do(asked.job(todo[start : start + size]))
        assert not done.wrong
        found.update({id: read_answer(body) for id, _, body in done.answers})
    return found


def test_a_place_among_many_equals_the_plan_of_that_place_alone(tmp_path: Path) -> None:
    table = write_places(tmp_path, 6)
    asked = wanted(tmp_path, table)
    found = answers(asked, 4)
    assert asked.template is not None
    for place in asked.listed.places:
        folder = made_folder(place, asked.template, asked.listed.folder, tmp_path / "alone", None)
        inputs = read_inputs(folder)
        posed = PLACE.pose(inputs, Earlier({}))
        mine = found[place.id]
        assert mine.key == question_key("place", posed.question)
        alone = plan_orchard(inputs, until="place").place
        assert alone is not None
        assert mine.cultivars == alone.cultivars
        assert mine.unfit == alone.unfit
        for at, name in enumerate(alone.cultivars):
            for told, range_ in (
                (mine.bloom, alone.full_bloom_of(name)),
                (mine.ripens, alone.harvest_of(name)),
            ):
                wants = (np.nan,) * 3 if range_ is None else (range_.low, range_.middle, range_.high)
                np.testing.assert_array_equal(told[:, at], wants)
        np.testing.assert_array_equal(mine.chill_met, np.isfinite(alone.full_bloom).mean(axis=0))
        assert mine.frost_years == alone.frost_years_today


def test_how_places_are_grouped_changes_nothing(tmp_path: Path) -> None:
    asked = wanted(tmp_path, write_places(tmp_path, 7))
    one, many = answers(asked, 1), answers(asked, 7)
    assert {id: key_of(found) for id, found in one.items()} == {
        id: key_of(found) for id, found in many.items()
    }


def write_grid(path: Path, cells: int) -> None:
    with netCDF4.Dataset(str(path), "w") as file:
        file.createDimension("time", days().size)
        file.createDimension("lat", cells)
        file.createDimension("lon", 1)
        time = file.createVariable("time", "i4", ("time",))
        time.units = "days since 2014-10-01"
        time[:] = np.arange(days().size)
        file.createVariable("lat", "f8", ("lat",))[:] = 39.0 + 0.1 * np.arange(cells)
        file.createVariable("lon", "f8", ("lon",))[:] = [282.0]  # degrees east all round: 78 west
        for name, at, unit, shift in (
            ("tasmin", 0, "K", 273.15),
            ("tasmax", 1, "K", 273.15),
            ("pr", 2, "mm", 0.0),
        ):
            variable = file.createVariable(name, "f8", ("time", "lat", "lon"))
            variable.units = unit
            for cell in range(cells):
                variable[:, cell, 0] = temperatures(cell)[at] + shift


def test_a_cell_gives_what_a_file_of_the_same_days_gives(tmp_path: Path) -> None:
    write_grid(tmp_path / "grid.nc", 3)
    rows = "Near,39.12,-78,200 m,\nNamed,39,-78,200 m,2;0\n"
    table = tmp_path / "places.csv"
    table.write_text("id,latitude,longitude,elevation,cell\n" + rows, encoding="utf-8")
    (tmp_path / "template.yaml").write_text(PLAN, encoding="utf-8")
    asked = wanted(tmp_path, table, grid=str(tmp_path / "grid.nc"))
    found = answers(asked, 2)
    with closing(WeatherGrid(tmp_path / "grid.nc")) as grid:
        assert grid.nearest(39.12, -78.0, "here") == (1, 0)
        readings = {cell: grid.reading(cell) for cell in ((1, 0), (2, 0))}
    np.testing.assert_allclose(readings[1, 0].columns["tmin"], temperatures(1)[0], atol=1e-9)
    assert asked.template is not None
    for place, cell in zip(asked.listed.places, ((1, 0), (2, 0)), strict=True):
        from topwire.weather.read import record_of

        record = record_of(readings[cell])
        folder = made_folder(place, asked.template, asked.listed.folder, tmp_path / "alone", record)
        alone = read_inputs(folder)
        assert alone.weather.from_cell is not None, "a cell's days are known as such from a file too"
        mine = found[place.id]
        assert mine.cell_nights == 1.0
        assert mine.key == question_key("place", PLACE.pose(alone, Earlier({})).question)


@pytest.mark.parametrize(("cell", "said"), [("9;0", "beyond"), ("x", "no cell"), ("1", "row;column")])
def test_a_cell_that_is_none_is_told(tmp_path: Path, cell: str, said: str) -> None:
    write_grid(tmp_path / "grid.nc", 2)
    with closing(WeatherGrid(tmp_path / "grid.nc")) as grid, pytest.raises(Faults, match=said):
        grid.stated(cell, "places.csv, line 2")


def test_a_place_beyond_the_grid_and_a_file_that_is_no_grid_are_told(tmp_path: Path) -> None:
    write_grid(tmp_path / "grid.nc", 2)
    with closing(WeatherGrid(tmp_path / "grid.nc")) as grid, pytest.raises(Faults, match="away"):
        grid.nearest(50.0, -78.0, "places.csv, line 2")
    (tmp_path / "none.nc").write_text("no grid", encoding="utf-8")
    with pytest.raises(Faults, match="NetCDF"):
        WeatherGrid(tmp_path / "none.nc")


def test_kept_answers_read_back_number_for_number(tmp_path: Path) -> None:
    asked = wanted(tmp_path, write_places(tmp_path, 1))
    (found,) = answers(asked, 1).values()
    kept = KeptAnswers(tmp_path / "kept")
    from topwire.many.kept import written

    kept.keep("Farm 0", "state", written(found))
    again = read_answer(kept.body("Farm 0"))
    assert key_of(again) == key_of(found)
    assert kept.state("Farm 0") == "state"
    assert {field.name for field in fields(again)} == {field.name for field in fields(found)}
    with pytest.raises(ValueError, match=r".+"):
        read_answer(kept.body("Farm 0")[:-40])


def test_a_changed_row_weather_or_plan_asks_anew_and_nothing_else(tmp_path: Path) -> None:
    asked = wanted(tmp_path, write_places(tmp_path, 3))
    kept = KeptAnswers(asked.out)
    for place, state in to_do(asked, kept)[0]:
        kept.keep(place.id, state, b"")
    assert to_do(asked, kept) == ([], 3)
    moved = replace(asked.listed.places[1], settings=(("place.latitude", "41"),))
    places = (asked.listed.places[0], moved, asked.listed.places[2])
    other = replace(asked, listed=replace(asked.listed, places=places))
    assert [place.id for place, _ in to_do(other, kept)[0]] == [moved.id]
    with (tmp_path / "stations/2.csv").open("a", encoding="utf-8") as stream:
        stream.write("\n")
    assert [place.id for place, _ in to_do(asked, kept)[0]] == ["Farm 2"]


def test_a_whole_orchard_among_many_equals_a_single_run(tmp_path: Path) -> None:
    """Every department of it; `topwire many` plans each row in a folder of its own."""
    asked = replace(wanted(tmp_path, write_places(tmp_path, 1)), until="")
    asked.out.mkdir()
    done = do(asked.job(to_do(asked, KeptAnswers(asked.out))[0]))
    assert not done.wrong
    (made,) = (asked.out / ORCHARDS).iterdir()
    alone = tmp_path / "alone"
    shutil.copytree(made, alone, ignore=shutil.ignore_patterns(".topwire"))
    single, among = plan_orchard(read_inputs(alone)), recall(made)
    assert among is not None
    for name, found in single.departments.items():
        assert as_json(found) == as_json(among.departments[name]), name
    planned = read_answer(done.answers[0][2]).planned
    assert planned is not None
    assert single.choice is not None
    assert planned.trees == sum(line.trees for line in single.choice.chosen) == 12
    assert sum(line.grafted for line in planned.lines) == 12
    not_weighed = read_answer(done.answers[0][2]).not_weighed
    assert not {line.cultivar for line in planned.lines} & set(not_weighed)


def test_what_a_plan_of_the_place_leaves_out_is_not_worth_propagating(tmp_path: Path) -> None:
    """By its taste in resistance, and by what is to be had where it lies."""
    asked = wanted(tmp_path, write_places(tmp_path, 2))
    assert "disease_resistance: strong" in PLAN
    here, there = asked.listed.places
    europe = replace(there, settings=(("place.latitude", "47"), ("place.longitude", "9"), there.settings[2]))
    asked = replace(asked, listed=replace(asked.listed, places=(here, europe)))
    found = answers(asked, 2)
    for place in found.values():
        assert {"Gala", "McIntosh", "Fuji"} <= set(place.not_weighed)
    assert set(found[europe.id].not_weighed) > set(found[here.id].not_weighed), "sold in America alone"
