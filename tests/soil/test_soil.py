"""The soil room: lime, what a test asks for, covers, feeding."""

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from nursery.invented import catalogue, ground, layout, plan, seasons

from topwire.plan.soil import SoilTest
from topwire.show.sheet import printed
from topwire.show.soil_sheets import covers, sheets
from topwire.soil.answer import answer
from topwire.soil.asked import LimeTest
from topwire.soil.covers import Cover, cover_windows
from topwire.soil.feeding import Age, NitrogenAdvice, nitrogen_advice, nitrogen_of_leaf
from topwire.soil.findings import LimeBy
from topwire.soil.lime import by_acidity, by_buffer_acidity, by_smp, by_texture, dressings, spread
from topwire.soil.nutrients import Extract, Level, Nutrient
from topwire.soil.question import question
from topwire.tell.reader import Reader
from topwire.tell.soil import COVERS
from topwire.tell.speech import all_told
from topwire.values.terms import Texture
from topwire.values.units import UnitSystem

BASE = question(plan(), catalogue(), seasons(0.9), ground(), layout({}))
TESTED = replace(
    BASE,
    lime=LimeTest(5.4, 5.6, 6.3, False, 9.0),
    test={Nutrient.POTASSIUM: 90.0, Nutrient.BORON: 0.5, Nutrient.MAGNESIUM: 60.0, Nutrient.PHOSPHORUS: 6.0},
    extract=Extract.OLSEN,
)


def test_without_a_test_nothing_is_given_blind() -> None:
    found = answer(BASE)
    assert not found.tested
    assert found.lime == found.dressings == found.amounts == ()
    assert {line.item for line in found.bill} >= {"soil test", "nitrogen fertiliser"}
    assert not {"ground lime", "potash fertiliser"} & {line.item for line in found.bill}
    assert any("no soil test" in str(told) for told in all_told(found.notices, Reader(UnitSystem.US)))


def test_the_surest_reading_is_taken() -> None:
    found = answer(TESTED)
    assert [line.by for line in found.lime] == [LimeBy.ACIDITY, LimeBy.BUFFER, LimeBy.TEXTURE]
    assert [line.chosen for line in found.lime] == [True, False, False]
    assert found.dolomitic
    assert sum(line.amount for line in found.dressings) == pytest.approx(found.lime[0].as_spread * found.area)
    assert {line.item for line in found.bill} >= {"dolomitic lime", "potash fertiliser", "boron fertiliser"}
    assert found.cost == pytest.approx(sum(line.cost or 0 for line in found.bill))


def test_phosphorus_of_an_unread_method_is_told_and_not_given() -> None:
    found = answer(replace(TESTED, extract=Extract.BRAY))
    assert "phosphate fertiliser" not in {line.item for line in found.bill}
    assert any(notice.code == "soil.phosphorus_method" for notice in found.notices)


@given(st.floats(4.5, 6.9), st.floats(5.5, 6.9), st.floats(0.5, 25))
def test_lime_falls_with_ph_and_rises_with_the_target(ph: float, target: float, acidity: float) -> None:
    for way in (
        lambda now, goal: by_acidity(acidity, now, goal),
        lambda now, goal: by_texture(now, Texture.LOAM, goal),
        lambda now, goal: by_smp(6.4, now, goal),
    ):
        amount = way(ph, target)
        assert amount >= 0
        assert (amount == 0) or ph < target
        if ph < target:
            assert way(ph, min(target + 0.1, 7.0)) >= amount - 1e-9
    assert by_texture(ph, Texture.LOAM, 6.7) >= by_texture(min(ph + 0.1, 6.9), Texture.LOAM, 6.7) - 1e-9


@given(st.floats(0, 6))
def test_no_dressing_is_too_large(on_ground: float) -> None:
    number = dressings(on_ground)
    assert number == 0 or on_ground / number <= 1.0 + 1e-6


def test_wrong_lime_is_refused() -> None:
    with pytest.raises(ValueError, match="effective"):
        spread(1.0, 0.0)
    with pytest.raises(ValueError, match=r"below 6\.6"):
        by_buffer_acidity(5.5, 6.2, 6.8)
    with pytest.raises(ValueError, match="not by rule"):
        nitrogen_of_leaf(4)


@given(st.floats(80, 170), st.floats(240, 320), st.one_of(st.none(), st.floats(100, 200)))
def test_covers_are_sown_between_the_frosts(last: float, first: float, warm: float | None) -> None:
    for window in cover_windows(warm, last, first):
        assert window.first < window.last
        assert 0 < window.seed_least <= window.seed_most
        if window.cover in (Cover.SUDANGRASS, Cover.BUCKWHEAT):
            assert window.first >= last + 7
            assert window.last < first


def test_shoots_decide_over_the_leaf() -> None:
    young = Age.YOUNG
    assert nitrogen_advice(0.9, False, 2.0, young) is NitrogenAdvice.NONE
    assert nitrogen_advice(0.25, False, 2.3, young) is NitrogenAdvice.MORE
    assert nitrogen_advice(0.25, False, 2.9, young) is NitrogenAdvice.AS_NOW
    assert nitrogen_advice(0.5, False, 2.5, young) is NitrogenAdvice.AS_NOW
    assert nitrogen_advice(0.33, True, 2.6, Age.FIRST_CROPS) is NitrogenAdvice.LESS


def test_old_orchard_ground_has_stricter_limits() -> None:
    worms = replace(TESTED, test={Nutrient.LESION: 400.0})
    calm = {line.nutrient: line for line in answer(worms).readings}
    sharp = {line.nutrient: line for line in answer(replace(worms, replanted=True)).readings}
    assert calm[Nutrient.LESION].verdict is Level.RIGHT
    assert sharp[Nutrient.LESION].verdict is Level.HIGH


def test_pounds_an_acre_are_read() -> None:
    test = SoilTest(ph=6.0, unit="lb/acre", potassium=200, organic_matter=3)
    made = plan()
    soil = made.place.soil.model_copy(update={"test": test})
    tested = made.model_copy(update={"place": made.place.model_copy(update={"soil": soil})})
    found = question(tested, catalogue(), seasons(0.9), ground(), layout({}))
    assert found.test == {Nutrient.POTASSIUM: 100.0, Nutrient.ORGANIC: 3.0}
    with pytest.raises(ValueError, match="beside the soil's own ph"):
        SoilTest(buffer_ph=6.5)


@pytest.mark.parametrize("system", list(UnitSystem))
def test_sheets_are_in_the_readers_units(system: UnitSystem) -> None:
    reader = Reader(system)
    made = [printed(sheet, reader) for sheet in sheets(answer(TESTED), 2027, reader)]
    assert [table.name for table in made] == [
        "soil.test", "soil.lime", "soil.dressings", "soil.amounts", "soil.covers", "soil.feeding", "soil.leaf",
        "soil.bill",
    ]  # fmt: skip
    text = " ".join(str(cell) for table in made for row in table.rows for cell in row)
    assert "[" not in text
    assert ("lb" in text) == (system is UnitSystem.US)
    assert np.isfinite(answer(TESTED).cost)


def test_the_table_of_covers_and_the_bill_sow_the_same_ground() -> None:
    """The bill takes the middle of the table's seed; the alleys leave the strips bare."""
    found = answer(BASE)
    seed = {
        row[0]: re.findall(r"[\d.]+", str(row[3])) for row in covers(found, Reader(UnitSystem.METRIC)).rows
    }
    low, high = (float(figure) for figure in seed[COVERS[Cover.ALLEY_GRASS][0]])
    (bought,) = (line.quantity for line in found.bill if line.item == "alley grass seed")
    assert bought == pytest.approx((low + high) / 2, abs=0.1)
