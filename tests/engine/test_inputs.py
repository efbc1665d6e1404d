"""The orchard's folder: what is wrong with its files and names is told together."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from engine import small

from topwire.engine.inputs import LARGEST_WEATHER, read_inputs
from topwire.engine.run import plan_orchard
from topwire.notices import Faults
from topwire.plan.starter import copy_example


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    copy_example("ridge-cider", tmp_path / "ridge")
    return tmp_path / "ridge"


def told(folder: Path) -> list[str]:
    with pytest.raises(Faults) as found:
        read_inputs(folder)
    return [str(notice) for notice in found.value.notices]


def edit(old: str, new: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        plan = folder / "plan.yaml"
        text = plan.read_text(encoding="utf-8")
        assert old in text
        plan.write_text(text.replace(old, new), encoding="utf-8")

    return change


def write(name: str, content: bytes) -> Callable[[Path], None]:
    return lambda folder: (folder / name).write_bytes(content) and None


def remove(name: str) -> Callable[[Path], None]:
    return lambda folder: (folder / name).unlink()


def huge(folder: Path) -> None:
    with (folder / "weather/daily.csv").open("r+b") as stream:
        stream.truncate(LARGEST_WEATHER + 1)


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (edit("Kingston Black, Golden", "Kingstone Black, Golden"), "Did you mean Kingston Black?"),
        (
            edit("Kingston Black, Golden", "yellow delicious, Golden"),
            "calls “yellow delicious” Golden Delicious",
        ),
        (edit("rootstock: G.935", "rootstock: G935"), "Did you mean G.935"),
        (
            edit("fewest_cultivars: 14\n  most_cultivars: 26", "fewest_cultivars: 1\n  most_cultivars: 1"),
            "at most 1 may",
        ),
        (edit("total: as the ground holds", "total: 50"), "need 70 trees, but the total is 50"),
        (edit("weather/daily.csv", "weather/dayly.csv"), "there is no weather file “weather/dayly.csv”"),
        (edit("outline: lower.geojson", "outline: upper.geojson"), "there is no file “upper.geojson”"),
        (edit("standing: standing.csv", "standing: stand.csv"), "there is no file “stand.csv”"),
        (write("lower.geojson", b"{broken"), "“lower.geojson” is not JSON"),
        (write("lower.geojson", b"\xff\xfe\x00"), "is not a text file"),
        (write("standing.csv", b"cultivar\nGala\n"), "columns are missing: rootstock"),
        (write("standing.csv", b"\xff\xfe\x00"), "is not a text file"),
        (remove("plan.yaml"), "there is no such file"),
        (huge, "weather files up to 100 MB are read"),
    ],
)
def test_says_what_is_wrong(folder: Path, spoil: Callable[[Path], None], says: str) -> None:
    spoil(folder)
    lines = told(folder)
    assert any(says in line for line in lines), lines


def test_tells_all_of_them_together(folder: Path) -> None:
    edit("Kingston Black, Golden", "Kingstone Black, Golden")(folder)
    edit("weather/daily.csv", "weather/dayly.csv")(folder)
    edit("standing: standing.csv", "standing: stand.csv")(folder)
    assert len(told(folder)) == 3


def test_a_good_folder_is_read(folder: Path) -> None:
    inputs = read_inputs(folder)
    assert len(inputs.standing) == 20
    assert set(inputs.outlines) == {"lower.geojson"}
    assert inputs.weather_hash != inputs.catalogue_hash


def test_invented_years_stand_for_a_short_record(folder: Path) -> None:
    edit("  warming: 2 C", "  warming: 2 C\n  invented_years: 50")(folder)
    weather = read_inputs(folder).weather
    assert weather.day.size >= 50 * 365
    assert any("were invented" in notice.says for notice in weather.notices)


def test_a_scenario_from_files_stands_beside_the_plain_warming(folder: Path) -> None:
    lines = (folder / "weather/daily.csv").read_text(encoding="utf-8").splitlines()
    warmer = [lines[0]]
    for line in lines[1:]:
        station, day, low, high, rain = line.split(",")
        low, high = (f"{float(value) + 3:.1f}" if value else "" for value in (low, high))
        warmer.append(",".join((station, day, low, high, rain)))
    (folder / "weather/later.csv").write_text("\n".join(warmer) + "\n", encoding="utf-8")
    scenario = (
        "  warming: 2 C\n  scenarios:\n"
        "    - {name: late century, today: [weather/daily.csv], later: [weather/later.csv]}"
    )
    edit("  warming: 2 C", scenario)(folder)
    inputs = read_inputs(folder)
    (change,) = inputs.changes
    assert change.tmin == pytest.approx([3.0] * 12, abs=0.02)
    place = plan_orchard(inputs, until="place").place
    assert place is not None
    (late,) = [climate for climate in place.warmer if climate.label == "late century"]
    plain = next(climate for climate in place.warmer if climate.step == 2.0)
    assert late.step == pytest.approx(3.0, abs=0.02)
    assert np.nanmedian(late.full_bloom) < np.nanmedian(plain.full_bloom)


def test_a_scenario_file_that_is_not_there_is_told(folder: Path) -> None:
    edit("  warming: 2 C", "  warming: 2 C\n  scenarios: [{name: x, today: [a.csv], later: [b.csv]}]")(folder)
    assert sum("there is no weather file" in line for line in told(folder)) == 2


def test_what_was_planted_wins_over_the_list_of_the_plan(tmp_path: Path) -> None:
    folder = tmp_path / "yard"
    small.make(folder)
    plan = folder / "plan.yaml"
    stated = "trees: {rootstock: G.41, standing: list.csv,"
    plan.write_text(
        plan.read_text(encoding="utf-8").replace("trees: {rootstock: G.41,", stated), encoding="utf-8"
    )
    head = "cultivar,rootstock,block,row,place,year\n"
    (folder / "list.csv").write_text(head + "Gala,G.41,Yard,1,1,2019\nGala,G.41,Yard,1,2,2019\n")
    (folder / "planted.csv").write_text(head + "GoldRush,G.41,Yard,1,2,2024\n,,Yard,1,3,\n")
    found = {(tree.row, tree.place): tree.cultivar for tree in read_inputs(folder).standing}
    assert found == {(1, 1): "Gala", (1, 2): "GoldRush"}
