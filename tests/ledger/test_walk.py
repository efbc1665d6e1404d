"""The walk from the soil test to the first crop with only the list in hand: every thing is there before it is used."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from ledger.test_account import ledger, question_of
from nursery.invented import NAMES, catalogue, layout, seasons

from topwire.ledger.answer import answer
from topwire.ledger.asked import LedgerQuestion
from topwire.ledger.findings import Job, JobKind, Ledger
from topwire.ledger.goods import FENCE, GoodsRow
from topwire.ledger.question import stages_of
from topwire.ledger.tools import Had, tools_in
from topwire.ledger.work_rows import WorkRow
from topwire.nursery.findings import NurseryJob
from topwire.show.ledger_sheets import sheets
from topwire.tell.ledger import BILLS, job_words
from topwire.tell.reader import Reader
from topwire.values.traits import Grade
from topwire.values.units import UnitSystem

READER = Reader(UnitSystem.US)
FIELD = (
    "field", "water", "fence", "trellis", "grafts", "gnawers", "bears", "bird_net", "replant", "wet", "groundwork",
    "mulch", "whips",
)  # fmt: skip


def everything() -> LedgerQuestion:
    """A field with every animal, wet old orchard ground, mulch."""
    asked = question_of()
    left = set(asked.conditions) - {"feathered", "two_seasons"}
    areas = replace(asked.areas, tree_ground=5000.0)
    return replace(asked, conditions=tuple(sorted(left | set(FIELD))), areas=areas, fence=300.0)


@pytest.fixture(scope="module")
def book() -> Ledger:
    return answer(everything())


def first_jobs(book: Ledger) -> list[Job]:
    return [job for job in book.calendar if job.leaf is None or job.leaf <= 3]


def at_hand(book: Ledger) -> dict[str, date]:
    """Day from which what stands on each bill is there."""
    ends = {job.work: date.fromisoformat(job.end) for job in reversed(book.calendar)}
    return {
        "ledger.goods": ends["take delivery"],
        "trellis.bill": ends["take delivery"],
        "water.bill": ends["take delivery"],
        "nursery.grafts": ends[NurseryJob.ORDER_STOCKS],
        "soil.bill": ends["read test"],
    }


def test_every_tool_named_is_had_hired_or_bought(book: Ledger) -> None:
    works = {line.item: line for line in book.works}
    said = [row.tools or "" for row in catalogue().rows("work_calendar", WorkRow)]
    said += [job_words(job, works, READER).tools for job in book.calendar]
    named = {name for text in said for name in tools_in(text)}
    assert not named - {row.tool for row in book.tools}
    for row in book.tools:
        assert row.had in {*BILLS, *Had}, row


def test_a_tool_on_a_bill_is_a_line_of_it(book: Ledger) -> None:
    goods = {row.item for row in catalogue().rows("first_goods", GoodsRow)}
    lasting = {row["item"] for row in (vars(line) for line in everything().capital)}
    fittings = {*catalogue().tables["trellis_fittings"].rows}
    lines = {"ledger.goods": goods, "ledger.capital": lasting, "trellis.bill": fittings}
    for row in book.tools:
        if row.way is Had.BILL and row.had in lines:
            assert row.items
            assert set(row.items) <= lines[row.had], row


def test_material_and_tools_on_a_bill_are_there_before_they_are_used(book: Ledger) -> None:
    """What is ordered with the groundwork comes with it; all else of a bill by the delivery."""
    works, there = {line.item: line for line in book.works}, at_hand(book)
    tools = {row.tool: row for row in book.tools}
    ordering = {
        "order groundwork",
        "order material",
        "take delivery",
        "read test",
        "soil test",
        "grub",
        "drains",
    }
    for job in first_jobs(book):
        if job.work in ordering or job.work == NurseryJob.ORDER_STOCKS:
            continue
        begins = date.fromisoformat(job.start)
        bills = {job.bill} | {tools[name].had for name in tools_in(job_words(job, works, READER).tools)}
        for bill in bills & there.keys():
            if job.kind is JobKind.NURSERY and bill == "nursery.grafts":
                continue
            assert there[bill] < begins or job.work == "nursery ground", (job.key, bill)


def test_every_work_that_takes_goods_has_them_on_its_bill(book: Ledger) -> None:
    works = {job.work for job in book.calendar}
    for row in catalogue().rows("first_goods", GoodsRow):
        if row.work in works:
            assert any(line.item == row.item and line.quantity > 0 for line in book.goods), row
    names = {line.item for line in book.goods}
    for wanted in (
        "woven fence mesh, tall", "fence gate for machines", "fence corner with braces", "drain pipe", "gravel",
        "digger with driver, day", "wood chips", "trencher, a day", "water tank, a week",
    ):  # fmt: skip
        assert wanted in names
    assert [line.item for line in book.yearly] == ["hive for bloom"]
    assert any(line.item == "electric fence for hives" for line in book.capital)
    assert any(line.item == "bird net" for line in book.capital)


def test_each_only_where_the_place_calls_for_it() -> None:
    """Without animals, wet ground or old trees none of it is asked for."""
    asked = everything()
    bare = set(FIELD) - {"fence", "gnawers", "bears", "bird_net", "replant", "wet", "groundwork", "mulch"}
    plain = answer(replace(asked, conditions=tuple(sorted(bare | {"cellar"})), fence=0.0))
    works = {job.work for job in plain.calendar}
    assert not works & {
        "fence", "guards on", "spring guards", "bear fence", "nets on", "grub", "drains", "order groundwork", "mulch",
    }  # fmt: skip
    names = {line.item for line in (*plain.goods, *plain.capital)}
    assert not names & {
        "vole and rabbit guard",
        "drain pipe",
        "wood chips",
        "electric fence for hives",
        "bird net",
    }
    assert not any("fence" in name for name in names)


def test_old_trees_and_wet_ground_come_before_lime_and_ripping(book: Ledger) -> None:
    order = ["walk", "order groundwork", "grub", "drains", "first lime", "rip", "second lime", "sow cover"]
    days = {job.work: job for job in reversed(book.calendar)}
    for before, then in pairwise(order):
        assert days[before].end <= days[then].start, (before, then)


def test_hives_stand_only_while_it_blooms(book: Ledger) -> None:
    for leaf in (4, 6):
        jobs = {job.work: job for job in book.calendar if job.leaf == leaf}
        assert jobs["order bees and nets"].end < jobs["bear fence"].start
        assert jobs["bear fence"].end < jobs["hives in"].start <= jobs["full bloom"].start
        assert jobs["hives in"].end < jobs["hives out"].start


def test_bees_go_home_and_biennials_are_thinned_by_their_own_bloom() -> None:
    place = seasons(0.9)
    days = dict.fromkeys(NAMES, 115.0) | {"GoldRush": 111.0, "Esopus Spitzenburg": 128.0, "Gala": 130.0}
    columns = [place.cultivars.index(name) for name in days]
    bloom = np.full(place.full_bloom.shape, 115.0)
    bloom[:, columns] = [*days.values()]
    place = replace(place, full_bloom=bloom, petal_fall=bloom + 9)
    every_other = tuple(name for name in NAMES if catalogue().cultivar[name].biennial is Grade.HIGH)
    assert {"GoldRush", "Esopus Spitzenburg"} <= {*every_other}
    stages = stages_of(place, layout(), every_other)
    assert stages["petal_fall"] == 124
    assert stages["last_petal_fall"] == 139
    assert (stages["first_biennial_bloom"], stages["last_biennial_bloom"]) == (111, 128)
    jobs = {job.work: job for job in answer(replace(everything(), stages=stages)).calendar if job.leaf == 6}
    year = date.fromisoformat(jobs["full bloom"].start).year
    day = {name: date(year, 1, 1) + timedelta(number - 1) for name, number in stages.items()}
    assert jobs["hives out"].start == day["last_petal_fall"].isoformat()
    assert jobs["biennial first"].start == (day["first_biennial_bloom"] + timedelta(1)).isoformat()
    assert jobs["biennial first"].end == (day["last_biennial_bloom"] + timedelta(7)).isoformat()
    assert "first_biennial_bloom" not in stages_of(place, layout())  # none planted: no such work


def test_a_spray_spares_the_bees_and_fruit_is_left_by_the_table() -> None:
    rows = {row.item: row for row in catalogue().rows("work_calendar", WorkRow)}
    for item in ("scout", "biennial first", "main thinning"):
        assert "harms bees while any" in (rows[item].caution or "")
    for item in ("strip or keep", "hand thinning"):
        assert "number in the table of fruits to leave" in rows[item].how
        assert "15-20" not in rows[item].how
        assert "leaf 2" not in rows[item].how


def test_nothing_is_stored_or_pressed_before_the_years_first_pick() -> None:
    """In the first crops not every cultivar bears, and the store waits for those that do."""
    for book in (ledger(), answer(everything())):
        for leaf in range(1, 8):
            jobs = [job for job in book.calendar if job.leaf == leaf]
            picks = [job.start for job in jobs if job.kind is JobKind.PICK]
            used = [job.start for job in jobs if job.work in ("sort and store", "press", "preserve")]
            assert bool(picks) or not used
            assert not used or min(picks) <= min(used)


def test_an_orchard_that_bears_is_picked() -> None:
    """A first crop that no cultivar has in its own middle year, but the orchard has in its: picked, and with hours."""
    asked = question_of()
    leaf = next(at for at, crop in enumerate(asked.orchard_crop[:, 1]) if crop > 0)
    first = asked.orchard_crop[leaf, 1]
    bare = tuple(
        replace(line, crop=np.where(np.arange(len(line.crop)) <= leaf, 0.0, line.crop))
        for line in asked.cultivars
    )
    changed = replace(asked, cultivars=bare)
    assert changed.crop_by_cultivar()[leaf].sum() == pytest.approx(first)
    picks = [job for job in answer(changed).calendar if job.leaf == leaf + 1 and job.kind is JobKind.PICK]
    assert picks
    assert all(job.hours for job in picks)


def test_every_tree_is_watered_in(book: Ledger) -> None:
    jobs = {job.work: job for job in book.calendar if job.leaf is None}
    watered = jobs.get("water in") or jobs["spring water in"]
    assert watered.start >= jobs[NurseryJob.PLANT].start
    assert (watered.hours or 0) > 0


def test_a_fence_that_stands_is_not_bought() -> None:
    asked = question_of(money={"have": [FENCE]})
    assert asked.fence == 0.0
    assert "fence" not in asked.conditions


def test_a_garden_hires_no_machines() -> None:
    """Eight trees on a fence are laid, watered and drained by hand."""
    small = everything()
    garden = answer(
        replace(
            small,
            areas=replace(small.areas, tree_ground=30.0),
            conditions=tuple(name for name in small.conditions if name not in ("field", "wet", "replant")),
        )
    )
    assert not any(
        line.item.endswith((" day", " week")) and "driver" not in line.item for line in garden.goods
    )
    sheet = next(sheet for sheet in sheets(garden, READER) if sheet.name == "ledger.tools")
    had = {str(row[0]): str(row[1]) for row in sheet.rows}
    assert had["trencher"] == "by hand, or borrowed"
    assert had["spade"] == "hand tool"


def test_the_tools_sheet_says_how_each_is_had(book: Ledger) -> None:
    sheet = next(sheet for sheet in sheets(book, READER) if sheet.name == "ledger.tools")
    assert all(row[1] for row in sheet.rows)
    days = [row[2] for row in sheet.rows]
    assert days == sorted(days)
