"""The week of a small planned orchard, as a grower asks for it: only what was known, in every form, on any day."""

import json
import re
import shutil
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from engine import small
from engine.shared import planned_yard
from icalendar import Calendar

from topwire.book.week import week_data
from topwire.cli.main import main
from topwire.engine.noted import noted as remember
from topwire.engine.noted import noted_orchard
from topwire.engine.recall import last_plan, orchard_of
from topwire.export.calendar_file import calendar
from topwire.export.week_calendar import week_calendar
from topwire.ledger.findings import JobKind
from topwire.protection.findings import Danger
from topwire.records.entries import (
    EntryKind,
    FruitPicked,
    SeenStage,
    StageSeen,
    TreeChanged,
    TreeEvent,
    WorkDone,
)
from topwire.records.store import open_store, undo
from topwire.records.words_left import NotUnderstood
from topwire.season.answer import week_of
from topwire.season.believed import DateLeftOut
from topwire.season.findings import JobState, SeasonStage, WeekFindings
from topwire.season.kept import open_folder
from topwire.season.outlook import outlook_on
from topwire.season.records import seen_by
from topwire.season.seen import Seen
from topwire.season.telling import left_out_notices
from topwire.show.season_sheets import threats
from topwire.tell.reader import Reader
from topwire.values.own_date import DateSeen, OwnDate

LEAF_SIX = 2034  # planted 2028
SHIFT = 16  # years by which the record stands again as the orchard's; leap years stay leap years


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = planned_yard(tmp_path_factory)
    daily = made / "weather" / "daily.csv"
    lines = daily.read_text(encoding="utf-8").splitlines(keepends=True)
    later = []
    for line in lines[1:]:
        station, day, rest = line.split(",", 2)
        later.append(f"{station},{int(day[:4]) + SHIFT}{day[4:]},{rest}")
    daily.write_text("".join([*lines, *later]), encoding="utf-8")
    return made


def week(folder: Path, day: date) -> WeekFindings:
    return week_of(open_folder(folder), day, seen_by(folder, day))


def noted(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 18, tzinfo=UTC)


def test_every_month_of_a_year_has_its_page(folder: Path) -> None:
    for month in range(1, 13):
        found = week(folder, date(LEAF_SIX, month, 10))
        assert found.stages
        assert len(found.ahead) == 4
        stages = {line.stage for line in found.stages}
        if month == 1:
            assert stages == {SeasonStage.DORMANT}
        if month == 12:
            assert stages == {SeasonStage.OVER}
        if month == 7:
            assert found.water is not None


def test_a_year_runs_through_its_stages_in_order(folder: Path) -> None:
    order = list(SeasonStage)
    last = 0
    name = week(folder, date(LEAF_SIX, 3, 1)).stages[0].cultivar
    for step in range(0, 300, 15):
        found = week(folder, date(LEAF_SIX, 1, 5) + timedelta(days=step))
        at = order.index(next(line.stage for line in found.stages if line.cultivar == name))
        assert at >= last
        last = at
    assert last == len(order) - 1


def test_weather_and_notes_of_later_days_change_nothing(folder: Path) -> None:
    day = date(LEAF_SIX, 4, 20)
    before = week(folder, day)
    name = before.stages[0].cultivar
    with open_store(folder) as store:
        store.append(
            [
                StageSeen(
                    day=day + timedelta(days=9),
                    noted=noted(day + timedelta(days=9)),
                    cultivar=name,
                    stage=SeenStage.FULL_BLOOM,
                )
            ]
        )
    assert week(folder, day) == before
    after = week(folder, day + timedelta(days=10))
    assert after.dates_seen == 1
    assert after.late != 0.0


def test_flowers_far_out_of_season_move_nothing_and_are_told(folder: Path, tmp_path: Path) -> None:
    yard = Path(shutil.copytree(folder, tmp_path / "yard"))
    (yard / "records.db").unlink(missing_ok=True)
    day = date(LEAF_SIX, 11, 28)
    before, (name, *_) = week(yard, day), [line.cultivar for line in week(yard, day).stages]
    seen = {"cultivar": name, "stage": SeenStage.FULL_BLOOM}
    with open_store(yard) as store:
        for slip in (date(LEAF_SIX, 7, 20), date(LEAF_SIX, 11, 27)):
            store.append([StageSeen(day=slip, noted=noted(slip), **seen)])  # type: ignore[arg-type]
    after = week(yard, day)
    assert (after.late, after.stages, after.dates_seen) == (before.late, before.stages, 0)
    shown = CliRunner().invoke(main, ["protect", str(yard), "--on", day.isoformat()]).output
    for when in ("20 Jul", "27 Nov"):
        assert f"Full bloom of {name} is noted for {when}, " in shown
    assert shown.count("left out, it moves nothing") == 2
    assert "open bloom" not in shown
    with open_store(yard) as store:  # and the right date beside a slip of the pen is not lost with it
        right = date(LEAF_SIX, 5, 2)
        store.append([StageSeen(day=right, noted=noted(right), **seen)])  # type: ignore[arg-type]
    assert week(yard, day).dates_seen == 1


def test_a_bloom_far_from_the_plans_is_asked_about_and_not_kept(folder: Path, tmp_path: Path) -> None:
    yard = Path(shutil.copytree(folder, tmp_path / "yard"))
    name = "GoldRush"
    (yard / "out").mkdir(exist_ok=True)
    place = {"cultivars": [name, "Gala"], "full_bloom": [[120.0, None], [126.0, None]]}
    (yard / "out" / "orchard.json").write_text(json.dumps({"place": place}), encoding="utf-8")
    orchard = noted_orchard(yard)
    with open_store(yard) as store:
        with pytest.raises(
            NotUnderstood, match=r"GoldRush is in full bloom about 3 May here, .* on 27 Nov"
        ) as no:
            remember(orchard, store, f"27 Nov 2024: {name} full bloom", today=date(2025, 1, 1))
        (instead,) = re.findall("“(.+)”", no.value.remedy)  # what is put in its place can be written
        (kept,) = remember(orchard, store, f"27 Nov 2024: {instead}", today=date(2025, 1, 1))
        assert (kept.KIND, kept.cultivar, kept.remark) == (EntryKind.WORK, name, "flowers in autumn")
        for kept in ("30 Jun 2024: GoldRush petal fall", "27 Nov 2024: Gala full bloom"):
            assert remember(orchard, store, kept, today=date(2025, 1, 1))
        place["full_bloom"] = [[15.0, None]]  # the year turns round: late December is near January
        (yard / "out" / "orchard.json").write_text(json.dumps({"place": place}), encoding="utf-8")
        assert remember(orchard, store, f"28 Dec 2024: {name} first bloom", today=date(2025, 1, 1))


def test_a_note_ticks_its_job_and_one_not_noted_is_late(folder: Path) -> None:
    day = date(LEAF_SIX, 6, 2)
    done = next(line for line in week(folder, day).jobs if line.state is JobState.NOW)
    with open_store(folder) as store:
        store.append([WorkDone(day=day, noted=noted(day), job=done.job.key)])
    states = {line.job.key: line.state for line in week(folder, day + timedelta(days=1)).jobs}
    assert states[done.job.key] is JobState.DONE


def test_fruit_picked_is_off_the_trees_and_in_the_cellar(folder: Path) -> None:
    day = date(LEAF_SIX, 9, 15)
    found = week(folder, day)
    pick = found.picks[0]
    with open_store(folder) as store:
        store.append(
            [
                FruitPicked(
                    day=day, noted=noted(day), cultivar=pick.cultivar, mass=pick.left / 2, lot="crate 1"
                )
            ]
        )
    after = week(folder, day + timedelta(days=1))
    left = {line.cultivar: line.left for line in after.picks}
    assert left.get(pick.cultivar, 0.0) < pick.left
    said = CliRunner().invoke(main, ["cellar", str(folder), "--on", "2034-09-16"])
    assert said.exit_code == 0
    assert "crate 1" in said.output
    assert "patulin" in said.output or "juice" not in said.output.lower()


def test_a_harvest_begins_on_the_first_pick_noted_and_has_the_hours_of_the_picking(
    folder: Path, tmp_path: Path
) -> None:
    copy = Path(shutil.copytree(folder, tmp_path / "yard"))
    day = date(LEAF_SIX, 9, 12)
    jobs = [line.job for line in week(copy, day).jobs if line.job.kind is JobKind.PICK]
    first = date.fromisoformat(jobs[0].start) + timedelta(days=2)
    seen = StageSeen(day=first, noted=noted(first), cultivar=jobs[0].cultivar, stage=SeenStage.FIRST_PICK)
    with open_store(copy) as store:
        store.append([seen])
    found = week(copy, first + timedelta(days=1))
    hours = {line.cultivar: line.hours for line in found.picks}
    harvests = {line.job.cultivar: line for line in found.jobs if line.job.kind is JobKind.PICK}
    assert harvests[seen.cultivar].start == first.isoformat()
    assert hours.keys() <= harvests.keys()
    assert {name: line.hours for name, line in harvests.items() if name in hours} == hours


def test_the_first_fruit_picked_tells_of_a_season_without_weather(folder: Path) -> None:
    day, name = date(2060, 9, 20), open_folder(folder).basis.cultivars[0].name
    assert outlook_on(open_folder(folder), day, Seen(day)).usual
    assert not outlook_on(open_folder(folder), day, Seen(day, picked_on={name: (day,)})).usual


def test_a_date_left_out_is_told_as_it_was_written() -> None:
    for year in (2035, 2036):  # a leap year's days are numbered otherwise
        row = OwnDate("1", "Gala", DateSeen.FIRST_PICK, date(year, 6, 20))
        (told,) = left_out_notices([DateLeftOut(row, -72.0)])
        assert told.facts["on"] == "20 Jun"


def test_nobody_is_sent_to_rows_noted_as_dead_and_a_slip_moves_no_date(folder: Path) -> None:
    day = date(LEAF_SIX, 9, 14)
    before = week(folder, day)
    name = before.picks[-1].cultivar
    line = next(line for line in open_folder(folder).basis.cultivars if line.name == name)
    row = line.rows[0]
    block, number = row.row.rsplit(" ", 1)
    died = [
        TreeChanged(
            day=day, noted=noted(day), block=block, row=int(number), place=place, event=TreeEvent.DIED
        )
        for first, last in row.runs or ((row.first, row.last),)
        for place in range(first, last + 1)
    ]
    slip = StageSeen(day=date(LEAF_SIX, 6, 20), noted=noted(day), cultivar=name, stage=SeenStage.FIRST_PICK)
    with open_store(folder) as store:
        store.append([*died, slip])
    try:
        after = week(folder, day)
        assert not [
            one for pick in after.picks if pick.cultivar == name for one in pick.rows if row.row in one
        ]
        trees = [{one.cultivar: one.trees for one in found.stages}.get(name, 0) for found in (before, after)]
        assert trees[0] - trees[1] == len(died)
        told = [notice for notice in after.notices if notice.code == "week.date_left_out"]
        assert [notice.concerns for notice in told] == [(name,)]
        days = [
            {one.cultivar: one.day for one in found.stages if one.cultivar != name}
            for found in (before, after)
        ]
        assert days[0] == days[1]
        printed = CliRunner().invoke(main, ["week", str(folder), "--on", day.isoformat()]).output
        assert f"First pick of {name} is noted for 20 Jun" in " ".join(printed.split())
    finally:
        with open_store(folder) as store:
            for entry in (*died, slip):
                undo(store, entry, day=day)


def test_text_json_page_and_calendar(folder: Path, tmp_path: Path) -> None:
    runner, on = CliRunner(), ["--on", "2034-05-08"]
    said = runner.invoke(main, ["week", str(folder), *on])
    assert said.exit_code == 0
    assert "Where each cultivar stands" in said.output
    whole = json.loads(runner.invoke(main, ["week", str(folder), *on, "--json"]).output)
    assert whole["day"] == "2034-05-08"
    page, ics = tmp_path / "week.pdf", tmp_path / "week.ics"
    made = runner.invoke(main, ["week", str(folder), *on, "--pdf", str(page), "--ics", str(ics)])
    assert made.exit_code == 0, made.output
    assert page.read_bytes().startswith(b"%PDF")
    events = Calendar.from_ical(ics.read_bytes()).walk("VEVENT")
    assert events
    last = last_plan(folder)
    orchard = None if last is None else orchard_of(folder, last)
    assert orchard is not None
    planned = Calendar.from_ical(calendar(orchard)).walk("VEVENT")
    known = {str(event["UID"]) for event in planned}
    others = ("pick", "SUMMARY:flowers open: bees fly")
    jobs = [event for event in events if not any(one in event.to_ical().decode() for one in others)]
    assert {str(event["UID"]) for event in jobs} <= known


def test_while_flowers_are_open_every_page_says_that_bees_fly(folder: Path) -> None:
    day = next(
        day
        for step in range(90)
        if week(folder, day := date(LEAF_SIX, 3, 20) + timedelta(days=step)).threats.open_bloom
    )
    for when, flowers in ((day, True), (date(LEAF_SIX, 1, 10), False)):
        found = week(folder, when)
        told = [notice.code for notice in found.notices]
        assert (told[:1] == ["protection.bees"]) == flowers
        assert ("bees are in the block" in str(week_data(found)["told"])) == flowers
        assert (b"SUMMARY:flowers open: bees fly" in week_calendar(found)) == flowers
    unplanted = replace(week(folder, day), stages=())
    assert b"bees fly" not in week_calendar(unplanted)


def test_no_severe_threat_is_cut_from_the_week(folder: Path) -> None:
    found = week(folder, date(LEAF_SIX, 5, 10))
    one = found.threats.windows[0]
    for severe in (3, 12):
        many = (*(replace(one, danger=Danger.SEVERE),) * severe, *(replace(one, danger=Danger.WATCH),) * 12)
        told = replace(found, threats=replace(found.threats, windows=many))
        for most in (5, 8):
            rows = threats(told, Reader(found.units), most).rows
            assert len(rows) == max(most, severe)


def test_the_page_is_one(folder: Path) -> None:
    from io import BytesIO

    import pypdf

    from topwire.book.build import week_pdf

    for month in (1, 5, 9):
        found = week(folder, date(LEAF_SIX, month, 15))
        assert len(pypdf.PdfReader(BytesIO(week_pdf(found))).pages) == 1


def test_an_orchard_nobody_planned_is_told(tmp_path: Path) -> None:
    small.make(tmp_path / "yard")
    said = CliRunner().invoke(main, ["week", str(tmp_path / "yard")])
    assert said.exit_code == 2
    assert "topwire plan" in said.output
    assert CliRunner().invoke(main, ["cellar", str(tmp_path / "nowhere")]).exit_code == 2
