import numpy as np
import pytest
from nursery.invented import catalogue

from topwire.ledger.asked import Picked
from topwire.ledger.calendar import MaturityRow, WorkRow, day_of, work_by_age, work_texts
from topwire.ledger.findings import Event
from topwire.tell.ledger import event_words, leaf_words
from topwire.tell.reader import Reader
from topwire.values.units import UnitSystem

ROWS = catalogue().rows("work_calendar", WorkRow)
MATURITY = catalogue().rows("maturity", MaturityRow)
TEXTS = {line.item: line for line in work_texts(ROWS)}
STAGES = {
    "green_tip": 85.0,
    "full_bloom": 115.0,
    "petal_fall": 124.0,
    "first_harvest": 195.0,
    "last_harvest": 300.0,
    "last_frost": 120.0,
    "first_frost": 285.0,
}


def picked(name: str, first: float, last: float, keeps: bool = True) -> Picked:
    return Picked(name, 10, first, last, np.zeros(15), 3.0, keeps)


def events(stages: dict[str, float] = STAGES, *harvests: Picked) -> dict[str, Event]:
    made = work_by_age(ROWS, MATURITY, harvests, stages, planting=2027, first_crop=4)
    return {event.work or event.cultivar: event for event in made}


def test_every_row_hangs_on_a_known_stage() -> None:
    for row in ROWS:
        assert day_of(row.stage, STAGES) is not None, row.item
        assert row.end >= row.begin, row.item
        assert row.last_leaf >= row.first_leaf, row.item
    with pytest.raises(ValueError, match="no stage"):
        day_of("midsummer", STAGES)


def test_stages_move_their_work_and_not_the_calendars() -> None:
    before, after = events(), events(dict(STAGES, full_bloom=130.0))
    assert before["hand thinning"].start == "2029-05-20"
    assert after["hand thinning"].start == "2029-06-04"
    assert before["dormant pruning"].start == after["dormant pruning"].start == "2031-01-10"


def test_a_missing_stage_leaves_its_work_out() -> None:
    without = events({stage: day for stage, day in STAGES.items() if stage != "first_frost"})
    assert set(events()) - set(without) == {"water off"}


def test_a_day_of_june_stays_in_june_in_a_leap_year() -> None:
    assert events()["tie feathers"].start == "2028-06-01"


def test_risky_work_carries_its_caution() -> None:
    for row in ROWS:
        risky = any(word in row.what for word in ("graft", "trellis", "prune", "bud the"))
        assert bool(row.caution) or not risky or row.what == "summer prune", row.item


def test_cultivars_get_a_pick_with_starch() -> None:
    found = events(
        STAGES,
        picked("Gala", 230.0, 244.0),
        picked("Ashmead's Kernel", 280.0, 294.0),
        picked("Yellow Transparent", 190.0, 200.0, keeps=False),
    )
    gala = event_words(found["Gala"], TEXTS, Reader(UnitSystem.US))
    assert gala.what == "pick Gala"
    assert "starch 3 to 6" in gala.how
    assert "firmness 16\u00a0lb" in gala.how
    assert "Windfalls" in gala.caution
    assert "firmness 7.3\u00a0kg" in event_words(found["Gala"], TEXTS, Reader(UnitSystem.METRIC)).how
    assert "nobody has listed" in event_words(found["Ashmead's Kernel"], TEXTS, Reader(UnitSystem.US)).how
    assert found["Gala"].start == "2031-08-18"
    assert leaf_words(found["Gala"]) == "4 and older"


def test_a_pick_after_new_year_falls_in_the_next_one() -> None:
    late = events(STAGES, picked("Late", 360.0, 372.0))["Late"]
    assert (late.start, late.end) == ("2031-12-26", "2032-01-07")


def test_no_event_ends_before_it_starts() -> None:
    assert all(event.start <= event.end for event in events().values())


@pytest.mark.parametrize(("system", "foreign"), [(UnitSystem.US, " cm"), (UnitSystem.METRIC, " in]")])
def test_measures_follow_the_readers_units(system: UnitSystem, foreign: str) -> None:
    told = [event_words(event, TEXTS, Reader(system)) for event in events().values()]
    assert not [
        line.how for line in told if foreign in line.how or "[" in line.how + line.what + line.caution
    ]
    own = " in" if system is UnitSystem.US else " cm"
    assert [line.how for line in told if own in line.how]
