"""Cautions where the risk is, and salt."""

from dataclasses import replace

import pytest

from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.notice import Measured, Severity
from topwire.values.terms import WaterSource
from topwire.values.units import UnitSystem
from topwire.water import quality


@pytest.mark.parametrize("source", list(WaterSource))
def test_every_source_has_its_law_and_its_guard(fence, source: WaterSource) -> None:  # type: ignore[no-untyped-def]
    found = quality.cautions(replace(fence.asked, source_kind=source))
    cautions = [notice for notice in found if notice.severity is Severity.CAUTION]
    assert len(cautions) >= 3
    text = " ".join(told.says + told.remedy for told in all_told(cautions, Reader(UnitSystem.US)))
    assert "backflow" in text or "check valve" in text
    assert ("permit" in text) == (source is not WaterSource.DRINKING_WATER)


def test_frost_water_is_not_drip(fence) -> None:  # type: ignore[no-untyped-def]
    asked = replace(fence.asked, seasons=replace(fence.asked.seasons, bloom_kill=0.3))
    (frost,) = (notice for notice in quality.cautions(asked) if notice.code == "water.frost")
    wanted = frost.facts["wanted"]
    assert isinstance(wanted, Measured)
    assert wanted.value * 3600 == pytest.approx(3.5e-3 * asked.floor)  # 3.5 mm an hour on all the floor
    plenty = replace(asked, source=replace(asked.source, flow=10.0))
    assert any(notice.facts.get("enough") is True for notice in quality.cautions(plenty))
    calm = replace(fence.asked, seasons=replace(fence.asked.seasons, bloom_kill=0.0))
    assert not any(notice.code == "water.frost" for notice in quality.cautions(calm))


def test_salt_costs_crop_beyond_the_threshold() -> None:
    assert quality.yield_under_salt([0.0, 1.7, 2.7, 20.0]).tolist() == [100.0, 100.0, 84.0, 0.0]
    assert quality.leaching_share_drip(0.8, 8.0) == pytest.approx(0.05)


def test_laboratory_figures_are_judged(fence) -> None:  # type: ignore[no-untyped-def]
    unknown = quality.tested(replace(fence.asked, salt=None, iron=None))
    assert [notice.severity for notice in unknown] == [Severity.ASSUMPTION]
    assert quality.tested(replace(fence.asked, salt=0.3, iron=0.05)) == []
    found = quality.tested(replace(fence.asked, salt=2.0, iron=3.0))
    salty, rusty = all_told(found, Reader(UnitSystem.METRIC))
    assert "79% of a full crop" in salty.says  # 100 - 16 (1.5 * 2 - 1.7)
    assert "Too much for drip" in rusty.remedy
