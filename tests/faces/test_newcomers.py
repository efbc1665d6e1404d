"""Plans as newcomers write them: four trees at a wall in Germany, eight in a town garden with three years of weather.

What stands in two places of a garden's book, sheets and findings has to be the same figure.
"""

import io
import re
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from topwire.book.build import book_pdf
from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.ledger.findings import Spent
from topwire.show.garden_sheets import garden_trees, grown_hours
from topwire.show.garden_words import opening, outline
from topwire.show.table import Table
from topwire.show.tables import every_table
from topwire.tell.by_size import told_of
from topwire.tell.reader import Reader
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
GARDENS = {
    "four at a wall, no rain known": {
        "name": "Vier am Haus", "block": "Haus", "length": "12 m", "fence": "side: south, kind: wall, colour: pale",
        "trees": "training: espalier, tree_spacing: 3 m, total: 4", "posts": "", "get": "buy",
    },
    "eight in a town garden, three years": {
        "name": "Town garden", "block": "Fence", "length": "8 m", "fence": "side: west, height: 1.9 m, kind: slatted",
        "trees": "training: oblique cordon, tree_spacing: 0.9 m, total: 8",
        "posts": ", fence_post: 9 cm, fence_post_spacing: 1.8 m", "get": "graft",
    },
}  # fmt: skip


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
    first = which.startswith("four")
    (room / "weather").mkdir(parents=True)
    (room / "plan.yaml").write_text(PLAN.format(**GARDENS[which]), encoding="utf-8")
    years = weather(12, rain=False) if first else weather(3, rain=True)
    (room / "weather" / "daily.csv").write_text(years, encoding="utf-8")
    return room


@pytest.fixture(scope="module", params=list(GARDENS))
def orchard(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Orchard:
    room = folder_of(tmp_path_factory.mktemp("newcomer") / "garden", str(request.param))
    return plan_orchard(read_inputs(room))


@pytest.fixture(scope="module")
def tables(orchard: Orchard) -> dict[str, Table]:
    return {table.name: table for table in every_table(orchard)}


@pytest.fixture(scope="module")
def book(orchard: Orchard) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(book_pdf(orchard))).pages]


def said(orchard: Orchard) -> dict[str, str]:
    return dict(outline(orchard, Reader(orchard.origin.units)))


def numbers(words: str) -> list[float]:
    return [float(number.replace(",", "")) for number in re.findall(r"\d[\d,]*(?:\.\d+)?", words)]


def test_every_department_is_there_and_the_book_is_short(orchard: Orchard, book: list[str]) -> None:
    assert not orchard.absent
    assert 5 <= len(book) <= 8


def test_the_trees_are_counted_alike_everywhere(orchard: Orchard, tables: dict[str, Table]) -> None:
    assert orchard.nursery is not None
    trees = len(garden_trees(orchard))
    assert numbers(opening(orchard))[0] == trees
    assert len(tables["layout.each_tree"].rows) == trees
    assert sum(line.trees for line in orchard.nursery.lines) == trees


def test_money_stands_alike_everywhere(orchard: Orchard, tables: dict[str, Table]) -> None:
    assert orchard.ledger is not None
    assert orchard.nursery is not None
    total = float(tables["ledger.shopping"].rows[-1][3])
    assert numbers(said(orchard)["What it costs"])[0] == round(total)
    assert sum(orchard.ledger.establishment.values()) == pytest.approx(total)
    assert orchard.ledger.establishment[Spent.TREES] == pytest.approx(orchard.nursery.cost)


def test_hours_stand_alike_everywhere(orchard: Orchard, tables: dict[str, Table]) -> None:
    assert orchard.ledger is not None
    hours = round(grown_hours(orchard.ledger))
    assert numbers(said(orchard)["Your time"])[-1] == hours
    assert numbers(tables["ledger.months"].rests_on)[0] == hours
    assert sum(float(row[2]) for row in tables["ledger.months"].rows) == pytest.approx(hours, abs=1.0)
    assert hours >= 5  # nobody tends a garden in two hours a year


def test_what_is_eaten_stands_alike_everywhere(orchard: Orchard, tables: dict[str, Table]) -> None:
    wanted, served = numbers(said(orchard)["What it gives"])[:2]
    rows = tables["choice.plates"].rows
    assert sum(float(row[2]) for row in rows) == pytest.approx(wanted, abs=1.0)
    assert sum(float(row[3]) for row in rows) == pytest.approx(served, abs=1.0)


def test_metric_and_euro_throughout(orchard: Orchard, book: list[str]) -> None:
    words = " ".join(book)
    assert not re.search(r"\d\s?(?:lb|ft|gal|°F|psi|mph)\b|USD|acre|hectare", words)
    told = " ".join(notice.says for notice in told_of(orchard, orchard.all_notices()))
    assert "USD" not in told


def test_a_year_in_ten_is_not_told_from_two(orchard: Orchard, tables: dict[str, Table]) -> None:
    assert orchard.place is not None
    short = len(orchard.place.years) < 10
    assert short == ("low year" not in tables["place.climate"].columns)
    assert short == ("in a dry year, L" not in tables["water.by_tree"].columns)


def test_weather_without_rain_is_worked_out_and_said(orchard: Orchard) -> None:
    codes = {getattr(notice, "code", "") for notice in orchard.all_notices()}
    assert ("water.no_rain" in codes) == (orchard.origin.name == "Vier am Haus")


def test_the_support_gets_what_it_is_told_to_get(orchard: Orchard) -> None:
    """A wall bears by its eyes; a fence that does not bear has its cure on the bill."""
    assert orchard.trellis is not None
    fence = orchard.trellis.fences[0]
    items = {line.item for line in orchard.trellis.bill}
    assert fence.wall == (orchard.origin.name == "Vier am Haus")
    assert ("tension spring" in items) == ("springs" in fence.cure.value)
    assert fence.strut is None or fence.strut in items


def test_a_total_that_the_taste_forbids_is_refused(tmp_path: Path) -> None:
    room = folder_of(tmp_path / "garden", "eight in a town garden, three years")
    plan = room / "plan.yaml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("total: 8", "total: 12"), encoding="utf-8")
    with pytest.raises(Faults, match="are 8 trees, but the total is 12"):
        read_inputs(room)
