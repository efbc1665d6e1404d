"""Cautions where the risk is, and salt."""

import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.notices import Severity
from topwire.plan.trees import WaterSource
from topwire.values.units import UnitSystem
from topwire.water import quality
from topwire.water.tables import water_tables


def said(source: WaterSource, **changed: object) -> str:
    given = {"floor": 5000.0, "flow": 1e-3, "units": UnitSystem.METRIC, "frosty": True} | changed
    return "\n".join(str(notice) for notice in quality.notices(source, **given))  # type: ignore[arg-type]


@pytest.mark.parametrize("source", list(WaterSource))
def test_every_source_has_its_law_and_its_guard(source: WaterSource) -> None:
    found = quality.notices(source, floor=5000.0, flow=1e-3, units=UnitSystem.US, frosty=False)
    cautions = [notice for notice in found if notice.severity is Severity.CAUTION]
    assert len(cautions) >= 3
    text = " ".join(notice.says + notice.remedy for notice in cautions)
    assert "backflow" in text or "check valve" in text
    assert ("permit" in text) == (source is not WaterSource.DRINKING_WATER)


def test_frost_water_is_not_drip() -> None:
    text = said(WaterSource.WELL)
    assert "drip does not protect bloom" in text
    assert "17.5" in text  # 3.5 mm an hour on half a hectare, m3/h
    assert "It is not enough" in text
    assert "It is enough" in said(WaterSource.WELL, flow=0.1)
    assert "drip does not protect" not in said(WaterSource.WELL, frosty=False)


def test_salt_costs_crop_beyond_the_threshold() -> None:
    assert quality.yield_under_salt([0.0, 1.7, 2.7, 20.0]).tolist() == [100.0, 100.0, 84.0, 0.0]
    assert quality.leaching_share_drip(0.8, 8.0) == pytest.approx(0.05)


def test_laboratory_figures_are_judged() -> None:
    table = water_tables(Catalogue(read_tables())).quality
    unknown = quality.tested(None, None, table)
    assert [notice.severity for notice in unknown] == [Severity.ASSUMPTION]
    assert quality.tested(0.3, 0.05, table) == ()
    salty, rusty = quality.tested(2.0, 3.0, table)
    assert "79 % of a full crop" in salty.says  # 100 - 16 (1.5 * 2 - 1.7)
    assert "Too much for drip" in rusty.remedy
