"""Years solved on from where others stood cost what they cost from nothing."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import need
from choice.test_brute_force import kitchen

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Limits
from topwire.choice.solver import OUT
from topwire.choice.supply import Supply
from topwire.choice.years import Years


def asked(more: float = 1.0) -> tuple[WeeklyNeed, ...]:
    return (
        need("fresh", 30, 8, weekly=30.0 * more, weight=2.0),
        need("pie", 42, 10, weekly=15.0),
        need("juice", 30, 50, total=400.0 / more),
    )


def of(seed: int) -> tuple[Supply, Limits, Array, Array]:
    """Supply and limits, many trees of all cultivars, and of every other one."""
    supply, limits, _ = kitchen(seed)
    many, few = np.full(len(supply.cultivars), 8.0), np.zeros(len(supply.cultivars))
    few[::2] = 12.0
    return supply, replace(limits, places=90, press_week=30.0, cellar=40.0), many, few


def test_who_forgets_others_answers_as_before() -> None:
    supply, limits, many, few = of(21)
    years = Years(supply, asked(), limits)
    every = np.arange(supply.years.size)
    of_many, before = years.short(many, every)[0], years.short(few, every)[0]
    years.forget_others()
    assert years.short(few, every)[0] == pytest.approx(before, rel=1e-9)
    assert years.short(many, every)[0] == pytest.approx(of_many, rel=1e-9)


@pytest.mark.parametrize("seed", range(21, 27))
def test_who_keeps_some_answers_as_before(seed: int) -> None:
    supply, limits, many, few = of(seed)
    years = Years(supply, asked(), limits)
    every = np.arange(supply.years.size)
    of_many, before = years.short(many, every)[0], years.short(few, every)[0]
    years.keep_only(np.flatnonzero(few))
    assert years.short(few, every)[0] == pytest.approx(before, rel=1e-9)
    assert years.short(many, every)[0] == pytest.approx(of_many, rel=1e-9)


@pytest.mark.parametrize("more", [1.0, 1.3])
@pytest.mark.parametrize("seed", range(21, 27))
def test_who_stands_where_another_stood_answers_as_from_nothing(seed: int, more: float) -> None:
    """Of the same amounts and of others, of all cultivars and of a few of them."""
    supply, limits, many, few = of(seed)
    first = Years(supply, asked(), limits)
    every, keep = np.arange(supply.years.size), np.flatnonzero(few)
    first.short(many, every)
    bases = first.bases(np.arange(many.size))
    assert all((one.columns != OUT).any() for one in bases)
    for within, stood in ((np.arange(many.size), bases), (keep, first.among(bases, keep))):
        some, fewer = supply.chosen(within), limits.some(within)
        on, anew = (Years(some, asked(more), fewer, bases=each) for each in (stood, ()))
        for trees in (many[within], few[within]):
            planted = (trees > 0).astype(float)
            assert on.ask(trees, planted)[0] == pytest.approx(anew.ask(trees, planted)[0], rel=1e-9)


def test_of_years_never_solved_nothing_is_told() -> None:
    supply, limits, many, _ = of(21)
    bases = Years(supply, asked(), limits).bases(np.arange(many.size))
    assert all((one.columns == OUT).all() and (one.rows == OUT).all() for one in bases)
