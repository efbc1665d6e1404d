"""Reading the places: rows and columns told, the template's own faults too."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from many.invented import PLAN, write_places

from topwire.cli import main
from topwire.many.kept import ORCHARDS, KeptAnswers, named
from topwire.many.listed import ListedPlace, read_places
from topwire.many.run import ManyWanted, to_do
from topwire.many.template import ReadTemplate, read_template
from topwire.many.work import do
from topwire.values.fault import Faults


def table(folder: Path, text: str) -> Path:
    path = folder / "places.csv"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("name,latitude", "no column “id”"),
        ("id,latitude,latitude", "stands twice"),
        ("id,place.elevatio", "Did you mean “place.elevation”?"),
        ("id,gust", "Did you mean “place.gust”?"),
    ],
)
def test_a_wrong_header_is_told_before_anything_is_asked(tmp_path: Path, header: str, said: str) -> None:
    with pytest.raises(Faults, match="line 1") as found:
        read_places(table(tmp_path, f"{header}\nA,1,2\n"))
    assert said in str(found.value)


@pytest.mark.parametrize("option", ["--memory", "--serve-share", "--workers", "--choices"])
@pytest.mark.parametrize("value", ["nan", "inf", "0", "-1", "NaN"])
def test_numbers_that_cannot_be_are_refused(tmp_path: Path, option: str, value: str) -> None:
    path = table(tmp_path, "id,latitude\nA,40\n")
    done = CliRunner().invoke(main, ["many", str(path), "--out", str(tmp_path / "out"), option, value])
    assert done.exit_code == 2
    assert re.search(f"'{option}': .*(is not in the range|is not a number|is not a valid)", done.output)


def test_rows_that_are_no_places_are_told_and_the_others_stand(tmp_path: Path) -> None:
    listed = read_places(table(tmp_path, "id,latitude\nA,40\n,41\nA,42\nB\n\nC,43\n"))
    assert [place.id for place in listed.places] == ["A", "C"]
    assert [(one.line, one.id) for one in listed.wrong] == [(3, ""), (4, "A"), (5, "B")]
    assert "stands in line 2 too" in listed.wrong[1].reason


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        ((("place.latitude", "95"),), "places.csv, line 7, latitude"),
        ((("place.elevation", "high"),), "places.csv, line 7, elevation"),
        ((("place.elevation", "219,5 m"),), "places.csv, line 7, elevation: “219,5 m” has a comma"),
        ((("place.gust", "500 m/s"),), "places.csv, line 7, place.gust"),
        ((("trees.rootstock", "G.4l"),), "places.csv, line 7, trees.rootstock"),
        ((), "places.csv, line 7, latitude: this is missing"),
    ],
)
def test_a_cell_that_cannot_be_is_told_with_row_and_column(
    tmp_path: Path, settings: tuple[tuple[str, str], ...], said: str
) -> None:
    (tmp_path / "template.yaml").write_text(PLAN, encoding="utf-8")
    read = ReadTemplate(read_template(tmp_path / "template.yaml"), tmp_path)
    at = {"place.latitude": "40", "place.longitude": "-78", "place.elevation": "200 m"}
    mine = {**at, **dict(settings)} if settings else {}
    with pytest.raises(Faults) as found:
        read.plan_of(ListedPlace("A", 7, tuple(mine.items())), "places.csv")
    assert any(str(one).startswith(said) for one in found.value.notices), found.value


def test_a_setting_of_the_row_wins_over_the_template(tmp_path: Path) -> None:
    (tmp_path / "template.yaml").write_text(PLAN, encoding="utf-8")
    read = ReadTemplate(read_template(tmp_path / "template.yaml"), tmp_path)
    row = (("place.latitude", "40.5"), ("place.longitude", "-78"), ("place.elevation", "1000 ft"))
    plan = read.plan_of(ListedPlace("A", 2, (*row, ("trees.rootstock", "B.9"))), "places.csv")
    assert (plan.place.latitude, plan.place.elevation, plan.trees.rootstock) == (40.5, 304.8, "B.9")
    assert plan.place.gust == 38.0


@pytest.mark.parametrize("until", ["place", ""])
def test_a_missing_or_broken_weather_file_is_one_row(tmp_path: Path, until: str) -> None:
    """Its reason leads to the row and column that name the file, and no folder is made for it."""
    path = write_places(tmp_path, 3)
    (tmp_path / "stations/1.csv").write_text("date,tmin_c\n2001-01-01,cold\n", encoding="utf-8")
    (tmp_path / "stations/2.csv").unlink()
    wanted = ManyWanted(read_places(path), read_template(tmp_path / "template.yaml"), "", until, tmp_path)
    todo, _ = to_do(wanted, KeptAnswers(tmp_path))
    done = do(wanted.job(todo if until else todo[1:]))  # a whole plan of the sound one takes its time
    assert [id for id, *_ in done.answers] == ["Farm 0"][: len(until)]
    broken, missing = sorted(done.wrong, key=lambda one: one.line)
    assert broken.reason.startswith("places.csv, line 3, weather: stations/1.csv")
    assert missing.reason.startswith("places.csv, line 4, weather: stations/2.csv: there is no file")
    assert not any(one.ours for one in done.wrong)
    assert not (tmp_path / ORCHARDS).exists()


@pytest.mark.parametrize("until", ["place", ""])
def test_weather_without_a_whole_year_leads_to_the_row(tmp_path: Path, until: str) -> None:
    path = write_places(tmp_path, 1)
    station = tmp_path / "stations/0.csv"
    head, *days = station.read_text(encoding="utf-8").splitlines()
    station.write_text("\n".join([head, *days[100:500]]) + "\n", encoding="utf-8")
    wanted = ManyWanted(read_places(path), read_template(tmp_path / "template.yaml"), "", until, tmp_path)
    (wrong,) = do(wanted.job(to_do(wanted, KeptAnswers(tmp_path))[0])).wrong
    assert wrong.reason.startswith("places.csv, line 2, place: No year has daily temperatures")


def test_what_only_a_whole_plan_finds_wrong_leads_to_the_row(tmp_path: Path) -> None:
    path = write_places(tmp_path, 1)
    head, row = path.read_text(encoding="utf-8").splitlines()
    path.write_text(f"{head},trees.total\n{row},3\n", encoding="utf-8")
    (tmp_path / "template.yaml").write_text(PLAN, encoding="utf-8")
    wanted = ManyWanted(read_places(path), read_template(tmp_path / "template.yaml"), "", "", tmp_path)
    (wrong,) = do(wanted.job(to_do(wanted, KeptAnswers(tmp_path))[0])).wrong
    assert wrong.reason.startswith("places.csv, line 2, trees.total: 4 cultivars of at least 1 trees need 4")


def test_every_name_makes_a_file_of_its_own() -> None:
    names = ["a/b", "a b", "a_b", "..", "CON", "é", "x" * 80, "x" * 79]
    assert len({named(name) for name in names}) == len(names)
    assert all("/" not in file and "." not in file for _, file in map(named, names))
