import numpy as np
import pytest

from topwire.catalogue.model import Grade
from topwire.growth.leader import (
    leader_growth,
    natural_height,
    next_height,
    replant_vigour,
    scion_vigour,
    soil_vigour,
    wire_forecast,
)
from topwire.growth.training import (
    RULES,
    limbs_too_thick,
    renewal_cuts,
    rules_for,
    widest_ratio,
)


def test_vigour_crop_and_season_move_the_leader() -> None:
    assert leader_growth(1.2) > leader_growth(1.0) > leader_growth(1.0, load=4)
    assert leader_growth(1.0, season=1.1) > leader_growth(1.0)
    assert leader_growth(1.0, load=100) > 0
    # Strong stocks lengthen less than in step with their trunks.
    assert leader_growth(2.6) < 2 * leader_growth(1.3)


def test_growth_fades_at_the_natural_height() -> None:
    top = float(natural_height(0.7))
    assert float(next_height(0.5, 0.5, top)) == pytest.approx(1.0, abs=0.01)
    assert float(next_height(top, 0.5, top)) == pytest.approx(top)
    height = 1.0
    for _ in range(60):
        height = float(next_height(height, 0.4, top))
    assert height <= top + 0.05


def test_a_weak_scion_on_a_weak_stock_never_reaches_the_wire() -> None:
    vigour = 0.68 * scion_vigour(Grade.LOW)  # Honeycrisp on B.9
    forecast = wire_forecast(
        start=1.2, yearly=float(leader_growth(vigour)), wire=3.0, natural=float(natural_height(vigour))
    )
    assert forecast.chance_by[-1] < 0.01
    assert forecast.mean_season is None or forecast.mean_season > 10


def test_forecast_is_deterministic_and_ordered() -> None:
    first = wire_forecast(start=0.46, yearly=0.76, wire=3.0)
    second = wire_forecast(start=0.46, yearly=0.76, wire=3.0)
    assert first.chance_by == second.chance_by
    assert list(first.chance_by) == sorted(first.chance_by)
    assert (np.diff(first.heights, axis=1) >= 0).all()


def test_soil_and_replant() -> None:
    assert soil_vigour(fertility="medium", depth=0.9, texture="loam") == 1
    assert soil_vigour(fertility="poor", depth=0.5, texture="sand") < 0.7
    assert soil_vigour(fertility="fertile", depth=1.5, texture="silt loam") > 1
    assert replant_vigour("tolerant", True) == 1
    assert replant_vigour("partly tolerant", True) == 0.9
    assert replant_vigour(None, True) == 0.7
    assert replant_vigour("susceptible", False) == 1


def test_every_age_has_its_rules() -> None:
    for leaf in range(16):
        assert rules_for(leaf)
    assert any("strip" in rule.what for rule in rules_for(1))
    assert not any("strip" in rule.what for rule in rules_for(7))
    assert all(rule.source for rule in RULES)


def test_limb_ratio() -> None:
    assert widest_ratio(0) == pytest.approx(2 / 3)
    assert limbs_too_thick([10, 14, 6], 20, leaf=5).tolist() == [False, True, False]
    assert limbs_too_thick([10, 14, 6], 20, leaf=0).tolist() == [False, True, False]
    assert not limbs_too_thick([13], 20, leaf=0)[0]
    with pytest.raises(ValueError, match="above 0"):
        limbs_too_thick([10], 0, leaf=3)


def test_renewal_takes_the_two_thickest() -> None:
    assert renewal_cuts([12, 24, 18, 31, 22], leader=45) == (3, 1)
    assert renewal_cuts([12, 14], leader=45) == ()
    assert renewal_cuts([22, 22, 22], leader=60) == (0, 1)
