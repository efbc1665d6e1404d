"""A need ends before the next crop, the cellar's press is the plan's, and a cider's sulphite goes by its own pH."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from engine.shared import planned_yard
from season.test_allotment import FIGURE

from topwire.cellar.cider import ph_of_acid
from topwire.choice.plate import Juice, JuiceFigure
from topwire.season.cellar import cellar_of, keeping_sulphite, ph_of
from topwire.season.cellar_findings import BatchSheet, CellarFindings
from topwire.season.findings import SeasonStage
from topwire.season.kept import OpenedFolder, open_folder
from topwire.season.outlook import outlook_on
from topwire.season.records import seen_by
from topwire.season.seen import LotLeft, PhNoted
from topwire.show.cellar_sheets import batches
from topwire.show.press_sheets import doses
from topwire.tell.reader import Reader
from topwire.values.units import UnitSystem

SHARP, MILD = (Juice(JuiceFigure(acid, 0.5, measured=True), FIGURE, FIGURE) for acid in (10.0, 2.4))
JUICES = {"Judaine": SHARP, "Kermerrien": MILD}
OCTOBER = date(2031, 10, 1)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return planned_yard(tmp_path_factory)


def found_on(folder: Path, day: date) -> CellarFindings:
    opened, seen = open_folder(folder), seen_by(folder, day)
    return cellar_of(opened, day, seen, outlook_on(opened, day, seen))


def test_a_need_ends_before_the_next_crop_has_fruit_for_it(folder: Path) -> None:
    """The yard's table is open from August to January, its first fruit is picked in the middle of August."""
    fresh = found_on(folder, date(2034, 11, 20)).needs[0]
    assert fresh.last_week == 5
    assert fresh.wanted.sum() == pytest.approx(11 * 3.0), "none of next August's weeks"
    from_july_on = found_on(folder, date(2034, 7, 20)).needs[0]
    assert from_july_on.last_week == 5, "this summer's crop is the one on the trees"


def until_april(folder: Path) -> OpenedFolder:
    """The yard with its table open to the end of April."""
    opened = open_folder(folder)
    fresh, *others = opened.basis.kitchen.needs
    weeks = (*fresh.weeks[:-4], *range(1, 19))
    fresh = replace(fresh, weeks=weeks, total=3.0 * len(weeks))
    kitchen = replace(opened.basis.kitchen, needs=(fresh, *others))
    return replace(opened, basis=replace(opened.basis, kitchen=kitchen))


def of_spring(opened: OpenedFolder, day: date, kg: float) -> tuple[CellarFindings, int]:
    """Its cellar with a keeper of last October in it, and the weeks until the first pick of this year."""
    keeper = max(opened.basis.cultivars, key=lambda line: line.best_weeks or 0.0).name
    october = date(day.year - (day.month < 10), 10, 20)
    lot = LotLeft("", keeper, october, kg, 0.0, "table", "cellar", None, None)
    seen = replace(seen_by(opened.folder, day), lots=(lot,) if kg else ())
    outlook = outlook_on(opened, day, seen)
    first = [
        outlook.dates.middle(SeasonStage.RIPE, outlook.dates.names.index(name)) for name in outlook.crops
    ]
    ahead = (min(first) - day.timetuple().tm_yday) // 7
    return cellar_of(opened, day, seen, outlook), int(ahead) if ahead > 0 else 0


@pytest.mark.parametrize("kg", [0.0, 12.0])
def test_no_fruit_is_promised_before_it_is_picked(folder: Path, kg: float) -> None:
    opened = until_april(folder)
    for number in range(0, 365, 13):
        day = date(2034, 1, 1) + timedelta(days=number)
        found, ahead = of_spring(opened, day, kg)
        promised = sum(float(need.served[:ahead].sum()) for need in found.needs)
        assert promised <= sum(lot.sound for lot in found.lots) + 1e-6, day


def test_the_new_year_changes_no_promise(folder: Path) -> None:
    opened = until_april(folder)
    (before, _), (after, _) = (of_spring(opened, day, 40.0) for day in (date(2033, 12, 31), date(2034, 1, 1)))
    (old,), (new,) = before.needs, after.needs
    assert (old.last_week, new.last_week) == (18, 18)
    assert old.wanted.sum() - new.wanted.sum() == pytest.approx(3.0), "the week that is over"
    assert new.share == pytest.approx(old.share, abs=0.05)
    assert sum(lot.unused for lot in after.lots) == pytest.approx(
        sum(lot.unused for lot in before.lots), abs=2.0
    )


def test_the_cellar_presses_with_the_plans_press(folder: Path) -> None:
    assert open_folder(folder).basis.kitchen.juice == pytest.approx(0.65e-3), "rack and cloth"


def test_a_ph_counts_for_juice_of_the_same_fruit_alone() -> None:
    other = PhNoted(OCTOBER, 3.78, {"Granny Smith": 12.0})
    both = PhNoted(OCTOBER, 3.5, {"Judaine": 10.0, "Granny Smith": 2.0})
    assert ph_of({"Judaine": 100.0}, JUICES, (other, both)) == (pytest.approx(float(ph_of_acid(10.0))), False)
    own = PhNoted(OCTOBER, 3.4, {"Judaine": 5.0})
    assert ph_of({"Judaine": 100.0}, JUICES, (own, other)) == (3.4, True)
    blend = {"Judaine": 50.0, "Kermerrien": 50.0}
    ph, read = ph_of(blend, JUICES, (own,))
    assert not read, "the mild half was guessed"
    assert 3.4 < ph < float(ph_of_acid(2.4))
    assert ph_of(blend, JUICES, (own, PhNoted(OCTOBER, 3.6, {"Judaine": 9.0, "Kermerrien": 10.0}))) == (
        3.6,
        True,
    )
    assert ph_of(blend, JUICES, (PhNoted(OCTOBER, 3.6, {"Judaine": 9.0, "Kermerrien": 1.0}),))[1] is False


def test_above_the_last_band_a_cider_is_blended_and_given_no_figure(folder: Path) -> None:
    assert keeping_sulphite(3.29, read=True) == pytest.approx(0.025, abs=0.001)
    assert keeping_sulphite(3.76, read=True) == pytest.approx(0.072, abs=0.001)
    assert keeping_sulphite(3.76, read=False) is None, "told as about 3.8"
    assert keeping_sulphite(3.8, read=True) is None

    def said(ph: float, *, read: bool) -> object:
        sheet = BatchSheet(
            "cider",
            9.0,
            (("Judaine", 9.0),),
            5e-3,
            10.0,
            1.0,
            12.0,
            6.0,
            ph,
            read,
            keeping_sulphite(ph, read=read),
        )
        found = found_on(folder, date(2034, 11, 20))
        return batches(type(found)(**{**vars(found), "batches": (sheet,)}), Reader(UnitSystem.METRIC)).rows[
            0
        ][-1]

    assert said(3.29, read=False) == "26 mg/L at about pH 3.3"
    assert said(3.63, read=True) == "54 mg/L at pH 3.63"
    assert said(3.99, read=False) == "blend with a sharp lot first: about pH 4.0"
    assert doses().rows[-1][1:] == ("blend or sharpen first", None)
