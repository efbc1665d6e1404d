"""The orchard's folder: what is wrong with its files and names is told together."""

import json
import os
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from engine import small

import topwire
from topwire.engine.check import check_folder
from topwire.engine.inputs import LARGEST_WEATHER, gather, read_inputs
from topwire.engine.run import plan_orchard
from topwire.plan.starter import copy_example
from topwire.values.fault import Faults


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
            edit("Kingston Black, Golden", "Kingston Black, kingston black, Golden"),
            "“Kingston Black” and “kingston black” are names of one cultivar",
        ),
        (edit("rootstock: G.935", "rootstock: G935"), "Did you mean G.935"),
        (
            edit("fewest_cultivars: 14\n  most_cultivars: 26", "fewest_cultivars: 1\n  most_cultivars: 1"),
            "at most 1 may",
        ),
        (edit("total: as the ground holds", "total: 50"), "need 70 trees, but the total is 50"),
        (edit("weather/daily.csv", "weather/dayly.csv"), "there is no file “weather/dayly.csv”"),
        (edit("outline: lower.geojson", "outline: upper.geojson"), "there is no file “upper.geojson”"),
        (edit("standing: standing.csv", "standing: stand.csv"), "there is no file “stand.csv”"),
        (write("lower.geojson", b"{broken"), "“lower.geojson” is not JSON"),
        (write("lower.geojson", b"\xff\xfe\x00"), "is not a text file"),
        (write("standing.csv", b"cultivar\nGala\n"), "columns are missing: rootstock"),
        (write("standing.csv", b"\xff\xfe\x00"), "is not a text file"),
        (remove("plan.yaml"), "there is no such file"),
        (huge, "files up to 100 MB are read here"),
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


def test_true_for_a_number_is_told_once_and_leads_to_no_other_fault(folder: Path) -> None:
    plan = folder / "plan.yaml"
    text = plan.read_text(encoding="utf-8")
    plan.write_text(re.sub(r"(latitude|planting): [\d.]+", r"\1: true", text), encoding="utf-8")
    lines = told(folder)
    assert ["place.latitude" in lines[0], "years.planting" in lines[1]] == [True, True]
    assert len(lines) == 2


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
    assert sum("there is no file" in line for line in told(folder)) == 2


def fifo(name: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        (folder / name).unlink()
        os.mkfifo(folder / name)

    return change


def folder_of(name: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        (folder / name).unlink()
        (folder / name).mkdir()

    return change


@pytest.mark.parametrize("name", ["weather/daily.csv", "lower.geojson", "standing.csv", "plan.yaml"])
@pytest.mark.parametrize(("spoil", "says"), [(fifo, "a pipe or a device"), (folder_of, "is a folder")])
def test_only_plain_files_are_opened(
    folder: Path, name: str, spoil: Callable[[str], Callable[[Path], None]], says: str
) -> None:
    spoil(name)(folder)
    assert any(says in line for line in told(folder))


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("weather/daily.csv", "/dev/zero", "a pipe or a device"),
        ("outline: lower.geojson", 'outline: "a\\0b"', "a control character (U+0000)"),
        ("rootstock: ", "rootstock: M9 #", "Write one of: M.9 NAKBT337, M.9 Pajam 2, M.9 Nic 29."),
        ("  warming: 2 C", "  warming: 2 C\nwater: {emitter: nonsense}", "there is no emitter “nonsense”"),
    ],
)
def test_names_are_resolved(folder: Path, old: str, new: str, says: str) -> None:
    plan = folder / "plan.yaml"
    lines = plan.read_text(encoding="utf-8")
    if "water:" in new:
        lines = re.sub(r"(?m)^water:.*\n(?: .*\n)*", "", lines)
    assert old in lines
    plan.write_text(lines.replace(old, new), encoding="utf-8")
    assert any(says in line for line in told(folder)), told(folder)


@pytest.mark.parametrize("name", ["catalogue", "records"])
def test_a_file_where_a_folder_is_looked_for_is_told(folder: Path, name: str) -> None:
    (folder / name).write_text("x", encoding="utf-8")
    assert any(line.startswith(f"{name}: is a file, where a folder") for line in told(folder))


def test_a_longitude_without_its_sign_is_told(folder: Path) -> None:
    plan = folder / "plan.yaml"
    text = plan.read_text(encoding="utf-8")
    plan.write_text(re.sub(r"longitude: -", "longitude: ", text), encoding="utf-8")
    said = [str(notice) for notice in gather(folder).inputs.notices]  # type: ignore[union-attr]
    assert any("lies east of Greenwich" in line for line in said)
    plan.write_text(text, encoding="utf-8")
    assert not gather(folder).inputs.notices  # type: ignore[union-attr]


def test_every_group_is_told_at_once(folder: Path) -> None:
    """Plan, weather, tables, records, outlines and standing trees, each with a fault of its own."""
    edit("units: metric", "units: both")(folder)
    edit("Kingston Black, Golden", "Kingstone Black, Golden")(folder)
    (folder / "weather/daily.csv").write_text("date,tmin_c,tmax_c\n2019-05-03,1,x\n", encoding="utf-8")
    (folder / "catalogue").mkdir()
    (folder / "catalogue/posts.csv").write_text("name,length_m\nA,abc\n", encoding="utf-8")
    (folder / "records").mkdir()
    (folder / "records/bloom.csv").write_text("entry,cultivar,event,date\n1,Gala,x,y\n", encoding="utf-8")
    write("lower.geojson", b'{"type": "Polygon", "coordinates": [[]]}')(folder)
    lines = [str(notice) for notice in check_folder(folder).faults]
    wanted = ("units", "“x” is not a number", "posts.csv", "records/bloom.csv", "lower.geojson")
    for part in wanted:
        assert any(part in line for line in lines), (part, lines)


def test_ground_for_too_many_trees_is_told(folder: Path) -> None:
    plan = folder / "plan.yaml"
    text = plan.read_text(encoding="utf-8").replace(
        "outline: lower.geojson", "rectangle: {length: 2 km, width: 2 km}"
    )
    plan.write_text(text, encoding="utf-8")
    assert any("up to 30,000 are planned" in line for line in told(folder))


def test_check_surveys_the_ground(folder: Path) -> None:
    plan = folder / "plan.yaml"
    text = plan.read_text(encoding="utf-8").replace("outline: lower.geojson", "outline: sliver.geojson")
    plan.write_text(text, encoding="utf-8")
    sliver = {"type": "Polygon", "units": "metres", "coordinates": [[[0, 0], [90, 0], [90, 0.1], [0, 0.1]]]}
    (folder / "sliver.geojson").write_text(json.dumps(sliver), encoding="utf-8")
    assert read_inputs(folder)
    assert any("encloses no ground" in text for text in topwire.check(folder))


def test_a_good_folder_has_nothing_to_tell(folder: Path) -> None:
    assert check_folder(folder).faults == ()


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
