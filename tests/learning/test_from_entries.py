"""What lots, jobs and picks say of keeping, hours and crop."""

from datetime import date, timedelta

import numpy as np
import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.choice.hands import picking_ease
from topwire.engine.learn import tasks_of
from topwire.learning.figures import FigureLearnt, NoteLeftOut, Taught
from topwire.learning.from_entries import (
    TaskRate,
    crop_learnt,
    growth_learnt,
    hours_learnt,
    keeping_learnt,
    water_learnt,
)
from topwire.ledger.labour import LabourRow
from topwire.ledger.work import WorkLoad, hours_by_task
from topwire.records.entries import FruitPicked, LotChecked, TrunkMeasured, Watered, WorkDone

PRUNING = TaskRate("winter pruning", "min/tree", 1.4, 2.5, 3.5)
PICKING = TaskRate("picking", "kg/h", 80.0, 110.0, 150.0)
EASE = {"Dabinett": float(picking_ease([0.05])[0])}


def lot(name: str, year: int, *checks: tuple[int, float]) -> tuple[FruitPicked, list[LotChecked]]:
    day = date(year, 10, 1)
    pick = FruitPicked(day=day, cultivar="GoldRush", mass=50.0, lot=name)
    return pick, [
        LotChecked(day=day + timedelta(weeks=weeks), lot=name, sound=sound) for weeks, sound in checks
    ]


def keeping(*lots: tuple[FruitPicked, list[LotChecked]], stated: float = 20.0) -> list[FigureLearnt]:
    checks = [check for _, found in lots for check in found]
    return keeping_learnt([pick for pick, _ in lots], checks, {"GoldRush": stated})[0]


def test_a_lot_kept_until_a_fifth_of_it_was_gone_between_two_looks() -> None:
    """20 weeks stated; sound 90 % at 28 weeks, 70 % at 32: a fifth gone at 30. One year moves it by half and more."""
    (line,) = keeping(lot("a", 2031, (28, 0.9), (32, 0.7)))
    assert (line.what, line.seen, line.years) == (Taught.KEEPING, 1, 1)
    weight = 0.25**-2 / (0.25**-2 + 0.3**-2)
    assert line.now == pytest.approx(20.0 * 1.5**weight)
    assert line.low < line.now < line.high


def test_many_lots_of_one_autumn_are_one_years_word() -> None:
    one = keeping(lot("a", 2031, (28, 0.9), (32, 0.7)))
    many = keeping(*(lot(str(number), 2031, (28, 0.9), (32, 0.7)) for number in range(50)))
    assert many[0].now == pytest.approx(one[0].now)
    assert many[0].seen == 50
    two = keeping(*(lot(str(year), year, (28, 0.9), (32, 0.7)) for year in (2031, 2032)))
    assert two[0].now > many[0].now
    assert two[0].high - two[0].low < many[0].high - many[0].low


def test_a_lot_eaten_while_sound_says_at_least_and_never_that_it_kept_less() -> None:
    (longer,) = keeping(lot("a", 2031, (30, 0.95)))
    assert longer.now > 22.0
    assert longer.missed_stated is None
    assert keeping(lot("a", 2031, (4, 0.95))) == []  # eaten early: no news
    assert keeping(lot("a", 2031, (1, 1.0))) == []


def test_a_cultivar_whose_keeping_nobody_states_is_left_out() -> None:
    assert keeping(lot("a", 2031, (28, 0.7)), stated=0.0) == []


def test_a_check_is_of_the_filling_it_looked_at() -> None:
    """Summer fruit lost in August, in a crate filled again in October: 0.14 weeks of the October fruit before."""
    picks = [
        FruitPicked(day=date(2031, 7, 10), cultivar="Yellow June", mass=15.0, lot="crate 1"),
        FruitPicked(day=date(2031, 10, 24), cultivar="GoldRush", mass=15.0, lot="crate 1"),
    ]
    stated = {"GoldRush": 30.0, "Yellow June": 3.0}

    def found(*checks: tuple[date, float, str]) -> dict[str, FigureLearnt]:
        looked = [
            LotChecked(day=day, lot="crate 1", sound=sound, cultivar=name) for day, sound, name in checks
        ]
        return {line.name: line for line in keeping_learnt(picks, looked, stated)[0]}

    lost, sound = (date(2031, 8, 7), 0.6, ""), (date(2032, 7, 1), 0.9, "")
    assert found(lost)["Yellow June"].now < 3.0
    both = found(lost, sound)
    assert both["Yellow June"].now == found(lost)["Yellow June"].now
    assert both["GoldRush"].now == found(sound)["GoldRush"].now > 30.0
    # What was left of the summer's, in the year after; and before anything was picked into the crate.
    assert found((date(2031, 11, 30), 0.1, "Yellow June")).keys() == {"Yellow June"}
    assert found((date(2031, 7, 1), 0.1, ""), (date(2034, 7, 1), 0.1, "")) == {}
    # On the day of the pick it is of what was picked, and says nothing of keeping.
    assert found((date(2031, 10, 24), 0.6, ""), sound)["GoldRush"].now == both["GoldRush"].now


def test_what_is_more_than_twelve_times_off_is_a_slip_of_the_pen() -> None:
    (line,) = keeping(
        lot("a", 2031, (28, 0.9), (32, 0.7)), lot("b", 2031, (1, 0.4)), lot("c", 2032, (1, 0.1))
    )
    assert line.now == keeping(lot("a", 2031, (28, 0.9), (32, 0.7)))[0].now
    assert (line.seen, line.years) == (1, 1)
    day = date(2031, 2, 10)
    assert hours(WorkDone(day=day, job="pruning", hours=5.0, trees=6000)) == {}
    crop = [FruitPicked(day=date(2031, 9, 1), cultivar="Gala", mass=1300.0)]
    figures, left_out = crop_learnt(crop, {("Gala", 2031): 100.0}, 30.0)
    assert figures == []
    assert left_out == [
        NoteLeftOut(Taught.CROP, "Gala", crop[0].day, "crop of 2031", "of the forecast", 13.0, 1.0)
    ]


def hours(*jobs: WorkDone, picks: tuple[FruitPicked, ...] = ()) -> dict[str, FigureLearnt]:
    names = {"pruning": "winter pruning", "picking": "picking"}
    tasks = {rate.task: rate for rate in (PRUNING, PICKING)}
    trees = {"South 3": 60, "South": 600}
    found = hours_learnt(jobs, picks, (), tasks, lambda job, day: names.get(job), trees, EASE)
    return {line.name: line for line in found[0]}


def test_minutes_a_tree_from_trees_said_or_from_the_row() -> None:
    day = date(2031, 2, 10)
    said = hours(WorkDone(day=day, job="pruning", hours=5.0, trees=60))["winter pruning"]
    by_row = hours(WorkDone(day=day, job="pruning", hours=5.0, block="South", row=3))["winter pruning"]
    assert said.now == by_row.now
    assert 2.5 < said.now < 5.0
    assert hours(WorkDone(day=day, job="pruning", hours=5.0)) == {}  # how many trees?
    assert hours(WorkDone(day=day, job="dancing", hours=5.0, trees=60)) == {}


def test_kilograms_an_hour_from_what_was_picked_that_day() -> None:
    day = date(2031, 9, 14)
    pick = FruitPicked(day=day, cultivar="Gala", mass=320.0)
    other = FruitPicked(day=day, cultivar="Wealthy", mass=900.0)
    found = hours(WorkDone(day=day, job="picking", hours=4.0, cultivar="Gala"), picks=(pick, other))[
        "picking"
    ]
    assert 80.0 < found.now < 110.0
    assert found.stated == 110.0


def test_hours_of_a_cultivar_on_one_day_belong_together() -> None:
    """160 kg in two turns of two hours: 40 kg an hour, not 80 twice; and each cultivar has its own fruit alone."""
    day = date(2031, 9, 14)
    gala, wealthy = (
        FruitPicked(day=day, cultivar=name, mass=mass) for name, mass in (("Gala", 160.0), ("Wealthy", 90.0))
    )

    def spent(hours: float, name: str, on: date = day) -> WorkDone:
        return WorkDone(day=on, job="picking", hours=hours, cultivar=name)

    at_once = hours(spent(4.0, "Gala"), picks=(gala,))["picking"]
    assert hours(spent(1.0, "Gala"), spent(3.0, "Gala"), picks=(gala,))["picking"] == at_once
    # Two cultivars of one rate, in turns or not, are that rate seen twice.
    both = hours(spent(4.0, "Gala"), spent(1.0, "Wealthy"), spent(1.25, "Wealthy"), picks=(gala, wealthy))
    assert both["picking"].seen == 2
    other_day = date(2031, 9, 15)
    later = FruitPicked(day=other_day, cultivar="Wealthy", mass=90.0)
    apart = hours(spent(4.0, "Gala"), spent(2.25, "Wealthy", other_day), picks=(gala, later))
    assert both["picking"].now == pytest.approx(apart["picking"].now)
    # Where one note names none, all hours are of all fruit; one whose fruit nobody noted says nothing.
    mixed = hours(spent(4.0, "Gala"), spent(2.25, ""), spent(9.0, "Benoni"), picks=(gala, wealthy))["picking"]
    whole = hours(spent(6.25, ""), picks=(gala, wealthy))["picking"]
    assert (mixed.now, mixed.seen) == (pytest.approx(whole.now), 1)


def test_two_turns_in_one_row_prune_its_trees_once() -> None:
    def turns(*spent: float, trees: int | None = None) -> FigureLearnt:
        day = date(2031, 2, 10)
        jobs = [
            WorkDone(day=day, job="pruning", hours=one, block="South", row=3, trees=trees) for one in spent
        ]
        return hours(*jobs)["winter pruning"]

    assert turns(2.0, 3.0) == turns(5.0)
    assert turns(2.0, 3.0, trees=30).seen == 2  # each says its own trees


def test_what_is_left_out_is_told() -> None:
    """Which note, what it would have said, and beside what; but nothing of one that only says too little."""
    slip, eaten, early = lot("b", 2031, (1, 0.4)), lot("c", 2031, (30, 0.95)), lot("d", 2031, (2, 1.0))
    lots = [slip, eaten, early]
    _, left_out = keeping_learnt(
        [pick for pick, _ in lots], [check for _, found in lots for check in found], {"GoldRush": 30.0}
    )
    looked = slip[0].day + timedelta(weeks=1)
    weeks = pytest.approx(1 / 3)
    assert left_out == [NoteLeftOut(Taught.KEEPING, "GoldRush", looked, "b", "weeks", weeks, 30.0)]
    day = date(2031, 9, 14)
    fruit = [FruitPicked(day=day, cultivar="Gala", mass=1500.0)]
    jobs = [
        WorkDone(day=day, job="picking", hours=1.0, cultivar="Gala"),
        WorkDone(day=day, job="picking", hours=1.0, cultivar="Benoni"),  # no fruit of it: nothing said
        WorkDone(day=day, job="pruning", hours=60.0, block="South", row=3),
        WorkDone(day=day, job="pruning", hours=60.0),
    ]
    tasks = {"picking": PICKING, "pruning": PRUNING}
    none, told = hours_learnt(jobs, fruit, (), tasks, lambda job, _: job, {"South 3": 60}, {})
    assert none == []
    assert told == [
        NoteLeftOut(Taught.HOURS, "winter pruning", day, "South 3", "min/tree", 60.0, 2.5),
        NoteLeftOut(Taught.HOURS, "picking", day, "Gala", "kg/h", 1500.0, 110.0),
    ]
    trunk = TrunkMeasured(day=date(2031, 11, 1), cultivar="Gala", diameter=0.6, block="South", row=3, place=4)
    (thick,) = growth_learnt([trunk], {("Gala", 2031): 0.03})[1]
    assert (thick.note, thick.said) == ("South 3, tree 4", pytest.approx(20.0))


def test_hours_reckoned_with_the_learnt_rate_are_those_noted() -> None:
    """Cider fruit of 50 g, as fast as the table says of it: its size is counted once."""
    jobs, picks = [], []
    for year in range(2031, 2035):
        for name, mass, spent in (("Dabinett", 220.0, 7.2), ("Gala", 440.0, 4.0)):
            jobs.append(WorkDone(day=date(year, 10, 1), job="picking", hours=spent, cultivar=name))
            picks.append(FruitPicked(day=date(year, 10, 1), cultivar=name, mass=mass))
    rate = hours(*jobs, picks=tuple(picks))["picking"].now
    row = LabourRow("picking", "kg/h", 80.0, rate, 150.0, None, "", None)
    load = _load({"Dabinett": 220.0, "Gala": 440.0})
    assert hours_by_task([row], load)["picking"][0] == pytest.approx(7.2 + 4.0)
    whole = [WorkDone(day=date(year, 10, 1), job="picking", hours=11.2) for year in range(2031, 2035)]
    assert hours(*whole, picks=tuple(picks))["picking"].now == pytest.approx(rate)


def test_a_gardens_hours_are_held_against_a_gardens() -> None:
    """What the ledger makes slower there by itself is not learnt as slow once more."""
    rows = {row.task: row for row in Catalogue(read_tables()).rows("labour", LabourRow)}
    load = _load({"Gala": 220.0}, trees=20)
    planned = hours_by_task([rows["winter pruning"], rows["picking"]], load)
    jobs = [
        WorkDone(day=date(2031, 2, 1), job="winter pruning", hours=planned["winter pruning"][0], trees=20),
        WorkDone(day=date(2031, 9, 1), job="picking", hours=planned["picking"][0]),
    ]
    picks = [FruitPicked(day=date(2031, 9, 1), cultivar="Gala", mass=220.0)]
    rates = tasks_of(Catalogue(read_tables()), 20)
    for line in hours_learnt(jobs, picks, (), rates, lambda job, day: job, {}, {})[0]:
        assert line.now == pytest.approx(line.stated)
    assert rates["picking"].middle == pytest.approx(rows["picking"].middle / 1.5)


def _load(crop: dict[str, float], trees: int = 500) -> WorkLoad:
    """Of a year."""
    one = np.ones(1)
    return WorkLoad(
        trees=trees, hectares=1.0, fence=0.0, crop=np.array([[*crop.values()]]),
        ease=np.array([EASE.get(name, 1.0) for name in crop]), full_share=one, below_wire=one, names=tuple(crop),
        made={}, milled=np.zeros(52), kept=np.ones(len(crop)), cider_share=0.0, fixed={},
    )  # fmt: skip


def test_years_of_one_rate_are_learnt_and_scored() -> None:
    jobs = [WorkDone(day=date(year, 2, 1), job="pruning", hours=4.0, trees=60) for year in (2031, 2032, 2033)]
    line = hours(*jobs)["winter pruning"]
    assert line.now == pytest.approx(4.0, rel=0.15)
    assert line.missed_stated == pytest.approx(0.6, abs=0.01)
    assert line.missed_learnt is not None
    assert line.missed_learnt < 0.4


def test_the_orchard_is_learnt_first_and_a_cultivar_beside_it() -> None:
    picks = [
        FruitPicked(day=date(year, 9, 1), cultivar=name, mass=mass)
        for year in (2031, 2032, 2033)
        for name, mass in (("Gala", 130.0), ("Wealthy", 70.0))
    ]
    forecast = {(name, year): 125.0 for name in ("Gala", "Wealthy") for year in (2031, 2032, 2033)}
    orchard, gala, wealthy = crop_learnt(picks, forecast, 30.0)[0]
    assert (orchard.what, orchard.name, orchard.stated) == (Taught.YIELD, "mature yield", 30.0)
    assert 24.0 < orchard.now < 26.5  # bore four fifths of what was forecast
    assert gala.now > 1.15
    assert wealthy.now < 0.85
    assert orchard.changes
    assert not gala.changes


def test_trunks_beside_the_forecast_of_their_leaf() -> None:
    def trunk(day: date, width: float) -> TrunkMeasured:
        return TrunkMeasured(day=day, cultivar="Gala", diameter=width)

    forecast = {("Gala", 2031): 0.03, ("Gala", 2032): 0.04}
    measured = [
        trunk(date(2031, 11, 1), 0.036),
        trunk(date(2032, 3, 1), 0.036),
        trunk(date(2032, 11, 1), 0.048),
    ]
    (line,), _ = growth_learnt(measured, forecast)
    assert 1.12 < line.now < 1.2  # a fifth thicker
    assert (line.seen, line.years, line.changes) == (3, 2, False)
    assert line.missed_stated == pytest.approx(0.2)
    assert line.missed_learnt is not None
    assert line.missed_learnt < 0.1
    assert growth_learnt(measured, {}) == ([], [])


def test_without_a_forecast_the_crop_teaches_nothing() -> None:
    assert crop_learnt([FruitPicked(day=date(2031, 9, 1), cultivar="Gala", mass=9.0)], {}, 30.0) == ([], [])


def test_water_stands_beside_the_rule_and_the_meter_beside_the_emitters() -> None:
    """Half the rule's hours in two years, 20 % more water than the emitters give; a wet year teaches nothing."""
    runs = [
        Watered(day=date(year, 7, week), block="South", hours=10.0, volume=36.0)
        for year in (2031, 2032, 2033)
        for week in range(1, 6)
    ]
    rule = {("South", 2031): 100.0, ("South", 2032): 100.0, ("South", 2033): 2.0}
    hours, flow = water_learnt(runs, rule, {"South": 3.0})
    assert (hours.what, hours.years, hours.changes) == (Taught.WATER, 2, False)
    assert 0.5 < hours.now < 0.7
    assert (flow.what, flow.years) == (Taught.FLOW, 3)
    assert 1.1 < flow.now < 1.2
    assert [score.year for score in flow.scores] == [2032, 2033]
    assert flow.scores[-1].learnt < flow.scores[-1].stated == pytest.approx(0.2)


def test_water_noted_for_all_blocks_counts_in_each() -> None:
    runs = [Watered(day=date(2031, 7, 1), hours=40.0)]
    rule = {("South", 2031): 40.0, ("North", 2031): 20.0}
    south, north = water_learnt(runs, rule, {"South": 3.0, "North": 1.0})
    assert south.now == pytest.approx(1.0)
    assert north.now > 1.2
