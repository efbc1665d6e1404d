"""Every page shows what its sheets hold; an empty page teaches."""

import csv
import io
import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from engine import small
from faces import invented
from web.desk import Browser, browsing, furnished

from topwire.engine.recall import recall
from topwire.show.tables import NAMES, department_sheets, department_tables
from topwire.values.notice import warning
from topwire.web.contents import PAGES

DRAWN = [page.name for page in PAGES if page.departments]


@pytest.mark.parametrize("name", DRAWN)
def test_a_page_shows_every_sheet_of_its_departments(browser: Browser, name: str) -> None:
    said = unescape(browser.get(f"/{name}").text)
    (page,) = [page for page in PAGES if page.name == name]
    assert page.asks in said
    shown = 0
    for department in page.departments:
        for table in department_tables(invented.orchard(), department):
            if table.rows:
                assert table.title in said
                assert all(caption in said for caption in table.columns)
                assert str(table.rows[0][0]) in said
                shown += 1
    assert shown


def test_every_department_stands_on_a_page() -> None:
    on_pages = [name for page in PAGES for name in page.departments]
    assert sorted(on_pages) == sorted(NAMES)


def test_pictures_of_a_page_are_there_in_light_and_dark(browser: Browser) -> None:
    said = browser.get("/years").text
    names = set(re.findall(r"/picture/([\w-]+)\.svg", said))
    assert {"crop", "leader"} <= names
    light = browser.get("/picture/crop.svg")
    dark = browser.get("/picture/crop.svg?theme=dark")
    assert light.headers["content-type"] == "image/svg+xml"
    assert "<svg" in light.text
    assert light.text != dark.text
    assert 'fill="white"' not in dark.text


def test_units_are_the_readers_choice_and_compute_nothing(browser: Browser, folder: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in (folder / ".topwire").iterdir()}
    us = browser.get("/trellis").text
    browser.fill("/look", {"units": "metric"})
    metric = browser.get("/trellis").text
    assert us != metric
    assert ", ft" in us
    assert ", m<" in metric
    assert before == {path: path.stat().st_mtime_ns for path in (folder / ".topwire").iterdir()}


def test_a_sheet_comes_as_a_file_for_a_spreadsheet(browser: Browser) -> None:
    for sheet in department_sheets(invented.orchard(), "ledger"):
        answer = browser.get(f"/sheet/{sheet.name}.csv")
        rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
        assert len(rows) == len(sheet.rows) + 1
        assert browser.get(f"/sheet/{sheet.name}").status_code == 200
    assert browser.get("/sheet/no.such").status_code == 404


def test_every_sheet_of_a_planned_orchard_stands_alone_on_its_page(planned: Path) -> None:
    orchard = recall(planned)
    assert orchard is not None
    with browsing(planned) as browser:
        for page in PAGES:
            for sheet in (one for name in page.departments for one in department_sheets(orchard, name)):
                said = browser.get(f"/sheet/{sheet.name}")
                assert said.status_code == 200, sheet.name
                assert f"Back to {page.title}</a>" in said.text, sheet.name


def test_a_page_without_a_plan_teaches(tmp_path: Path) -> None:
    small.make(tmp_path / "bare", years=2)
    with browsing(tmp_path / "bare") as browser:
        for page in PAGES:
            said = unescape(browser.get(f"/{page.name}").text)
            assert page.will_hold in said
            assert page.from_what in said


def test_a_change_since_is_told_and_the_plan_still_shown(tmp_path: Path) -> None:
    folder = furnished(tmp_path / "orchard")
    with browsing(folder) as browser:
        assert "Something has changed" not in browser.get("/ledger").text
        plan = folder / "plan.yaml"
        plan.write_text(plan.read_text().replace("Small yard", "Small yard again"), encoding="utf-8")
        said = browser.get("/ledger").text
        assert "Something has changed" in said
        assert "Why these figures?" in said


def test_a_plan_of_another_version_can_be_looked_at(tmp_path: Path) -> None:
    """Its notices may want words that this version does not have: that is told, and the pages stand."""
    planned = invented.orchard()
    assert planned.trellis is not None
    other = (
        warning("trellis.said_by_another_version"),
        warning("trellis.frost_lifts"),
    )  # no words; facts missing
    planned = replace(planned, trellis=replace(planned.trellis, notices=other))
    with browsing(furnished(tmp_path, planned)) as browser:
        with (tmp_path / "plan.yaml").open("a", encoding="utf-8") as plan:
            plan.write("# a remark\n")
        for path in ("/", "/trellis"):
            found = browser.get(path)
            assert found.status_code == 200
            assert "Another version of topwire had something to say here." in found.text
            assert "Work it out anew" in found.text
