import pytest
from nursery.invented import catalogue

from topwire.ledger.calendar import (
    Harvest,
    MaturityRow,
    WorkRow,
    day_of,
    work_by_age,
    year_of_work,
)
from topwire.values.units import UnitSystem

ROWS = catalogue().rows("work_calendar", WorkRow)
MATURITY = catalogue().rows("maturity", MaturityRow)
STAGES = {
    "green_tip": 85.0,
    "full_bloom": 115.0,
    "petal_fall": 124.0,
    "first_harvest": 195.0,
    "last_harvest": 300.0,
    "last_frost": 120.0,
    "first_frost": 285.0,
}


def test_every_row_hangs_on_a_known_stage() -> None:
    for row in ROWS:
        assert day_of(row.stage, STAGES) is not None, row.item
        assert row.end >= row.begin, row.item
        assert row.last_leaf >= row.first_leaf, row.item
    with pytest.raises(ValueError, match="no stage"):
        day_of("midsummer", STAGES)


def test_stages_move_their_work_and_not_the_calendars() -> None:
    late = dict(STAGES, full_bloom=130.0)
    before = {e.what: e.start for e in year_of_work(ROWS, STAGES, planting=2027, leaf=5)}
    after = {e.what: e.start for e in year_of_work(ROWS, late, planting=2027, leaf=5)}
    assert before["hand thin"] == "2032-05-20"
    assert after["hand thin"] == "2032-06-04"
    assert before["prune"] == after["prune"] == "2032-01-10"


def test_a_missing_stage_leaves_its_work_out() -> None:
    without = {stage: day for stage, day in STAGES.items() if stage != "green_tip"}
    events = year_of_work(ROWS, without, planting=2027, leaf=5)
    assert "write down the date of green tip" not in [event.what for event in events]
    assert len(events) == len(year_of_work(ROWS, STAGES, planting=2027, leaf=5)) - 1


@pytest.mark.parametrize("leaf", [0, 1, 2, 3, 7, 15])
def test_every_year_has_work_in_order(leaf: int) -> None:
    events = year_of_work(ROWS, STAGES, planting=2027, leaf=leaf)
    assert len(events) >= 6
    assert [event.start for event in events] == sorted(event.start for event in events)
    assert {event.start[:4] for event in events} <= {str(2027 + leaf)}


def test_leaf_one_strips_and_grown_trees_are_pruned() -> None:
    first = [event.what for event in year_of_work(ROWS, STAGES, planting=2027, leaf=1)]
    grown = [event.what for event in year_of_work(ROWS, STAGES, planting=2027, leaf=8)]
    assert "strip every flower" in first
    assert "prune" not in first
    assert "prune" in grown
    assert "strip every flower" not in grown


def test_a_day_of_june_stays_in_june_in_a_leap_year() -> None:
    events = {event.what: event for event in year_of_work(ROWS, STAGES, planting=2027, leaf=1)}
    assert events["tie feathers down"].start == "2028-06-01"


def test_risky_work_carries_its_caution() -> None:
    for row in ROWS:
        risky = any(word in row.what for word in ("graft", "trellis", "prune", "bud the"))
        assert bool(row.caution) or not risky or row.what == "summer prune", row.item


def test_cultivars_get_a_pick_with_starch() -> None:
    harvests = [
        Harvest("Gala", 230.0, 244.0, True),
        Harvest("Ashmead's Kernel", 280.0, 294.0, True),
        Harvest("Yellow Transparent", 190.0, 200.0, False),
    ]
    events = work_by_age(ROWS, MATURITY, harvests, STAGES, planting=2027, first_crop=4, units=UnitSystem.US)
    picks = {event.what: event for event in events if event.what.startswith("pick ")}
    assert set(picks) == {"pick Gala", "pick Ashmead's Kernel", "pick Yellow Transparent"}
    assert "starch 3 to 6" in picks["pick Gala"].how
    assert "firmness 16 lb" in picks["pick Gala"].how
    assert "nobody has listed" in picks["pick Ashmead's Kernel"].how
    assert picks["pick Gala"].start == "2031-08-18"
    assert "Windfalls" in picks["pick Gala"].caution


def test_a_pick_after_new_year_falls_in_the_next_one() -> None:
    events = work_by_age(
        ROWS, MATURITY, [Harvest("Late", 360.0, 372.0, True)], STAGES, planting=2027, first_crop=4
    )
    late = next(event for event in events if event.what == "pick Late")
    assert (late.start, late.end) == ("2031-12-26", "2032-01-07")


def test_no_event_ends_before_it_starts() -> None:
    for leaf in range(16):
        assert all(e.start <= e.end for e in year_of_work(ROWS, STAGES, planting=2027, leaf=leaf))


def test_measures_follow_the_readers_units() -> None:
    american = year_of_work(ROWS, STAGES, planting=2027, leaf=1, units=UnitSystem.US)
    metric = year_of_work(ROWS, STAGES, planting=2027, leaf=1)
    assert not [event.how for event in american if " cm" in event.how or "°C" in event.how]
    assert [event.how for event in metric if " cm" in event.how]
    assert [(a.what, a.start) for a in american] == [(m.what, m.start) for m in metric]
