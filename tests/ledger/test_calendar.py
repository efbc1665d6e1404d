from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledger.test_account import question_of
from nursery.invented import catalogue

from topwire.ledger.answer import answer
from topwire.ledger.asked import LedgerQuestion
from topwire.ledger.calendar import almanac, dated_jobs
from topwire.ledger.findings import Job, JobKind, OwnTask
from topwire.ledger.labour import LabourRow
from topwire.ledger.work_rows import WorkRow, row_faults
from topwire.nursery.findings import NurseryJob
from topwire.nursery.schedule import nursery_dates
from topwire.show.ledger_sheets import sheets
from topwire.show.sheet import printed
from topwire.soil.warmth import soil_dates, soil_temperature
from topwire.tell.ledger import job_words
from topwire.tell.reader import Reader
from topwire.values.units import UnitSystem

ROWS = catalogue().rows("work_calendar", WorkRow)
LABOUR = catalogue().rows("labour", LabourRow)
BASE = question_of()


def jobs_of(asked: LedgerQuestion) -> dict[str, Job]:
    dated = dated_jobs(asked, {OwnTask.BUILDING: asked.bills.building_hours})
    found = {line.job.key: line.job for line in dated.jobs}
    assert len(found) == len(dated.jobs)  # each once
    return found


@st.composite
def places(draw: st.DrawFn) -> LedgerQuestion:
    """A place from mild to cold, a planting year, one or two nursery seasons, few or many hands."""
    mean, swing = draw(st.floats(4, 16)), draw(st.floats(7, 15))
    air = mean - swing * np.cos(2 * np.pi * (np.arange(12) + 0.5 - 0.8) / 12)
    late = round(115 - 4 * (mean - 11) + draw(st.floats(-6, 6)))
    bloom = float(max(late, 70))
    frost = float(285 + 6 * (mean - 11))
    stages = {
        "green_tip": bloom - 30,
        "first_bloom": bloom - 6,
        "full_bloom": bloom,
        "petal_fall": bloom + 9,
        "first_harvest": bloom + 85,
        "last_harvest": min(bloom + 185, frost + 10),
        "last_frost": bloom + 3,
        "first_frost": frost,
        "water_open": bloom - 30,
        "water_begin": bloom + 40,
        "water_last": frost - 30,
        "water_empty": frost + 7,
    }
    planting, seasons = draw(st.integers(2026, 2034)), draw(st.sampled_from([1, 2]))
    shift = round(max(-21.0, min(21.0, (11 - mean) * 4)))
    base = BASE
    conditions = {*base.conditions, "field", "water", "fence", "trellis", "grafts"} - {"two_seasons"}
    called_for = ("gnawers", "bears", "bird_net", "replant", "wet", "mulch")
    conditions |= {name for name in called_for if draw(st.booleans())}
    conditions |= {"groundwork"} if conditions & {"replant", "wet"} else set()
    return replace(
        base,
        planting=planting,
        horizon=8,
        stages=stages,
        monthly_air=air,
        root_injury=draw(st.sampled_from([0.0, 0.3])),
        conditions=tuple(sorted(conditions | ({"two_seasons"} if seasons == 2 else set()))),
        nursery_days=nursery_dates(planting, seasons, shift),
        nursery_seasons=seasons,
        hands=draw(st.floats(0.5, 6)),
        bills=replace(base.bills, building_hours=draw(st.floats(5, 400))),
    )


@given(places())
@settings(deadline=None, max_examples=120, suppress_health_check=[HealthCheck.too_slow])
def test_nothing_comes_before_what_it_needs_nor_in_frozen_ground(asked: LedgerQuestion) -> None:
    jobs = jobs_of(asked)
    begun = {(row.item, name) for row in ROWS for name, only in row.waits if only}
    found = almanac(asked)
    for job in jobs.values():
        assert job.start <= job.end <= job.latest
        for key in job.after:
            other = jobs[key]
            if (job.work, other.work) in begun or job.kind is JobKind.NURSERY:
                assert other.start <= job.start, (job.key, key)
            else:
                assert other.end < job.start, (job.key, key)
    opens = {row.item for row in ROWS if row.ground == "open"} | {"plant", "lift", "line_out"}
    for job in jobs.values():
        if job.work in opens:
            first, last = (date.fromisoformat(day).toordinal() for day in (job.start, job.end))
            shut = [
                day
                for day in range(first, last + 1)
                if found.soil.frozen(date.fromordinal(day).timetuple().tm_yday)
            ]
            assert not shut, job.key
    yearly = [(job.work, job.cultivar, job.leaf) for job in jobs.values() if job.leaf is not None]
    assert len(yearly) == len(set(yearly))
    assert all(
        abs(int(job.start[:4]) - asked.planting - job.leaf) <= 1
        for job in jobs.values()
        if job.leaf is not None
    )


@given(places())
@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_all_stands_before_the_trees(asked: LedgerQuestion) -> None:
    jobs = jobs_of(asked)
    plant = jobs["plant"]
    for name in ("soil test", "first lime", "order material", "fence", "posts and wires", "lay water"):
        assert jobs[name].end < plant.start, name
    support = jobs.get("support") or jobs["spring support"]
    assert support.start >= plant.start
    assert jobs["water on.1"].start > jobs["lay water"].end
    assert ("hold cold" in jobs) == ("spring support" in jobs)


@given(places())
@settings(deadline=None, max_examples=100, suppress_health_check=[HealthCheck.too_slow])
def test_all_is_ordered_delivered_and_built_before_it_is_used(asked: LedgerQuestion) -> None:
    """Day by day: whoever has only the list in hand never needs a thing that is not there."""
    jobs = jobs_of(asked)
    there: dict[str, str] = {}  # what is at hand, from which day

    def at_hand(thing: str, job: str) -> None:
        there[thing] = jobs[job].end if job in jobs else ""  # not called for here

    for thing, job in (
        ("material", "take delivery"),
        ("lime and seed", "read test"),
        ("stocks", "order_stocks"),
        ("wood", "cut_wood"),
        ("nursery ground", "nursery ground"),
        ("wires", "posts and wires"),
        ("fence", "fence"),
        ("water", "lay water"),
        ("store for trees", "place for trees"),
        ("old trees out", "grub"),
        ("drains", "drains"),
    ):
        at_hand(thing, job)
    needs = {
        "fence": ["material"],
        "posts and wires": ["material"],
        "lay water": ["material", "wires"],
        "first lime": ["lime and seed"],
        "second lime": ["lime and seed"],
        "sow cover": ["lime and seed"],
        "bench_graft": ["stocks", "wood"],
        "line_out": ["nursery ground"],
        "lift": ["store for trees"],
        "plant": ["material", "wires", "fence", "water", "store for trees"],
        "support": ["material"],
        "spring support": ["material"],
        "water in": ["material", "store for trees"],
        "spring water in": ["material", "store for trees"],
        "mulch.1": ["material"],
        "rip": ["old trees out", "drains", "lime and seed"],
        "water on.1": ["water"],
        "tie leader.1": ["wires"],
        "first drain": ["water"],
    }
    for name, things in needs.items():
        if name in jobs:
            for thing in things:
                assert there[thing] < jobs[name].start, (name, thing)
    bought = [job for job in jobs.values() if job.work == "buy what lasts"]
    picks = [job for job in jobs.values() if job.kind is JobKind.PICK]
    assert len(bought) <= 1
    assert not bought or all(bought[0].end < job.start for job in picks)


def test_cold_places_and_tender_roots_plant_in_spring() -> None:
    base = BASE
    cold = replace(base, monthly_air=base.monthly_air - 9, stages=dict(base.stages, first_frost=280.0))
    tender = replace(base, root_injury=0.4, tenderest=("G.41",))
    assert not almanac(base).spring
    assert almanac(cold).spring
    assert almanac(tender).spring
    planted = jobs_of(tender)["plant"]
    assert planted.start.startswith(str(base.planting + 1))
    assert any(notice.code == "ledger.spring_planting" for notice in answer(tender).notices)


def test_too_few_hands_begin_the_trellis_earlier() -> None:
    base = BASE
    few = replace(base, hands=0.5, bills=replace(base.bills, building_hours=300.0))
    assert jobs_of(few)["posts and wires"].start < jobs_of(base)["posts and wires"].start
    assert jobs_of(few)["posts and wires"].end < jobs_of(few)["plant"].start


def test_stages_move_their_work_and_not_the_calendars() -> None:
    base = BASE
    late = replace(base, stages=dict(base.stages, full_bloom=base.stages["full_bloom"] + 10))
    before, after = jobs_of(base), jobs_of(late)
    days = [date.fromisoformat(jobs["hand thinning.6"].start) for jobs in (before, after)]
    assert (days[1] - days[0]).days == 10
    assert before["dormant pruning.6"].start == after["dormant pruning.6"].start == "2033-01-10"
    assert before["low shoots off.1"].start == "2028-06-01"  # a leap year


def test_identities_do_not_hang_on_dates() -> None:
    base = BASE
    moved = replace(base, stages={name: day + 3 for name, day in base.stages.items()})
    assert set(jobs_of(base)) == set(jobs_of(moved))


def test_picks_begin_with_the_first_crop() -> None:
    base = BASE
    jobs = jobs_of(base)
    for line in base.cultivars:
        first = min(job.leaf or 0 for job in jobs.values() if job.cultivar == line.name)
        assert line.crop[first - 1] > 0
        assert (line.crop[: first - 1] < 0.05 * line.crop.max() + 1e-9).all()


def test_wrong_rows_are_told() -> None:
    wrong = replace(ROWS[0], stage="midsummer", needs="nothing there", only="moonlight", labour="dancing")
    says = " ".join(text for _, text in row_faults([wrong], NurseryJob, {row.task for row in LABOUR}))
    for part in ("no stage", "no item", "no condition", "no row of labour.csv"):
        assert part in says
    assert row_faults(ROWS, NurseryJob, {*(row.task for row in LABOUR), *OwnTask}) == []


def test_every_task_has_people_and_risky_work_its_caution() -> None:
    for row in ROWS:
        assert row.people >= 1, row.item
        risky = any(
            word in row.what for word in ("graft", "trellis", "prune", "bud the", "lime", "hives", "press ")
        )
        assert bool(row.caution) or not risky, row.item


@pytest.mark.parametrize(("system", "foreign"), [(UnitSystem.US, " cm"), (UnitSystem.METRIC, " in]")])
def test_measures_follow_the_readers_units(system: UnitSystem, foreign: str) -> None:
    book = answer(BASE)
    works = {line.item: line for line in book.works}
    told = [job_words(job, works, Reader(system)) for job in book.calendar]
    assert not [
        line.how for line in told if foreign in line.how or "[" in line.how + line.what + line.caution
    ]
    own = " in" if system is UnitSystem.US else " cm"
    assert [line.how for line in told if own in line.how]
    gala = next(line for line in told if line.what == "pick Gala")
    assert ("firmness 16\u00a0lb" if system is UnitSystem.US else "firmness 7.3\u00a0kg") in gala.how


def test_sheets_of_the_calendar_hold_the_list() -> None:
    book = answer(BASE)
    by_name = {sheet.name: sheet for sheet in sheets(book, Reader(UnitSystem.US))}
    assert len(by_name["ledger.calendar"].rows) == len(book.calendar)
    assert (
        printed(by_name["ledger.first_years"], Reader(UnitSystem.US)).rows[0][3]
        == "walk the ground, dig pits"
    )
    assert len(by_name["ledger.every_year"].rows) > 25


def test_soil_follows_the_air_and_lags() -> None:
    air = 11 - 12 * np.cos(2 * np.pi * (np.arange(12) + 0.5 - 0.8) / 12)
    soil = soil_temperature(air)
    assert soil.mean() == pytest.approx(air.mean(), abs=0.3)
    assert soil_temperature(np.full(12, 7.0)) == pytest.approx(np.full(365, 7.0))
    found = soil_dates(soil)
    assert found.at_10 is not None
    assert found.at_16 is not None
    assert found.at_10 < found.at_16
    assert found.freezes is not None
    assert found.thaws is not None
    assert found.frozen(1)
    assert not found.frozen(200)
    assert found.frozen(366)
    mild = soil_dates(soil_temperature(air + 8))
    assert (mild.freezes, mild.thaws) == (None, None)
