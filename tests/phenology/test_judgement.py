"""Which cultivars do not fit a place, and what is told of winter cold: verdicts on which trees live or die."""

from types import SimpleNamespace

import numpy as np
import pytest

from topwire.phenology import injury, judgement
from topwire.phenology.findings import MisfitReason
from topwire.phenology.judgement import unfit
from topwire.phenology.telling import _cold
from topwire.values.notice import Measured, Severity
from topwire.values.quantities import Plain
from topwire.values.units import Kind

YEARS = 20


def judged(**found: np.ndarray) -> dict[str, dict[MisfitReason, tuple[int, int]]]:
    """Verdicts on one cultivar over twenty years in which it fits but for what is given, (years, 1)."""
    usual = {
        "full_bloom": np.full((YEARS, 1), 110.0),
        "chill_missed": np.zeros((YEARS, 1), dtype=bool),
        "unripe": np.zeros((YEARS, 1), dtype=bool),
        "crop": np.ones((YEARS, 1)),
    }
    coldest = found.pop("coldest", np.full(YEARS, -10.0))
    reasons = unfit(
        SimpleNamespace(years=np.arange(YEARS)),  # type: ignore[arg-type]
        SimpleNamespace(names=("Gala",), lethal=np.array([-31.0])),  # type: ignore[arg-type]
        SimpleNamespace(**(usual | found)),  # type: ignore[arg-type]
        coldest,
    )
    return {name: {one.reason: (one.years, one.of) for one in why} for name, why in reasons.items()}


def first(count: int, value: float, usual: float) -> np.ndarray:
    """(years, 1): `value` in the first years, `usual` in the rest."""
    return np.where(np.arange(YEARS) < count, value, usual)[:, None]


def test_what_fits_is_not_named() -> None:
    assert judged() == {}


@pytest.mark.parametrize(("missed", "told"), [(2, False), (3, True)])
def test_chill_missed_in_more_than_a_tenth_of_the_years(missed: int, told: bool) -> None:
    verdict = judged(chill_missed=first(missed, 1, 0).astype(bool), full_bloom=first(missed, np.nan, 110.0))
    assert verdict == ({"Gala": {MisfitReason.CHILL: (missed, YEARS)}} if told else {})


@pytest.mark.parametrize(("late", "told"), [(2, False), (3, True)])
def test_springs_too_cold_for_bloom(late: int, told: bool) -> None:
    verdict = judged(full_bloom=first(late, np.nan, 110.0))
    assert verdict == ({"Gala": {MisfitReason.COLD_SPRING: (late, YEARS)}} if told else {})


@pytest.mark.parametrize(("unripe", "told"), [(4, False), (5, True)])
def test_fruit_that_does_not_ripen(unripe: int, told: bool) -> None:
    verdict = judged(unripe=first(unripe, 1, 0).astype(bool))
    assert verdict == ({"Gala": {MisfitReason.UNRIPE: (unripe, YEARS)}} if told else {})


def test_of_years_without_bloom_no_fruit_is_judged() -> None:
    """Four unripe years are a fifth of twenty, and more than a fifth of the eighteen that bloomed."""
    bloom = np.full((YEARS, 1), 110.0)
    bloom[-2:] = np.nan
    verdict = judged(unripe=first(4, 1, 0).astype(bool), full_bloom=bloom)
    assert verdict["Gala"][MisfitReason.UNRIPE] == (4, 18)
    never = judged(full_bloom=np.full((YEARS, 1), np.nan), unripe=first(1, 1, 0).astype(bool))
    assert never["Gala"][MisfitReason.UNRIPE] == (1, 1)


@pytest.mark.parametrize(("lost", "told"), [(6, False), (7, True)])
def test_half_the_crop_lost_to_frost_in_one_year_of_three(lost: int, told: bool) -> None:
    verdict = judged(crop=first(lost, 0.49, 1.0))
    assert verdict == ({"Gala": {MisfitReason.FROST: (lost, YEARS)}} if told else {})
    assert judged(crop=first(lost, 0.5, 1.0)) == {}  # half is not more than half


@pytest.mark.parametrize(("winters", "told"), [(1, False), (2, True)])
def test_wood_hurt_in_more_than_one_winter_of_twenty(winters: int, told: bool) -> None:
    coldest = np.where(np.arange(YEARS) < winters, -31.0, -30.9)
    assert judged(coldest=coldest) == ({"Gala": {MisfitReason.WOOD: (winters, YEARS)}} if told else {})


def cold(
    lowest: float, stocks: tuple[str, ...] = (), **shares: float
) -> list[tuple[str, Severity, tuple[str, ...]]]:
    found = SimpleNamespace(coldest=np.array([lowest, -5.0]), root_injury=shares)
    told = _cold(SimpleNamespace(rootstocks=stocks), found)  # type: ignore[arg-type]
    return [(notice.code, notice.severity, tuple(notice.concerns)) for notice in told]


def test_roots_are_warned_of_where_more_than_one_winter_of_twenty_reaches_what_kills_them() -> None:
    """The stock at risk is named, with a warning; one within the limit is not, and one not known is said to be."""
    told = cold(-10.0, ("M9", "B9", "X"), M9=0.06, B9=0.05)
    assert told == [
        ("place.roots_in_cold", Severity.WARNING, ("M9",)),
        ("place.roots_unknown", Severity.REMARK, ("X",)),
    ]


@pytest.mark.parametrize(("lowest", "told"), [(-24.0, True), (-23.9, False)])
def test_wood_after_a_thaw_is_warned_of(lowest: float, told: bool) -> None:
    """-24 to -28 deg C killed hardy wood after a thaw (BRAEBURN1995)."""
    assert cold(lowest) == ([("place.wood_after_thaw", Severity.WARNING, ())] if told else [])


def test_what_is_told_of_cold_says_how_cold_and_where_it_was_published() -> None:
    found = SimpleNamespace(coldest=np.array([-26.0, -5.0]), root_injury={"M9": 0.5})
    wood, roots, unknown = _cold(SimpleNamespace(rootstocks=("M9", "X")), found)  # type: ignore[arg-type]
    assert wood.source == "BRAEBURN1995"
    assert wood.facts == {
        "lowest": Measured(-26.0, Kind.TEMPERATURE),
        "limit": Measured(-24.0, Kind.TEMPERATURE),
    }
    assert (roots.source, roots.setting) == ("MORAN2011", "trees.rootstock")
    assert roots.facts == {"share": Measured(0.5, Plain.SHARE)}
    assert unknown.setting == "trees.rootstock"


def test_limits_of_the_verdicts() -> None:
    """Common practice, no source; wood after a thaw at -24 deg C (BRAEBURN1995)."""
    assert (judgement.CHILL_MISSED, judgement.NOT_RIPE, judgement.WINTER_INJURY) == (0.1, 0.2, 0.05)
    assert (judgement.FROST_LOSS, judgement.FROST_YEARS, injury.AFTER_THAW) == (0.5, 1 / 3, -24.0)
