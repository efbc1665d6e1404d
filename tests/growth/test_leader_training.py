import pytest

from topwire.growth.leader import leader_growth, natural_height, next_height, soil_vigour
from topwire.growth.training import FLAT, TrainingJob, rules_of
from topwire.tell.growth import TRAINING
from topwire.values.terms import Training
from topwire.values.traits import Grade, ReplantTolerance
from topwire.values.vigour import SCION_VIGOUR, replant_vigour, scion_grade


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
    vigour = 0.68 * SCION_VIGOUR[Grade.LOW]  # Honeycrisp on B.9
    height, top = 1.2, float(natural_height(vigour))
    for _ in range(15):
        height = float(next_height(height, leader_growth(vigour), top))
    assert height < 3.0


def test_a_triploid_is_strong_and_an_unknown_scion_medium() -> None:
    assert scion_grade(None, 3) is scion_grade(Grade.LOW, 3) is Grade.HIGH
    assert scion_grade(None, None) is Grade.MEDIUM
    assert scion_grade(Grade.LOW, 2) is Grade.LOW


def test_soil_and_replant() -> None:
    assert soil_vigour(fertility="medium", depth=0.9, texture="loam") == 1
    assert soil_vigour(fertility="poor", depth=0.5, texture="sand") < 0.7
    assert soil_vigour(fertility="fertile", depth=1.5, texture="silt loam") > 1
    assert replant_vigour(ReplantTolerance.TOLERANT, True) == 1
    assert replant_vigour(ReplantTolerance.PARTLY_TOLERANT, True) == 0.9
    assert replant_vigour(None, True) == replant_vigour(ReplantTolerance.SUSCEPTIBLE, True) == 0.7
    assert replant_vigour(ReplantTolerance.SUSCEPTIBLE, False) == 1


def test_every_age_has_its_rules() -> None:
    def jobs(leaf: int) -> set[TrainingJob]:
        return {rule.job for rule in rules_of(False) if rule.first_leaf <= leaf <= rule.last_leaf}

    assert all(jobs(leaf) for leaf in range(16))
    assert TrainingJob.STRIP_FLOWERS in jobs(1)
    assert TrainingJob.STRIP_FLOWERS not in jobs(7)
    assert all(TrainingJob.STRIP_BELOW_WIRE in jobs(leaf) for leaf in range(2, 6))
    assert all(rule.source for rule in rules_of(False))
    told = {rule.job for kind in (True, False) for form in Training for rule in rules_of(kind, form)}
    assert told == set(TRAINING) == set(TrainingJob)


@pytest.mark.parametrize("form", list(Training))
@pytest.mark.parametrize("stripped", [0, 1, 3, 4])
def test_flowers_are_stripped_up_to_the_leaf_foreseen_and_no_longer(form: Training, stripped: int) -> None:
    rules = [rule for rule in rules_of(True, form, 4, stripped) if rule.job is TrainingJob.STRIP_BELOW_WIRE]
    all_off = 2 if form in FLAT else 1
    assert [(rule.first_leaf, rule.last_leaf) for rule in rules] == [(all_off + 1, stripped)] * (
        stripped > all_off
    )
