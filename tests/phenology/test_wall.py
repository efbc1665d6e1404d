"""A wall in the sun: sooner bloom and ripening, hotter afternoons, over a stated range."""

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as some
from phenology_support import catalogue, invented

from topwire.phenology.answer import CALENDAR_YEAR
from topwire.phenology.asked import WallFaced
from topwire.phenology.findings import WallSeasons
from topwire.phenology.forecast import forecast
from topwire.phenology.question import traits_of
from topwire.phenology.seasons import cut
from topwire.phenology.wall import before_wall, wall_warmth
from topwire.values.terms import FenceColour, FenceKind


@cache
def before(low: float, high: float) -> WallSeasons:
    seasons, traits = cut(invented("2000-10-01", "2008-10-20", warmer=1.0), 48.0), traits_of(catalogue())
    today = forecast(seasons, traits, colder=1.0)
    return before_wall(WallFaced("Wall", low, high), seasons, CALENDAR_YEAR, traits, today, colder=1.0)


def test_a_wall_without_warmth_is_open_ground() -> None:
    found = before(0.0, 0.0)
    assert found.bloom_sooner == found.ripe_sooner == (0.0, 0.0)
    assert found.frost == pytest.approx((found.frost_open, found.frost_open))
    assert found.sunburn == (found.sunburn_open, found.sunburn_open)


def test_before_a_brick_wall_bloom_comes_as_much_sooner_as_in_a_warmer_spring() -> None:
    """Five to six days a kelvin that long series of apples show (as phenology/bloom.py); gardeners say three to ten
    days at a south wall (common practice, no source)."""
    found = before(0.5, 1.5)
    low, high = found.bloom_sooner
    assert 0.5 * 3.5 <= low < high <= 1.5 * 7.5
    assert 0 < found.ripe_sooner[0] < found.ripe_sooner[1] < 3 * high
    assert found.sunburn_open <= found.sunburn[0] <= found.sunburn[1]


@given(some.floats(0, 359.9), some.sampled_from([FenceKind.SOLID, FenceKind.WALL]))
def test_more_sun_and_darker_walls_are_warmer(facing: float, kind: FenceKind) -> None:
    warmth = [
        wall_warmth(kind, colour, facing)
        for colour in (FenceColour.PALE, FenceColour.BRICK, FenceColour.DARK)
    ]
    known = [one for one in warmth if one is not None]
    assert len(known) in (0, 3)
    assert known == sorted(known)
    for one in known:
        south = wall_warmth(kind, FenceColour.DARK, 180.0)
        assert south is not None
        assert 0 < one[0] < one[1] <= south[1] < 2.5


def test_sunless_walls_and_open_fences_warm_nothing() -> None:
    assert wall_warmth(FenceKind.WALL, FenceColour.DARK, 0.0) is None
    assert wall_warmth(FenceKind.OPEN, FenceColour.DARK, 180.0) is None
