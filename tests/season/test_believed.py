"""Dates of a season that are weighed, and slips of the pen that are not."""

from datetime import date, timedelta

import numpy as np

from topwire.season.believed import Judge
from topwire.values.own_date import DateSeen, OwnDate

NAMES = ("Gala", "Empire", "Wealthy", "Winesap")
PICK = DateSeen.FIRST_PICK
USUAL = np.array([240.0, 253.0, 245.0, 290.0])
JUDGE = Judge(NAMES, {PICK: USUAL}, {PICK: np.full(4, 7.0)}, own=np.full(4, 4.0))


def _on(name: str, later: float) -> date:
    return date(2031, 1, 1) + timedelta(days=USUAL[NAMES.index(name)] - 1 + later)


def _pick(name: str, later: float) -> OwnDate:
    return OwnDate(f"{name} {later}", name, PICK, _on(name, later))


def test_a_first_pick_in_june_is_left_out_and_told_with_its_days() -> None:
    found = JUDGE.weigh([_pick("Gala", 2), _pick("Empire", -72)])
    assert [row.cultivar for row in found.taken] == ["Gala"]
    assert [(one.row.cultivar, one.days) for one in found.left_out] == [("Empire", -72.0)]


def test_early_and_late_years_are_believed() -> None:
    for later in (-25, 25):
        assert not JUDGE.weigh([_pick("Empire", later)]).left_out
    # Further than that it is believed as soon as two other cultivars are as early.
    year = [_pick("Empire", -40), _pick("Gala", -36)]
    assert len(JUDGE.weigh(year).left_out) == 2
    assert not JUDGE.weigh([*year, _pick("Wealthy", -45)]).left_out


def test_fruit_picked_by_a_slip_gives_way_to_the_first_that_can_be() -> None:
    slip, real = _on("Empire", -72), _on("Empire", 3)
    found = JUDGE.weigh([], {"Empire": (slip, real), "Winesap": (_on("Winesap", 60),)})
    assert [(row.cultivar, row.date) for row in found.taken] == [("Empire", real)]
    assert {one.row.date for one in found.left_out} == {slip, _on("Winesap", 60)}
    # A first pick that was noted and cannot be leaves the fruit picked to say when it was.
    found = JUDGE.weigh([_pick("Empire", -72)], {"Empire": (real,)})
    assert [row.date for row in found.taken] == [real]


def test_of_several_dates_of_one_event_the_middle_is_taken() -> None:
    found = JUDGE.weigh([_pick("Empire", 0), _pick("Empire", 2), _pick("Empire", 3), _pick("Empire", 90)])
    assert [row.date for row in found.taken] == [_on("Empire", 2)]
