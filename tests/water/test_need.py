"""WaterNeed of a site over the years: the books close, years carry over, and limits hold."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.water.canopy import canopy
from topwire.water.climate import DAYS, WaterClimate
from topwire.water.demand import Stages
from topwire.water.need import Site, Variation, WaterNeed, density_of, foresee_needs, prepare, stages
from topwire.water.question import water_tables

TABLES = water_tables(Catalogue(read_tables()))
APPLE = TABLES.covers["apple, bare alley, killing frost"]
GRASS = TABLES.covers["grass alone, cool season"]


def made_up(years: int, seed: int = 5, rainy: float = 2.5) -> WaterClimate:
    random = np.random.default_rng(seed)
    turn = 2 * np.pi * np.arange(DAYS)[:, np.newaxis] / DAYS
    reference = np.maximum(2.6 - 2.4 * np.cos(turn) + random.normal(0, 0.8, (DAYS, years)), 0.1)
    rain = random.exponential(rainy / 0.3, (DAYS, years)) * (random.random((DAYS, years)) < 0.3)
    return WaterClimate(
        np.arange(1990, 1990 + years), reference, rain,
        np.full(years, 50.0), np.full(years, 2.0), (),
    )  # fmt: skip


def turns(years: int) -> Stages:
    return Stages(*(np.full(years, float(day)) for day in (95, 115, 160, 290, 315)))


def site(
    texture: str = "loam", *, row_spacing: float = 3.5, tree_spacing: float = 0.9, grassed: bool = True
) -> Site:
    soil = TABLES.soils[texture]
    crown = canopy(
        wall_height=3.2, row_spacing=row_spacing, tree_spacing=tree_spacing, soil_depth=0.9, grassed=grassed
    )
    return Site("A", row_spacing, tree_spacing, crown, soil, min(soil.wetted_width_m / row_spacing, 1.0))


def foresee_need(place: Site, climate: WaterClimate, *given: Stages, **named: object) -> WaterNeed:
    """Of one site alone."""
    prepared = prepare(place, climate, *given, **named)  # type: ignore[arg-type]
    return foresee_needs([(place, prepared)], climate.years)[0]


def grown(climate: WaterClimate, place: Site, **named: object) -> WaterNeed:
    return foresee_need(
        place,
        climate,
        turns(climate.years.size),
        trees=APPLE,
        grass=GRASS,
        mulch=False,
        **named,
    )


@settings(max_examples=30, deadline=None)
@given(
    texture=some.sampled_from(sorted(TABLES.soils)),
    row_spacing=some.floats(2.5, 6.0),
    tree_spacing=some.floats(0.5, 3.0),
    grassed=some.booleans(),
    mulch=some.booleans(),
    seed=some.integers(0, 999),
    rainy=some.floats(0.0, 8.0),
)
def test_books_close_over_any_weather_soil_and_plan(
    texture: str, row_spacing: float, tree_spacing: float, grassed: bool, mulch: bool, seed: int, rainy: float
) -> None:
    climate = made_up(4, seed, rainy)
    place = site(texture, row_spacing=row_spacing, tree_spacing=tree_spacing, grassed=grassed)
    need = foresee_need(place, climate, turns(4), trees=APPLE, grass=GRASS if grassed else None, mulch=mulch)
    assert np.abs(need.runs.error).max() < 1e-9
    assert need.net.shape == (4, 6)
    assert (need.net >= 0).all()


def test_years_carry_over_what_the_year_before_left() -> None:
    climate = made_up(6)
    runs = grown(climate, site()).runs
    depletion = runs.depletion.reshape(DAYS, 6, 6)
    start = runs.start.reshape(6, 6)
    assert start[0].tolist() == [0.0] * 6
    assert start[1:] == pytest.approx(depletion[-1, :-1])


def test_a_year_after_a_gap_starts_full() -> None:
    climate = made_up(3)
    gap = WaterClimate(
        np.array([1990, 1991, 1993]),
        *(getattr(climate, name) for name in list(WaterClimate.__dataclass_fields__)[1:]),
    )
    start = grown(gap, site()).runs.start.reshape(3, 6)
    assert start[2].tolist() == [0.0] * 6


def test_no_watering_outside_the_season() -> None:
    given_water = grown(made_up(5), site()).runs.irrigation
    assert given_water[:94].sum() == 0
    assert given_water[315:].sum() == 0
    assert given_water.sum() > 0


def test_a_watering_is_no_more_than_its_soil_holds_ready() -> None:
    place = site()
    need = grown(made_up(5), place)
    given_water = need.shaped(need.runs.irrigation)
    crown = place.canopy
    wetted = np.minimum(place.wetted_share / crown.rooted_share, 1.0)
    total = (
        1000 * (place.soil.field_capacity - place.soil.wilting_point) * crown.root_depth * crown.rooted_share
    )
    assert (given_water.max(axis=(0, 1)) <= 0.5 * total * wetted + 1e-9).all()


def test_well_watered_trees_hardly_suffer() -> None:
    need = grown(made_up(8), site())
    assert need.shaped(need.runs.stress)[:, :, 1:].min() > 0.9


def test_variations_run_on_full_grown_trees() -> None:
    climate, place = made_up(8), site()
    plain = grown(climate, place, variation=Variation())
    every = grown(climate, place)
    assert plain.net[:, 0] == pytest.approx(every.net[:, -1])
    mulched = grown(climate, place, variation=Variation(mulch=True))
    assert mulched.net.sum() < plain.net.sum()


def test_low_sun_over_an_east_west_row_shades_more() -> None:
    along, across = site(), replace(site(), noon_elevation=np.radians(25))
    # a crown whose use is held by its shade, not by the multiplier
    wide = replace(along.canopy, cover=np.full(6, 0.7))
    shares = [density_of(replace(place, canopy=wide)) for place in (along, across)]
    assert (shares[1] > shares[0]).all()
    assert (shares[1] <= 1).all()


def test_seasons_unknown_take_the_median() -> None:
    found = stages(
        np.array([1990, 1991, 1992]),
        np.array([1991, 1992]),
        np.array([90.0, 100.0]),
        np.array([300.0, np.nan]),
    )
    assert found.bud_break.tolist() == [95.0, 90.0, 100.0]
    assert found.leaf_fall.tolist() == [314.0, 314.0, 314.0]
