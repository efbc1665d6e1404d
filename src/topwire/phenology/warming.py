"""Today's climate, and the same orchard in a warmer one.

Today is the last 25 years of the record, not its whole mean: decades of warming lie in between. A warmer climate is
these years shifted month by month, days and nights apart, since nobody knows how the two will warm: bloom comes with
warm days, frost with cold nights, and so the loss to frost is told as a range over the ways.
"""

from collections.abc import Mapping

import numpy as np

from topwire.phenology.asked import PlaceQuestion
from topwire.phenology.bloom import DAYS_BEFORE_NEW_YEAR, WINTER_HOURS
from topwire.phenology.findings import Misfit, WarmerClimate
from topwire.phenology.forecast import Array, Forecast, forecast
from topwire.phenology.judgement import unfit
from topwire.phenology.seasons import DAYS, Seasons, cut
from topwire.phenology.spring import running_chill, spring_of
from topwire.phenology.traits import Traits
from topwire.values.arrays import Integers
from topwire.weather.climate_change import MonthlyChange, changed, smooth_months

TODAY = 25  # years of the record that stand for today (design; climate normals of 30 years lag a trend by 15)
HALF = 0.5  # of the bloom killed: a year that counts as lost
COLD_HALF = slice(
    0, DAYS_BEFORE_NEW_YEAR + 120
)  # of the season's days, which begin on 1 October: to 30 April


def today_from(years: Integers) -> int:
    """First of the years that stand for today."""
    return int(years[-min(TODAY, years.size)])


def trend(years: Integers, days: Array) -> float:
    """Days a decade by which a date moves over the record; 0 where there are too few."""
    known = np.isfinite(days)
    if known.sum() < 10:
        return 0.0
    return float(np.polyfit(years[known].astype(float), days[known], 1)[0]) * 10.0


def frost_years(kill: Array) -> float:
    """Share of years that kill more than half the bloom; `kill` (years,) share of buds, NaN = no bloom."""
    return float(np.mean(kill > HALF))


def warmer_climates(
    asked: PlaceQuestion,
    seasons: Seasons,
    traits: Traits,
    today: Forecast,
    since: int,
    unfit_today: Mapping[str, tuple[Misfit, ...]],
) -> tuple[WarmerClimate, ...]:
    """Half of the plan's warming and all of it, every way; then the changes stated or taken from scenario files.

    Parameters
    ----------
    seasons : of the whole record
    today : its forecast, from whose middle dates harvests depart in a warmer climate too
    since : first of the years that stand for today
    """
    base = seasons.since(since)
    found = []
    courses = [_courses(way) for way in asked.ways]
    steps = [step for step in (asked.warming / 2.0, asked.warming) if step > 0]
    ways = [base.warmed(step * nights, step * days) for step in steps for nights, days in courses]
    chills = running_chill(ways)
    for at, step in enumerate(steps):
        own = slice(at * len(courses), (at + 1) * len(courses))
        found.append(_climate(step, "", ways[own], chills[own], asked, traits, today, unfit_today))
    for change in asked.changes:
        step = float((change.tmin + change.tmax).mean() / 2.0)
        there = cut(changed(asked.weather, change), asked.latitude).since(since)
        chills = running_chill([there])
        found.append(_climate(step, change.label, [there], chills, asked, traits, today, unfit_today))
    return tuple(found)


def _courses(way: MonthlyChange) -> tuple[Array, Array]:
    """(DAYS,) of nights and of days, from 1 October on."""
    of_year = (np.arange(DAYS) + 365 - DAYS_BEFORE_NEW_YEAR) % 365
    return smooth_months(way.tmin)[of_year], smooth_months(way.tmax)[of_year]


def _climate(
    step: float,
    label: str,
    ways: list[Seasons],
    chills: list[Array],
    asked: PlaceQuestion,
    traits: Traits,
    today: Forecast,
    unfit_today: Mapping[str, tuple[Misfit, ...]],
) -> WarmerClimate:
    """Dates of the first way, frost of all of them."""
    warm = ways[0]
    then = forecast(warm, traits, colder=asked.colder, today=today, chill=chills[0])
    reasons = unfit(warm, traits, then, warm.tmin[:, COLD_HALF].min(axis=1) - asked.colder)
    reference = traits.some(())
    usual_day = today.usual_day[[traits.reference]]
    lost = [frost_years(then.kill[:, traits.reference])]
    for way, chill in zip(ways[1:], chills[1:], strict=True):
        spring = spring_of(way, reference, colder=asked.colder, usual_day=usual_day, chill=chill)
        lost.append(frost_years(spring.kill[:, 0]))
    return WarmerClimate(
        step=step,
        chill_portions=float(np.median(then.chill[:, WINTER_HOURS - 1])),
        full_bloom=_middle_year(then.full_bloom),
        harvest=_middle_year(then.harvest_first),
        frost_low=min(lost),
        frost_high=max(lost),
        in_doubt=tuple(name for name in reasons if name not in unfit_today),
        label=label,
    )


def _middle_year(days: Array) -> Array:
    """Median over years, years without a date counted as later than any: NaN when they are the half."""
    middle = np.median(np.where(np.isnan(days), np.inf, days), axis=0)
    return np.where(np.isfinite(middle), middle, np.nan)
