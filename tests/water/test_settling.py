"""A tank for iron: on the bill when a well's test shows it, as large as the time that air needs."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.terms import WaterSource
from topwire.values.units import UnitSystem
from topwire.water.clogging import InWater
from topwire.water.findings import WaterPlan
from topwire.water.settling import LEAST_MINUTES, minutes_to_turn, settling_of


def said(water: WaterPlan) -> str:
    return " ".join(one.says + " " + one.remedy for one in all_told(water.notices, Reader(UnitSystem.US)))


@given(iron=st.floats(0.2, 20), acidity=st.floats(5.5, 8), cold=st.floats(4, 20))
def test_more_iron_sourer_or_colder_water_stands_longer(iron: float, acidity: float, cold: float) -> None:
    here = minutes_to_turn(iron, 0.1, acidity, cold)
    assert minutes_to_turn(iron * 1.5, 0.1, acidity, cold) > here
    assert minutes_to_turn(iron, 0.1, acidity - 0.1, cold) == pytest.approx(here * 10**0.2)
    assert minutes_to_turn(iron, 0.1, acidity, cold - 3) > here
    assert minutes_to_turn(0.05, 0.1, acidity, cold) == 0


def test_it_agrees_with_the_reaction_stepped_through(valley) -> None:  # type: ignore[no-untyped-def]
    """Two milligrams at pH 7 and 20.5 °C, in steps of a hundredth of a minute by the law of Stumm and Lee (1961)."""
    left, minutes = 2.0, 0.0
    while left > 0.1:
        left -= left * 8.0e13 * (1e-7) ** 2 * 0.21 * 0.01
        minutes += 0.01
    assert minutes_to_turn(2.0, 0.1, 7.0, 20.5) == pytest.approx(minutes, rel=0.002)


def test_iron_in_a_well_brings_tank_spray_and_pump(valley) -> None:  # type: ignore[no-untyped-def]
    clean, rusty = valley.again(iron=0.05, acidity=7.0), valley.again(iron=0.8, acidity=7.0)
    items = {line.item: line for line in rusty.bill}
    tank = next(line for item, line in items.items() if item.startswith("settling tank"))
    minutes = float(minutes_to_turn(0.8, 0.1, 7.0))
    assert minutes > LEAST_MINUTES
    assert tank.quantity == pytest.approx(rusty.most_flow * 60 * minutes, abs=0.1)
    assert any(item.startswith("spray head") for item in items)
    assert rusty.booster_pressure == pytest.approx(rusty.pressure_wanted)
    pump = next(line for item, line in items.items() if item.startswith("pump"))
    assert pump.quantity * 1000 >= rusty.booster_power - 1
    assert not any(line.item.startswith(("settling tank", "spray head")) for line in clean.bill)
    assert rusty.water_cost_per_year > clean.water_cost_per_year
    assert f"stands there {minutes:.0f} minutes" in said(rusty)
    assert "settling" not in " ".join(line.item for line in clean.bill)


def test_a_ph_nobody_tested_is_told(valley) -> None:  # type: ignore[no-untyped-def]
    assert "pH 7 is taken" in said(valley.again(iron=0.8))


def test_sour_water_is_not_cured_by_air(valley) -> None:  # type: ignore[no-untyped-def]
    water = valley.again(iron=2.0, acidity=6.0)
    assert "a tank is no cure" in said(water)
    assert not any(line.item.startswith("settling tank") for line in water.bill)


@pytest.mark.parametrize("source", [WaterSource.POND, WaterSource.STREAM, WaterSource.DRINKING_WATER])
def test_open_and_treated_water_needs_none(valley, source: WaterSource) -> None:  # type: ignore[no-untyped-def]
    rows = valley.asked.tables.quality
    assert settling_of({InWater.IRON: 2.0}, rows, source, 1e-3) is None
    assert settling_of({}, rows, WaterSource.WELL, 1e-3) is None
    smelly = settling_of({InWater.SULPHIDE: 1.0}, rows, WaterSource.WELL, 1e-3)
    assert smelly is not None
    assert smelly.volume == pytest.approx(1e-3 * 60 * LEAST_MINUTES)
    assert np.isfinite(smelly.minutes)
