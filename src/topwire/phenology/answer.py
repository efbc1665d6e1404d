"""From the weather record to the seasons of every cultivar."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from topwire.phenology import frost, injury
from topwire.phenology.asked import PlaceQuestion
from topwire.phenology.bloom import DAYS_BEFORE_NEW_YEAR, WINTER_HOURS
from topwire.phenology.calibration import BLOOM_SPREAD
from topwire.phenology.chill import chilling_hours, utah_units
from topwire.phenology.disease_weather import blight_years
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.forecast import Array
from topwire.phenology.heat import growing_degree_hours, mean_above
from topwire.phenology.judgement import unfit
from topwire.phenology.own_dates import BLOOM, HARVEST, error_of, learn, offset_error_of, used_in
from topwire.phenology.seasons import Seasons, cut
from topwire.phenology.spring import HARDER_FROST, running_chill
from topwire.phenology.telling import place_notices
from topwire.phenology.traits import BY_SEASON
from topwire.phenology.wall import before_wall
from topwire.phenology.warming import COLD_HALF, frost_years, today_from, trend, warmer_climates
from topwire.values.notice import CannotAnswer, refusal
from topwire.values.progress import Progress, silent
from topwire.weather.cell import spring_share
from topwire.weather.record import Weather

# Slices of the season's days, which begin on 1 October.
NEW_YEAR_TO_APRIL = slice(DAYS_BEFORE_NEW_YEAR, DAYS_BEFORE_NEW_YEAR + 120)
GROWING = slice(DAYS_BEFORE_NEW_YEAR + 90, DAYS_BEFORE_NEW_YEAR + 304)  # April to October
CALENDAR_YEAR = slice(DAYS_BEFORE_NEW_YEAR, DAYS_BEFORE_NEW_YEAR + 304)  # what a usable year surely has
WARMER_NIGHT = 1.0  # [K] by which a degree's worth is told
HEAT_BASE = 10.0  # [deg C]
DAYS_OF_MONTH = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


@dataclass(frozen=True)
class Winters:
    """What a place's answer begins with: its seasons and their running chill, (years, hours) [portions]."""

    seasons: Seasons
    chill: Array


def winters_of(asked: Sequence[PlaceQuestion]) -> list[Winters]:
    """Seasons and chill of several places, summed together: that costs little more than one place alone."""
    seasons = [cut(one.weather, one.latitude) for one in asked]
    return [Winters(own, chill) for own, chill in zip(seasons, running_chill(seasons), strict=True)]


def answer(asked: PlaceQuestion, progress: Progress = silent, winters: Winters | None = None) -> PlaceSeasons:
    """Seasons of all cultivars over all usable weather years, today and in a warmer climate.

    Parameters
    ----------
    winters : of this very question, where they were worked out with other places'

    Raises
    ------
    CannotAnswer
        When no year of the record can be used.
    """
    progress("cutting the weather into seasons")
    weather, colder = asked.weather, asked.colder
    if winters is None:
        (winters,) = winters_of([asked])
    seasons = winters.seasons
    if seasons.years.size == 0:
        raise CannotAnswer([refusal("place.no_year", setting="weather.files")])
    progress(f"bloom, frost and harvest of {len(asked.traits.names)} cultivars in {seasons.years.size} years")
    traits, today, learned = learn(
        seasons,
        asked.traits,
        asked.own_dates,
        colder=colder,
        chill=winters.chill,
        had_nights=(WARMER_NIGHT, -HARDER_FROST),
    )
    coldest = seasons.tmin[:, COLD_HALF].min(axis=1) - colder
    reasons = unfit(seasons, traits, today, coldest)

    progress("the same in a warmer climate")
    since = today_from(seasons.years)
    warmer = warmer_climates(asked, seasons, traits, today, since, reasons)
    soil = injury.coldest_soil(seasons.tmin[:, COLD_HALF], seasons.tmax[:, COLD_HALF])
    root_risk = injury.winters_below(soil, np.array([row.lethal for row in asked.roots]))
    hours = seasons.temperature[:, :WINTER_HOURS]
    bloom_error = error_of(BLOOM, traits, today, learned)
    harvest_error = error_of(HARVEST, traits, today, learned)
    blight_bloom, blight_warm, wet_spring = blight_years(
        partial(_of_year, weather), seasons.years, today.first_bloom, today.petal_fall
    )
    found = PlaceSeasons(
        years=seasons.years,
        cultivars=traits.names,
        first_bloom=today.first_bloom,
        full_bloom=today.full_bloom,
        petal_fall=today.petal_fall,
        harvest_first=today.harvest_first,
        harvest_last=today.harvest_last,
        bloom_kill=today.kill,
        crop_after_frost=today.crop,
        green_tip=today.green_tip[:, traits.reference],
        last_frost=frost.last_frost(seasons.tmin - colder),
        first_frost=frost.first_frost(seasons.tmin - colder),
        chill_portions=today.chill[:, WINTER_HOURS - 1],
        heat_degree_days=mean_above(seasons.tmin[:, GROWING], seasons.tmax[:, GROWING], HEAT_BASE).sum(
            axis=1
        ),
        coldest=coldest,
        hottest=seasons.tmax[:, CALENDAR_YEAR].max(axis=1),
        normals=_normals(weather),
        unusable_years=seasons.unusable,
        worth_of_a_degree=_mean_over_years(frost.crop_left(today.kill_had_nights[0]) - today.crop),
        unfit=reasons,
        warmer=warmer,
        today_from=since,
        bloom_trend=trend(seasons.years, today.full_bloom[:, traits.reference]),
        frost_years_today=frost_years(today.kill[seasons.years >= since, traits.reference]),
        bloom_error_days=float(np.sqrt(np.mean(bloom_error**2))),
        harvest_error_days=float(np.sqrt(np.mean(harvest_error**2))),
        bloom_error=bloom_error,
        harvest_error=harvest_error,
        offset_error=offset_error_of(BLOOM, traits, learned),
        single_error=BLOOM_SPREAD.single,
        hardiness_zone=injury.hardiness_zone(coldest),
        notices=(),
        chill_hours=chilling_hours(hours).sum(axis=1),
        utah_units=utah_units(hours).sum(axis=1),
        growing_degree_hours=growing_degree_hours(
            seasons.temperature[:, NEW_YEAR_TO_APRIL.start * 24 : NEW_YEAR_TO_APRIL.stop * 24]
        ).sum(axis=1),
        sunburn_days=injury.sunburn_days(seasons.tmax[:, CALENDAR_YEAR]),
        frost_chance=np.stack([frost.chance_of_losing(today.kill, part) for part in (0.1, 0.5, 0.9)], axis=1),
        winter_injury=injury.winters_below(coldest, traits.lethal),
        root_injury={row.rootstock: float(share) for row, share in zip(asked.roots, root_risk, strict=True)},
        learned=tuple(used_in(item, traits) for item in learned),
        by_season=tuple(
            name for name, own in zip(traits.names, traits.harvest_error, strict=True) if own >= BY_SEASON
        ),
        blight_bloom=blight_bloom,
        blight_warm=blight_warm,
        wet_spring=wet_spring,
        crop_after_harder_frost=frost.crop_left(today.kill_had_nights[1]),
        cell_nights=0.0 if weather.from_cell is None else spring_share(weather.day, weather.from_cell),
        own_mornings=asked.own_mornings,
        walls=tuple(
            before_wall(wall, seasons, CALENDAR_YEAR, traits, today, colder=colder) for wall in asked.walls
        ),
    )
    chill_missed = int(today.chill_missed[:, traits.reference].sum())
    return replace(found, notices=tuple(place_notices(asked, found, traits, chill_missed)))


def _of_year(weather: Weather, year: int) -> tuple[Array, Array, Array]:
    """tmin, tmax and rain of a year from 1 January."""
    start = int((np.datetime64(f"{year}-01-01") - weather.day[0]).astype(np.int64))
    days = slice(start, start + 365)
    return weather.tmin[days], weather.tmax[days], weather.rain[days]


def _mean_over_years(values: Array) -> Array:
    known = np.isfinite(values)
    mean: Array = np.where(known, values, 0.0).sum(axis=0) / np.maximum(known.sum(axis=0), 1)
    return mean


def _normals(weather: Weather) -> Array:
    """Monthly means of daily minimum and maximum [deg C] and rain [mm/month], from the days that have them."""
    month = weather.day.astype("datetime64[M]").astype(np.int64) % 12
    table = np.full((12, 3), np.nan)
    for column, values in enumerate((weather.tmin, weather.tmax, weather.rain)):
        known = np.isfinite(values)
        count = np.bincount(month[known], minlength=12)
        total = np.bincount(month[known], weights=values[known], minlength=12)
        table[:, column] = np.where(count > 0, total / np.maximum(count, 1), np.nan)
    table[:, 2] *= DAYS_OF_MONTH
    return table
