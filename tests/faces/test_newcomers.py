"""Plans as newcomers write them: four trees at a wall in Germany, with rain in the weather file and without; eight in
a town garden; three years of weather. (Half a hectare for cider: tests/press.)

What stands in two places of book, pages, spreadsheet, files and findings has to be the same figure.
"""

import re
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from faces.two_places import Places, numbers, places_of

from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.ledger.findings import Spent
from topwire.show.garden_sheets import garden_trees, grown_hours
from topwire.show.garden_words import opening, outline
from topwire.show.row_picture import draw_rows
from topwire.tell.by_size import told_of
from topwire.tell.reader import Reader
from topwire.values.calendar import MONTHS
from topwire.values.fault import Faults

PLAN = """\
name: {name}
units: metric
place:
  latitude: 50.9
  longitude: 7.0
  elevation: 60 m
  exposure: sheltered
  gust: 35 m/s
  soil: {{texture: silt loam, depth: 1 m, fertility: fertile}}
ground:
  headland: 0 m
  margin: 0 m
  machine_width: 0.6 m
  blocks:
    - {{name: {block}, rectangle: {{length: {length}, width: 0.6 m}}, along_fence: true, fence: {{{fence}}}}}
kitchen:
  different_on_the_board: 1
  needs:
    - {{use: fresh, amount: 1.5 kg/week, from: 1 Aug, to: 31 Jan, weight: 2}}
    - {{use: pie, amount: 8 kg/season, from: 1 Sep, to: 30 Nov}}
taste: {{fewest_cultivars: 3, most_cultivars: 4, fewest_trees: 1, most_trees: 2, disease_resistance: some}}
trees: {{rootstock: M.9 NAKBT337, {trees}}}
years: {{planting: 2027, horizon: 12}}
trellis: {{wire_heights: [0.6 m, 1 m, 1.4 m, 1.8 m]{posts}}}
water: {{source: drinking water, flow: 0.8 m3/h, pressure: 300 kPa, distance: 8 m, hours_per_day: 4}}
nursery: {{skill: beginner, seasons: 2, trees: {get}}}
money: {{currency: EUR, wage: 0}}
"""
WALL = {
    "name": "Vier am Haus", "block": "Haus", "length": "12 m", "fence": "side: south, kind: wall, colour: pale",
    "trees": "training: espalier, tree_spacing: 3 m, total: 4", "posts": "", "get": "buy",
}  # fmt: skip
TOWN = {
    "name": "Town garden", "block": "Fence", "length": "8 m", "fence": "side: west, height: 1.9 m, kind: slatted",
    "trees": "training: oblique cordon, tree_spacing: 0.9 m, total: 8",
    "posts": ", fence_post: 9 cm, fence_post_spacing: 1.8 m", "get": "graft",
}  # fmt: skip
# Plan, years of weather, whether rain is among it.
GARDENS = {
    "four at a wall, no rain known": (WALL, 12, False),
    "four at a wall": (WALL, 12, True),
    "eight in a town garden": (TOWN, 12, True),
    "three years of weather": (TOWN | {"name": "Three years"}, 3, True),
}


def weather(years: int, *, rain: bool) -> str:
    """Invented, with the seasons of a mild place on the Rhine."""
    random = np.random.default_rng(7)
    lines, day, drift = ["date,tmin_c,tmax_c" + (",rain_mm" if rain else "")], date(2010, 1, 1), 0.0
    while day.year < 2010 + years:
        mean = 10.3 - 8.6 * np.cos(2 * np.pi * (day.timetuple().tm_yday - 20) / 365.25)
        drift = 0.75 * drift + random.normal(0, 2.2)
        half = max(4.2 + random.normal(0, 0.8), 1.0)
        wet = f",{random.exponential(5.0) if random.random() < 0.42 else 0.0:.1f}" if rain else ""
        lines.append(f"{day},{mean + drift - half:.1f},{mean + drift + half:.1f}{wet}")
        day += timedelta(days=1)
    return "\n".join(lines) + "\n"


def folder_of(room: Path, which: str) -> Path:
    words, years, rain = GARDENS[which]
    (room / "weather").mkdir(parents=True)
    (room / "plan.yaml").write_text(PLAN.format(**words), encoding="utf-8")
    (room / "weather" / "daily.csv").write_text(weather(years, rain=rain), encoding="utf-8")
    return room


@pytest.fixture(scope="module", params=list(GARDENS))
def places(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Places]:
    room = folder_of(tmp_path_factory.mktemp("newcomer") / "garden", str(request.param))
    with places_of(plan_orchard(read_inputs(room)), room) as found:
        yield found


@pytest.fixture
def orchard(places: Places) -> Orchard:
    return places.orchard


def said(orchard: Orchard) -> dict[str, str]:
    return dict(outline(orchard, Reader(orchard.origin.units)))


def test_every_department_is_there_and_the_book_is_short(places: Places) -> None:
    assert not places.orchard.absent
    assert 5 <= len(places.book) <= 8


def test_the_trees_are_counted_alike_everywhere(orchard: Orchard, places: Places) -> None:
    assert orchard.nursery is not None
    trees, kinds = len(garden_trees(orchard)), len({tree.of.cultivar for tree in garden_trees(orchard)})
    assert numbers(opening(orchard))[:2] == [trees, kinds]
    assert f"{trees} apple trees of {kinds} kinds" in places.book[0]
    assert (
        len(places.sheet("layout.each_tree"))
        == len(places.sheet("layout.trees"))
        == len(places.trees)
        == trees
    )
    assert sum(line.trees for line in orchard.nursery.lines) == trees
    assert sum(at >= 0 for at in places.data["layout"]["cultivar"]) == trees
    assert sum(row[1] for row in places.sheet("choice.cultivars")) == trees
    assert [row["cultivar"] for row in places.trees] == [row[2] for row in places.sheet("layout.each_tree")]


def test_money_stands_alike_everywhere(orchard: Orchard, places: Places) -> None:
    assert orchard.ledger is not None
    assert orchard.nursery is not None
    total = orchard.ledger.cost_to_establish
    told = f"{total:,.0f}"
    assert numbers(said(orchard)["What it costs"])[0] == round(total)
    assert sum(row[3] for row in places.sheet("ledger.shopping")[:-1]) == pytest.approx(total, abs=1.0)
    for sheet in ("ledger.shopping", "ledger.establishment"):
        assert places.sheet(sheet)[-1][-1] == pytest.approx(total)
    assert sum(places.data["ledger"]["establishment"].values()) == pytest.approx(total)
    assert f"{told} EUR until the trees stand" in " ".join(places.book[0].split())
    assert f"together {told}" in places.pages["ledger"]
    chosen = [row for row in places.sheets.get("nursery ways", ()) if row[-1] == "yes"]
    assert [row[7] for row in chosen] in ([], [pytest.approx(orchard.nursery.cost)])
    assert orchard.ledger.establishment[Spent.TREES] == pytest.approx(orchard.nursery.cost)


def test_hours_stand_alike_everywhere(orchard: Orchard, places: Places) -> None:
    assert orchard.ledger is not None
    hours = round(grown_hours(orchard.ledger))
    assert numbers(said(orchard)["Your time"])[-1] == hours
    assert numbers(places.tables["ledger.months"].rests_on)[0] == hours
    assert sum(row[2] for row in places.sheet("ledger.months")) == pytest.approx(hours, abs=0.51)
    assert f"{hours} hours in all" in places.pages["ledger"]
    assert f"then {hours} hours a year" in " ".join(places.book[0].split())
    assert hours >= 5  # nobody tends a garden in two hours a year


def test_what_is_eaten_stands_alike_everywhere(orchard: Orchard, places: Places) -> None:
    assert orchard.choice is not None
    wanted, served = numbers(said(orchard)["What it gives"])[:2]
    rows = places.sheet("choice.plates")
    assert sum(row[2] for row in rows) == pytest.approx(wanted, abs=0.51)
    assert sum(row[3] for row in rows) == pytest.approx(served, abs=0.51)
    needs = places.data["choice"]["needs"]
    assert sum(sum(need["wanted"]) for need in needs) == pytest.approx(wanted, abs=0.51)
    assert sum(np.mean([sum(year) for year in need["served"]]) for need in needs) == pytest.approx(
        served, abs=0.51
    )


def test_a_crop_stands_alike_everywhere(orchard: Orchard, places: Places) -> None:
    """The row's trees together are what grown trees bear, and no more is eaten than that."""
    first, _, bears = (*numbers(said(orchard)["First fruit"])[:2], numbers(said(orchard)["First fruit"])[-1])
    trees = sum(row[-1] for row in places.sheet("layout.each_tree"))
    middle = next(
        at for at, name in enumerate(places.tables["years.crop"].columns) if name.startswith("middle")
    )
    by_leaf = [row[middle] for row in places.sheet("years.crop")]
    assert bears == pytest.approx(max(by_leaf), rel=0.03, abs=0.6)
    assert trees == pytest.approx(max(by_leaf), rel=0.1)
    assert first == orchard.origin.planting_year + 1 + next(at for at, kg in enumerate(by_leaf) if kg > 0)
    assert numbers(said(orchard)["What it gives"])[1] <= 1.05 * trees


def test_dates_stand_alike_everywhere(orchard: Orchard, places: Places) -> None:
    """First picks: picture, table of trees, table of kinds; nothing is eaten before it is picked."""
    pictured = re.findall(r"from (\d+ \w{3})<", draw_rows(orchard, system=orchard.origin.units)[0][1])
    of_kind = {row[0]: row[4] for row in places.sheet("choice.cultivars")}
    for drawn, row in zip(pictured, places.sheet("layout.each_tree"), strict=True):
        assert row[5] == drawn
        assert of_kind[row[2]].startswith(drawn)
        assert f"{row[2]}" in " ".join(places.book[1].split())
        eaten = re.match(r"\d+ \w{3}", row[6] or "")
        assert eaten is None or day_of(eaten[0]) >= day_of(drawn) or day_of(eaten[0]) < 100


def day_of(words: str) -> int:
    number, month = words.split()
    months = list(MONTHS)
    return 31 * months.index(month) + int(number)


def test_every_page_shows_the_sheets_figures(places: Places) -> None:
    """Whatever stands in a worksheet of a garden stands on its department's page, digit by digit."""
    for name, table in places.tables.items():
        page = places.pages.get(name.split(".")[0], "")
        if not page or len(table.rows) > 40:
            continue
        for row in table.rows[:12]:
            words = " ".join(" ".join(str(cell) for cell in row if cell not in ("", None)).split())
            assert words in page, (name, words)


def test_metric_and_euro_throughout(orchard: Orchard, places: Places) -> None:
    words = " ".join([*places.book, *places.pages.values()])
    assert not re.search(r"\d\s?(?:lb|ft|gal|°F|psi|mph)\b|USD|\bacres?\b|hectare", words)
    told = " ".join(notice.says for notice in told_of(orchard, orchard.all_notices()))
    assert "USD" not in told


def test_kinds_are_those_to_be_had_in_europe(orchard: Orchard) -> None:
    assert orchard.choice is not None
    assert not {line.name for line in orchard.choice.chosen} & {
        "Enterprise",
        "Freedom",
        "King David",
        "Winesap",
    }
    assert "choice.sold_here" in {getattr(notice, "code", "") for notice in orchard.all_notices()}


def test_the_warmth_of_a_wall_is_told_and_that_of_a_fence_is_not(orchard: Orchard) -> None:
    codes = {getattr(notice, "code", "") for notice in orchard.all_notices()}
    assert ("place.wall" in codes) == (orchard.origin.name == "Vier am Haus")


def test_a_year_in_ten_is_not_told_from_three(orchard: Orchard, places: Places) -> None:
    assert orchard.place is not None
    short = len(orchard.place.years) < 10
    assert short == (orchard.origin.name == "Three years")
    assert short == ("low year" not in places.tables["place.climate"].columns)
    assert short == ("in a dry year, L" not in places.tables["water.by_tree"].columns)
    if short:
        words = " ".join(" ".join([*places.book, *places.pages.values()]).split())
        told = re.findall(
            r".{40}(?:one year in ten|year in ten below|in a dry year|nine years of ten).{40}", words
        )
        assert [one for one in told if "too few to say what comes one year in ten" not in one] == []
        assert "worst fifth" not in words


def test_weather_without_rain_is_worked_out_and_said(
    orchard: Orchard, request: pytest.FixtureRequest
) -> None:
    codes = {getattr(notice, "code", "") for notice in orchard.all_notices()}
    assert ("water.no_rain" in codes) == ("no rain known" in request.node.callspec.id)


def test_the_support_gets_what_it_is_told_to_get(orchard: Orchard) -> None:
    """A wall bears by its eyes; a fence that does not bear has its cure on the bill."""
    assert orchard.trellis is not None
    fence = orchard.trellis.fences[0]
    items = {line.item for line in orchard.trellis.bill}
    assert fence.wall == (orchard.origin.name == "Vier am Haus")
    assert ("tension spring" in items) == ("springs" in fence.cure.value)
    assert fence.strut is None or fence.strut in items


def test_a_total_that_the_taste_forbids_is_refused(tmp_path: Path) -> None:
    room = folder_of(tmp_path / "garden", "eight in a town garden")
    plan = room / "plan.yaml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("total: 8", "total: 12"), encoding="utf-8")
    with pytest.raises(Faults, match="are 8 trees, but the total is 12"):
        read_inputs(room)
