"""SoilStore water: the books close, stress and rules do what they say."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from topwire.water import balance
from topwire.water.balance import Drive, Rule, SoilStore


def season(seed: int, days: int = 200, columns: int = 6) -> Drive:
    random = np.random.default_rng(seed)
    return Drive(
        random.uniform(0, 9, (days, columns)),
        random.exponential(3, (days, columns)) * (random.random((days, columns)) < 0.3),
        random.uniform(0.1, 1.2, (days, columns)),
        random.uniform(0, 0.2, (days, columns)),
        random.uniform(0, 0.7, (days, columns)),
        1.25,
        (random.random((days, columns)) < 0.8).astype(float),
        random.uniform(0.3, 1.0, columns),
    )


@settings(max_examples=60, deadline=None)
@given(
    seed=some.integers(0, 10_000),
    capacity=some.floats(0.12, 0.42),
    wilting=some.floats(0.2, 0.8),
    depth=some.floats(0.2, 2.0),
    rooted=some.floats(0.05, 1.0),
    trigger=some.floats(0.0, 1.2),
    refill=some.floats(0.0, 0.8),
    most=some.floats(0.0, 30.0),
    start=some.floats(0.0, 300.0),
)
def test_the_books_close(
    seed: int,
    capacity: float,
    wilting: float,
    depth: float,
    rooted: float,
    trigger: float,
    refill: float,
    most: float,
    start: float,
) -> None:
    soil = SoilStore(capacity, wilting * capacity, depth, rooted)
    run = balance.run(season(seed), soil, Rule(trigger, refill, most), start=start)
    assert np.abs(run.error).max() < 1e-9
    # and on every single day
    before = np.vstack([run.start, run.depletion[:-1]])
    daily = (
        run.depletion
        - before
        - (run.transpiration + run.evaporation + run.deep_loss - run.irrigation - run.rain_in)
    )
    assert np.abs(daily).max() < 1e-9
    assert (run.depletion >= -1e-12).all()
    assert (run.depletion <= soil.total_available + 1e-9).all()
    for flow in (run.transpiration, run.evaporation, run.deep_loss, run.irrigation):
        assert (flow >= -1e-12).all()
    assert ((run.stress >= 0) & (run.stress <= 1)).all()


def test_columns_do_not_touch() -> None:
    drive = season(1)
    soil, rule = SoilStore(0.28, 0.12, 0.7, 0.5), Rule()
    together = balance.run(drive, soil, rule)
    for column in range(6):
        one = slice(column, column + 1)
        alone = balance.run(
            Drive(
                drive.reference[:, one],
                drive.rain[:, one],
                drive.basal[:, one],
                np.asarray(drive.grass)[:, one],
                np.asarray(drive.cover)[:, one],
                1.25,
                np.asarray(drive.allowed)[:, one],
                np.asarray(drive.mulch)[one],
            ),
            soil,
            rule,
        )
        assert alone.depletion[:, 0] == pytest.approx(together.depletion[:, column], abs=1e-12)


def dry(days: int, **more: object) -> Drive:
    shape = (days, 1)
    return Drive(np.full(shape, 6.0), np.zeros(shape), np.full(shape, 0.9), **more)  # type: ignore[arg-type]


def test_drying_follows_the_equations_step_by_step() -> None:
    """The loop inside `run` against the equations written out, unwatered, one day at a time."""
    soil, rule = SoilStore(0.25, 0.12, 0.8, 1.0, 0.5, 0.1, 9.0), Rule(most_per_day=0.0, wetted_share=0.3)
    run = balance.run(dry(60, cover=0.4, most=1.25), soil, rule)
    taw, tew = float(soil.total_available), float(soil.total_evaporable)
    exposed = min(0.6, (1 - 2 / 3 * 0.4) * 0.3)
    depletion = surface = 0.0
    for day in range(60):
        kr = min((tew - surface) / (tew - 9.0), 1.0)
        ke = min(kr * (1.25 - 0.9), exposed * 1.25)
        share = min(max(0.5 + 0.04 * (5 - (0.9 + ke) * 6), 0.1), 0.8)
        ks = min((taw - depletion) / ((1 - share) * taw), 1.0)
        vapour = min(ke * 6, (tew - surface) * exposed)
        drink = ks * 0.9 * 6
        surface = min(surface + vapour / exposed, tew)
        depletion = depletion + vapour + drink
        assert run.stress[day, 0] == pytest.approx(ks)
        assert run.depletion[day, 0] == pytest.approx(depletion)


def test_watering_keeps_stress_away_and_none_does_not() -> None:
    soil = SoilStore(0.25, 0.12, 0.6, 0.6)
    watered = balance.run(dry(90), soil, Rule(0.8, 0.3, 20.0))
    left = balance.run(dry(90), soil, Rule(most_per_day=0.0))
    assert watered.stress.min() > 0.95
    assert left.stress.min() < 0.1
    assert left.irrigation.sum() == 0
    assert watered.irrigation.sum() > 200


def test_a_ceiling_holds_water_back() -> None:
    soil = SoilStore(0.25, 0.12, 0.6, 0.6)
    free = balance.run(dry(60), soil, Rule())
    held = balance.run(dry(60, ceiling=2.0), soil, Rule())
    assert held.irrigation.max() <= 2.0
    assert held.irrigation.sum() < free.irrigation.sum()
    assert held.stress.min() < free.stress.min()


def test_water_given_counts_whatever_the_rule_says() -> None:
    given_water = np.zeros((30, 1))
    given_water[10] = 12.0
    run = balance.run(dry(30, given=given_water, allowed=0.0), SoilStore(0.25, 0.12, 0.8), Rule())
    assert run.irrigation[:, 0].tolist() == given_water[:, 0].tolist()


def test_mulch_lets_less_steam_off() -> None:
    soil, rule = SoilStore(0.25, 0.12, 0.8, 0.6), Rule()
    bare, mulched = (balance.run(dry(60, mulch=mulch), soil, rule) for mulch in (1.0, 0.5))
    assert mulched.evaporation.sum() < bare.evaporation.sum()
    assert mulched.irrigation.sum() < bare.irrigation.sum()


def test_full_soil_passes_rain_to_depth() -> None:
    drive = Drive(np.zeros((3, 1)), np.array([[0.0], [25.0], [0.0]]), np.full((3, 1), 0.5))
    run = balance.run(drive, SoilStore(0.25, 0.12, 0.8, 0.5), Rule())
    assert run.deep_loss[:, 0].tolist() == [0.0, 12.5, 0.0]


def test_gaps_are_refused() -> None:
    drive = dry(5)
    drive.rain[2] = np.nan
    with pytest.raises(ValueError, match="rain has gaps"):
        balance.run(drive, SoilStore(0.25, 0.12, 0.8), Rule())
