"""Cautions where the risk is, and salt."""

from dataclasses import replace

import numpy as np
import pytest

from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.notice import Measured, Severity
from topwire.values.terms import WaterSource
from topwire.values.units import UnitSystem
from topwire.water import quality
from topwire.water.clogging import Hazard, InWater, clogging, needs_media
from topwire.water.findings import WaterJob, WaterPlan


@pytest.mark.parametrize("source", list(WaterSource))
def test_every_source_has_its_law_and_its_guard(fence, source: WaterSource) -> None:  # type: ignore[no-untyped-def]
    found = quality.cautions(replace(fence.asked, source_kind=source))
    cautions = [notice for notice in found if notice.severity is Severity.CAUTION]
    assert len(cautions) >= 3
    text = " ".join(told.says + told.remedy for told in all_told(cautions, Reader(UnitSystem.US)))
    assert "backflow" in text or "check valve" in text
    assert ("permit" in text) == (source is not WaterSource.DRINKING_WATER)


def test_frost_water_is_not_drip(fence) -> None:  # type: ignore[no-untyped-def]
    asked = replace(fence.asked, planted=replace(fence.asked.planted, bloom_kill=0.3))
    (frost,) = quality.against_frost(asked)
    assert frost.code == "water.frost"
    wanted = frost.facts["wanted"]
    assert isinstance(wanted, Measured)
    assert wanted.value * 3600 == pytest.approx(3.5e-3 * asked.floor)  # 3.5 mm an hour on all the floor
    plenty = replace(asked, source=replace(asked.source, flow=10.0))
    assert [notice.facts["enough"] for notice in quality.against_frost(plenty)] == [True]
    calm = replace(fence.asked, planted=replace(fence.asked.planted, bloom_kill=0.0))
    assert not quality.against_frost(calm)


def test_salt_costs_crop_beyond_the_threshold() -> None:
    assert quality.yield_under_salt([0.0, 1.7, 2.7, 20.0]).tolist() == [100.0, 100.0, 84.0, 0.0]
    assert quality.leaching_share_drip(0.8, 8.0) == pytest.approx(0.05)


def test_laboratory_figures_are_judged(fence) -> None:  # type: ignore[no-untyped-def]
    unknown = quality.tested(replace(fence.asked, test={}))
    assert [notice.severity for notice in unknown] == [Severity.ASSUMPTION]
    found = quality.tested(replace(fence.asked, test={InWater.SALT: 2.0, InWater.IRON: 3.0}))
    _, salty, rusty, _ = all_told(found, Reader(UnitSystem.METRIC))
    assert "79% of a full crop" in salty.says  # 100 - 16 (1.5 * 2 - 1.7)
    assert "Too much for drip" in rusty.remedy


@pytest.mark.parametrize(
    ("test", "hazard", "media"),
    [
        ({}, Hazard.NONE, False),
        ({InWater.IRON: 0.1, InWater.ACIDITY: 7.0, InWater.SUSPENDED: 50.0}, Hazard.NONE, False),
        ({InWater.IRON: 0.2}, Hazard.SOME, True),
        ({InWater.ACIDITY: 7.5}, Hazard.SOME, False),  # lime passes sand as it passes a screen
        ({InWater.MANGANESE: 1.6}, Hazard.SEVERE, True),
        ({InWater.SULPHIDE: 1.0, InWater.BACTERIA: 60_000.0}, Hazard.SEVERE, True),
        ({InWater.SALT: 9.0, InWater.BORON: 3.0}, Hazard.NONE, False),  # they hurt trees, not emitters
    ],
)
def test_clogging_by_the_classes_of_bucks(valley, test, hazard: Hazard, media: bool) -> None:  # type: ignore[no-untyped-def]
    """Bucks and Nakayama's bounds: iron and manganese 0.1 and 1.5 mg/L, pH 7 and 8, matter 50 and 100 (MEMORY)."""
    rows = valley.asked.tables.quality
    assert clogging(test, rows) is hazard
    assert needs_media(test, rows) is media


def test_filter_and_flushing_follow_the_test(valley) -> None:  # type: ignore[no-untyped-def]
    clean, laden = valley.again(iron=0.05, suspended=10), valley.again(iron=0.5, suspended=120)

    def flushes(water: WaterPlan) -> list[int]:
        return [entry.day for entry in water.calendar if entry.job is WaterJob.FLUSH]

    assert np.diff(flushes(clean)).tolist() == [28] * (len(flushes(clean)) - 1)
    assert np.diff(flushes(laden)).tolist() == [7] * (len(flushes(laden)) - 1)
    assert not any("media filter" in line.item for line in clean.bill)
    assert any("media filter" in line.item for line in laden.bill)
    told = " ".join(one.says + one.remedy for one in all_told(laden.notices, Reader(UnitSystem.US)))
    assert "a media filter with a screen behind it stands at the source" in told
    assert "flushed every 7 days" in told
    assert [note.found for note in laden.quality if note.name in ("iron", "suspended matter")] == [0.5, 120]
