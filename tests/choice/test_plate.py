"""What a cultivar may serve, what a mixture comes out as."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import CATALOGUE, TABLE, candidate_of, need

from topwire.choice.blends import blends_made, mixture
from topwire.choice.findings import Verdict
from topwire.choice.planting import Limits
from topwire.choice.plate import BITTER_CLASSES, Blend, Bound, JuiceSide, PlateTest
from topwire.choice.plate_question import blend_of, plate_test
from topwire.choice.serving import serve
from topwire.choice.supply import Supply
from topwire.plan.kitchen import Need
from topwire.values.terms import Blended, Pan

SEASON = {"amount": "9 kg/season", "from": "1 Sep", "to": "1 Nov"}


def said(**more: object) -> Need:
    return Need.model_validate(SEASON | more)


def asked(**more: object) -> tuple[Blend | None, PlateTest]:
    text = said(**more)
    return blend_of(text, CATALOGUE), plate_test(text, CATALOGUE)


def test_no_bitter_class_serves_what_is_not_fermented() -> None:
    rows = [candidate_of(row) for row in CATALOGUE.cultivars]
    for use in ("juice", "sauce", "butter"):
        blend, plate = asked(use=use)
        wanted = replace(need(use, 36, 44, total=9.0), blend=blend, plate=plate)
        assert not [row.name for row in rows if wanted.served_by(row) and row.cider_class in BITTER_CLASSES]
        assert any(wanted.served_by(row) for row in rows)


def test_the_plan_may_ask_for_bitter_fruit() -> None:
    bitter = candidate_of(CATALOGUE.cultivar["Dabinett"])
    for blend in ("none", "sweet cider", {"bitter_high": 0.2}):
        of, plate = asked(use="juice", blend=blend)
        assert replace(need("juice", 36, 44, total=9.0), blend=of, plate=plate).served_by(bitter)


def test_the_plans_bounds_go_before_the_catalogues_and_leave_the_others() -> None:
    blend, _ = asked(use="juice", blend={"acid_high": 8.0})
    assert blend is not None
    assert blend.bounds[JuiceSide.ACID] == Bound(3.6, 8.0, own=True)
    assert blend.bounds[JuiceSide.TANNIN].high == 0.9
    raised, _ = asked(use="juice", blend={"acid_low": 7.0})  # above the catalogue's most: that one goes
    assert raised is not None
    assert raised.bounds[JuiceSide.ACID] == Bound(7.0, None, own=True)


def test_every_class_has_its_lot() -> None:
    for kind in ("sweet", "sharp", "bittersweet", "bittersharp"):
        blend, _ = asked(use="cider", cider_class=kind)
        assert blend is not None
        assert blend.product == Blended(f"{kind} cider fruit")
        assert set(blend.bounds) == {JuiceSide.ACID, JuiceSide.TANNIN}


def test_what_falls_is_not_baked_unless_the_plan_says_so() -> None:
    falls = candidate_of(CATALOGUE.cultivar["Bramley's Seedling"])
    assert falls.pan is Pan.FALLS
    _, usual = asked(use="baked")
    _, wide = asked(use="baked", pan="any")
    assert not usual.passed(falls.juice, falls.pan)
    assert wide.passed(falls.juice, falls.pan)
    assert usual.passed(falls.juice, None)  # unknown passes, and is told


def test_unknown_juice_is_that_of_its_class_and_strays_more() -> None:
    for row in CATALOGUE.cultivars:
        juice = TABLE.juice(row)
        assert juice.acid.measured == (row.acid_g_l is not None)
        if row.cider_class is not None and row.acid_g_l is None:
            assert (juice.acid.value > 4.5) == row.cider_class.endswith(
                "sharp"
            )  # borders of the Long Ashton classes
        if row.cider_class is not None and row.tannin_g_l is None:
            assert (juice.tannin.value > 2.0) == row.cider_class.startswith("bitter")


def test_a_mixture_by_hand(supply: Supply) -> None:
    mixed = mixture(supply, np.array([0.0, 30.0, 10.0]), 40)
    first, second = supply.cultivars[1].juice, supply.cultivars[2].juice
    assert mixed.acid == pytest.approx(0.75 * first.acid.value + 0.25 * second.acid.value)
    assert mixed.acid_spread == pytest.approx(np.hypot(0.75 * first.acid.spread, 0.25 * second.acid.spread))
    assert mixed.shares == ((supply.cultivars[1].name, 0.75), (supply.cultivars[2].name, 0.25))


def test_the_blend_made_keeps_its_bounds_and_says_so(supply: Supply, limits: Limits) -> None:
    acid = np.array([row.juice.acid.value for row in supply.cultivars])
    bound = float((acid[1] + acid[2]) / 2)
    mixed = need("juice", 38, 46, total=100.0, more={"blend": {"acid_high": bound}})
    _, service = serve(supply, (mixed,), limits, np.array([0, 20, 20]))
    (made,) = blends_made(supply, (mixed,), service)
    assert made.season.acid <= bound + 1e-6
    assert made.within == 1.0
    assert made.season.kg == pytest.approx(service.served[list(supply.years).index(made.year)].sum())
    assert sum(week.kg for week in made.weeks) == pytest.approx(made.season.kg)
    assert {side.side: side.verdict for side in made.sides}[JuiceSide.ACID] is not Verdict.OUTSIDE
