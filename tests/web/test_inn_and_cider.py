"""What an inn and a cider maker come to on the pages: few trees asked for on wide ground, a week of harvest, a pick,
its crate in the cellar, what is sold and served of it. None of it needs a browser's script, and none is used.
"""

import re
import shutil
from collections.abc import Iterator
from datetime import date, timedelta
from html import unescape
from pathlib import Path

import pytest
from web.desk import Browser, browsing
from web.test_begin import WHERE, send_file, weather

from topwire.engine.recall import recall
from topwire.season.answer import week_of
from topwire.season.kept import open_folder
from topwire.season.records import seen_by
from topwire.tell.reader import Reader
from topwire.values.units import Kind, UnitSystem
from topwire.web.phone.offers import crate_says, crates

PLACE_NAMED = re.compile(r"(\d+)(?: to (\d+))?")


@pytest.fixture
def yard(planned: Path, tmp_path: Path) -> Path:
    return shutil.copytree(planned, tmp_path / "inn")


@pytest.fixture
def inn(yard: Path) -> Iterator[Browser]:
    with browsing(yard) as found:
        yield found


def words(desk: Browser, path: str) -> str:
    """A page's words, without its marks."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", desk.get(path).text)).split())


def test_what_is_sold_and_served_is_gone_from_the_cellar(inn: Browser, yard: Path) -> None:
    orchard = recall(yard)
    assert orchard is not None
    assert orchard.layout is not None
    name = orchard.layout.cultivars[0]
    assert "No fruit in the cellar is written down" in words(inn, "/cellar")
    assert "served to the end" not in words(inn, "/cellar"), "no table of nothing"
    for note in (
        f"picked 60 kg {name} into crate 1",
        "put crate 1 in the cellar",
        f"sold 10 kg {name} for 30",
        f"served 24 apple pie with 8 kg {name}",
    ):
        assert inn.fill("/records/note", {"note": note}).status_code == 200, note
    found = words(inn, "/cellar")
    assert re.search(rf"{re.escape(name)} crate 1 table cellar 42\b", found), found[:900]


def test_nobody_is_sent_to_unripe_fruit_nor_to_trees_between(planned: Path) -> None:
    """Week by week through a harvest: a first pick is near, and every tree named is one of the cultivar's own."""
    orchard = recall(planned)
    assert orchard is not None
    assert orchard.layout is not None
    own = {
        (run.cultivar, f"{run.block} {run.row}", tree)
        for run in orchard.layout.runs
        for tree in range(run.first, run.last + 1)
    }
    opened, picked = open_folder(planned), 0
    for week in range(12):
        day = date(orchard.origin.planting_year + 6, 8, 1) + timedelta(weeks=week)
        for line in week_of(opened, day, seen_by(planned, day)).picks:
            assert line.first.middle <= day.timetuple().tm_yday + 7
            for stop in line.rows:
                row, _, trees = stop.partition(", ")
                for low, high in PLACE_NAMED.findall(trees):
                    stretch = range(int(low), int(high or low) + 1)
                    assert {(line.cultivar, row, tree) for tree in stretch} <= own, stop
                    picked += 1
    assert picked


def test_few_trees_on_wide_ground_lead_on_to_what_is_drunk(tmp_path: Path) -> None:
    """What was not asked yet (how many cultivars) never stands against what was."""
    (tmp_path / "new").mkdir()
    with browsing(tmp_path / "new") as desk:
        send_file(desk, "/begin/weather", "daily.csv", weather(tmp_path))
        desk.fill("/begin/where", WHERE)
        ground = {"length": "90 m", "width": "45 m", "trees": "120", "slope": "0 %", "slope_bearing": "180"}
        assert desk.fill("/begin/ground", ground).url.path == "/begin/guests"
        assert (
            desk.fill("/begin/guests", {"cider": "600", "cider_style": "still dry"}).url.path
            == "/begin/taste"
        )


@pytest.mark.parametrize(
    ("system", "one", "two"),
    [(UnitSystem.US, "40\u00a0lb", "80\u00a0lb"), (UnitSystem.METRIC, "18\u00a0kg", "36\u00a0kg")],
)
def test_two_crates_are_twice_the_weight_told_of_one(system: UnitSystem, one: str, two: str) -> None:
    reader = Reader(system)
    assert crate_says(reader) == one
    assert reader.text(2 * crates(reader).factor, Kind.MASS, 0) == two
