"""The week, the cellar and the diary draw from the season's own sheets; a note is kept, shown and taken back."""

import re
from datetime import date
from html import unescape
from pathlib import Path

from engine import small
from web.desk import Browser, browsing

from topwire.records.store import open_store
from topwire.season.answer import week_of
from topwire.season.kept import open_folder
from topwire.season.records import seen_by
from topwire.show import season_sheets
from topwire.show.sheet import printed
from topwire.tell.reader import Reader


def test_the_diary_keeps_shows_and_takes_back(desk: Browser, yard: Path) -> None:
    assert "Nothing was noted yet" in desk.get("/records").text
    assert (
        desk.fill("/records/note", {"note": "12 May 2026: Gala full bloom (by the gate & <b>)"}).status_code
        == 200
    )
    page = desk.get("/records").text
    assert "full bloom" in page
    assert "(by the gate &amp; &lt;b&gt;)" in page
    (entry,) = re.findall(r'name="entry" value="([\w-]+)"', page)
    assert desk.fill("/records/undo", {"entry": entry}).status_code == 200
    assert not re.findall(r'name="entry" value="' + entry, desk.get("/records").text)
    with open_store(yard) as store:
        assert store.entries() == ()
    assert desk.fill("/records/undo", {"entry": "no-such"}).status_code == 409


def test_what_is_not_understood_is_said_and_not_kept(desk: Browser, yard: Path) -> None:
    answer = desk.fill("/records/note", {"note": "the moon was green"})
    assert answer.status_code == 422
    assert 'value="the moon was green"' in answer.text
    assert "Nothing was kept" in answer.text
    assert "Nothing was noted yet" in desk.get("/records").text


def test_a_crate_nobody_picked_into_is_kept_and_doubted(desk: Browser, yard: Path) -> None:
    answer = desk.fill("/records/note", {"note": "12 Oct 2025: used 5 kg Gala from crate 99"})
    assert answer.status_code == 200
    assert "No pick of Gala into crate 99 is noted" in answer.text
    assert "No pick" not in desk.get("/records").text
    with open_store(yard) as store:
        assert len(store.entries()) == 1


def test_a_day_that_is_none_is_told(desk: Browser) -> None:
    for path in (
        "/season?on=yesterday",
        "/cellar?on=2031-02-30",
        "/season.ics?on=0001-01-01",
        "/cellar?on=9999-12-31",
    ):
        assert desk.get(path).status_code == 404


def test_the_week_and_the_cellar_are_those_of_the_terminal(planned: Path) -> None:
    day = date(2031, 9, 10)
    found = week_of(open_folder(planned), day, seen_by(planned, day))
    reader = Reader(found.units)
    with browsing(planned) as desk:
        said = unescape(desk.get("/season?on=2031-09-10").text)
        for sheet in season_sheets.sheets(found, reader):
            table = printed(sheet, reader)
            assert table.title in said
            assert all(str(cell) in said for cell in table.rows[0])
        assert desk.get("/cellar?on=2031-11-10").status_code == 200
        assert desk.get("/season.ics?on=2031-09-10").text.startswith("BEGIN:VCALENDAR")
        assert desk.get("/season").status_code == 200


def test_without_a_plan_the_season_teaches(tmp_path: Path) -> None:
    with browsing(small.make(tmp_path / "bare", years=2)) as desk:
        for name in ("season", "cellar", "records"):
            assert "What will be here." in desk.get(f"/{name}").text
