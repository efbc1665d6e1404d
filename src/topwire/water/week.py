"""This week: the year's weather so far and a forecast say what to run."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt

from topwire.values.notice import CannotAnswer, Notice, assumption, refusal, warning
from topwire.values.quantities import Hours, Millimetres, SmallCubicMetres
from topwire.water import balance
from topwire.water.asked import WaterQuestion
from topwire.water.canopy import GROWN_LEAF
from topwire.water.climate import DAYS, WaterClimate
from topwire.water.demand import Stages
from topwire.water.findings import WaterPlan, Zone
from topwire.water.need import Site, prepare, stages
from topwire.water.system import EFFICIENCY
from topwire.weather.evapotranspiration import reference_evapotranspiration
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]

LENGTH = 7  # [d]
_WORTH_A_RUN = 0.05  # [h] less is not told
_WATERED_TO = (10, 31)  # month and day to which a year's hours are counted
_FEWEST_DAYS = 200  # of weather from April on, by which they can be
_LATE = 120  # [d] of the year, from which the soil can no longer be taken as full


@dataclass(frozen=True)
class ZoneAdvice:
    """What one zone wants in the days ahead; volumes are for one tree of it."""

    zone: str
    leaf: int
    hours: tuple[Hours, ...]  # by day, from the first day of the week on
    volume: SmallCubicMetres  # over the week, out of the emitters
    missing: SmallCubicMetres  # the soil lacks on the evening before
    ready: SmallCubicMetres  # the tree can take without stress


@dataclass(frozen=True)
class WeekAdvice:
    first_day: str  # ISO date
    days: int  # of weather known ahead, 7 at most
    rain: Millimetres  # that falls in the week
    reference: Millimetres  # reference evapotranspiration of the week
    zones: tuple[ZoneAdvice, ...]
    notices: tuple[Notice, ...]


def this_week(
    asked: WaterQuestion,
    water: WaterPlan,
    *,
    today: date,
    records: Sequence[Weather],
    run: Mapping[str, Sequence[tuple[date, float]]] | None = None,
) -> WeekAdvice:
    """What to run from today on.

    The soil is taken as full on the first day of the year that the records have and followed to yesterday; then the
    rule of the plan decides day by day on the forecast, within the hours the plan allows.

    Parameters
    ----------
    records : this year's weather, at least from spring on, and the days ahead; a later record wins over an earlier
    run : hours run on past days, by zone; where None, the plan's rule is taken to have been followed

    Raises
    ------
    CannotAnswer
        Where the forecast does not begin today or the trees are not planted yet.
    """
    planted = [year for rows in asked.rows for row in rows for year in row.years]
    if today.year <= min(planted):
        raise CannotAnswer(
            [refusal("water.not_planted", setting="years.planting", year=str(min(planted) + 1))]
        )
    asked = asked.fitted(water.emitter)
    climate, first, ahead, notices = _year(asked, records, today)
    days = asked.seasons
    turns = stages(climate.years, days.years, days.green_tip, days.first_frost)
    yesterday = today.timetuple().tm_yday - 2
    # days before the record begins neither dry nor wet the soil: their weather stands at zero
    runs, zones = _runs_of(
        asked, water, climate, turns, year=today.year, past=yesterday + 1, ahead=ahead, run=run
    )
    advice = [_advise(runs, at, zone, yesterday, ahead) for at, zone in enumerate(zones)]
    week = slice(yesterday + 1, yesterday + 1 + ahead)
    if first > _LATE:
        notices = (*notices, warning("water.known_late", day=first))
    return WeekAdvice(
        today.isoformat(),
        ahead,
        float(climate.rain[week, 0].sum()),
        float(climate.reference[week, 0].sum()),
        tuple(advice),
        (*notices, assumption("water.computed_soil")),
    )


def hours_by_rule(
    asked: WaterQuestion, water: WaterPlan, year: int, record: Weather
) -> Mapping[str, Hours] | None:
    """Hours each zone would have run in a year by the plan's rule; None where its weather is not known.

    Raises
    ------
    CannotAnswer
        Where the trees are not planted yet.
    """
    asked = asked.fitted(water.emitter)
    end = date(year, *_WATERED_TO)
    inside = (record.day >= np.datetime64(f"{year}-04-01")) & (record.day <= np.datetime64(end))
    if int(np.isfinite(record.tmin[inside]).sum()) < _FEWEST_DAYS:
        return None
    climate, _, ahead, _ = _year(asked, (record,), end)
    days = asked.seasons
    turns = stages(climate.years, days.years, days.green_tip, days.first_frost)
    past = end.timetuple().tm_yday - 1
    runs, zones = _runs_of(asked, water, climate, turns, year=year, past=past, ahead=ahead, run=None)
    return {
        one.zone.name: float(runs.irrigation[:past, at * GROWN_LEAF + one.leaf - 1].sum() / one.per_hour)
        for at, one in enumerate(zones)
    }


@dataclass(frozen=True)
class _Watered:
    """A zone, its block, the leaf of its youngest trees, and the net depth an hour gives them [mm]."""

    zone: Zone
    site: Site
    leaf: int

    @property
    def per_hour(self) -> float:
        return float(_depth(1.0, self.zone, self.site)[self.leaf - 1])


def _runs_of(
    asked: WaterQuestion,
    water: WaterPlan,
    climate: WaterClimate,
    turns: Stages,
    *,
    year: int,
    past: int,
    ahead: int,
    run: Mapping[str, Sequence[tuple[date, float]]] | None,
) -> tuple[balance.Balance, list[_Watered]]:
    """The year's first days of every zone, its leaves beside each other; `run` hours of `past` days where known."""
    zones, parts = [], []
    for zone in water.zones:
        site = next(site for site in asked.sites if site.name == zone.block)
        drive, soil, rule = prepare(
            site,
            climate,
            turns,
            trees=asked.cover,
            grass=asked.grass,
            mulch=asked.mulch,
            most_a_day=_depth(asked.source.hours_per_day, zone, site),
        )
        if run is not None:
            given = np.zeros((DAYS, GROWN_LEAF))
            for day, hours in run.get(zone.name, ()):
                if day.year == year and day.timetuple().tm_yday <= past:
                    given[day.timetuple().tm_yday - 1] += _depth(hours, zone, site)
            may = np.where(np.arange(DAYS)[:, np.newaxis] >= past, drive.allowed, 0.0)
            drive = replace(drive, given=given, allowed=may)
        zones.append(_Watered(zone, site, _leaf(asked, zone, year)))
        parts.append((drive, soil, rule))
    drives, soils, rules = zip(*parts, strict=True)
    return _together(drives, soils, rules, days=past + ahead), zones


def _together(
    drives: Sequence[balance.Drive],
    soils: Sequence[balance.SoilStore],
    rules: Sequence[balance.Rule],
    *,
    days: int,
) -> balance.Balance:
    """The first days of all zones in one run, zone after zone, each with its leaves."""

    drive = balance.beside(drives, (DAYS, GROWN_LEAF))
    cut = {one.name: getattr(drive, one.name)[:days] for one in fields(drive)}
    soil, rule = balance.beside(soils, (GROWN_LEAF,)), balance.beside(rules, (GROWN_LEAF,))
    return balance.run(replace(drive, **cut), soil, rule)


def _year(
    asked: WaterQuestion, records: Sequence[Weather], today: date
) -> tuple[WaterClimate, int, int, tuple[Notice, ...]]:
    """This year's weather on the days of a year, first day known, days known ahead, and what was filled."""
    reference, rain = np.full(DAYS, np.nan), np.full(DAYS, np.nan)
    start = np.datetime64(f"{today.year}-01-01")
    split = np.datetime64(today)
    for record in records:
        number = (record.day - start).astype(np.int64)
        here = (number >= 0) & (number < DAYS)
        evaporation = reference_evapotranspiration(
            day_of_year=number[here] + 1,
            tmin=record.tmin[here],
            tmax=record.tmax[here],
            latitude=asked.latitude,
            elevation=asked.elevation,
            dew=None if record.dew_point is None else record.dew_point[here],
            wind=None if record.wind is None else record.wind[here],
            sun=None if record.sun is None else record.sun[here],
        )
        reference[number[here]] = evaporation.amount
        rain[number[here]] = record.rain[here]
    now = int((split - start).astype(np.int64))
    known = np.isfinite(reference)
    ahead = 0
    while ahead < LENGTH and now + ahead < DAYS and known[now + ahead]:
        ahead += 1
    if ahead == 0:
        raise CannotAnswer([refusal("water.no_forecast", day=today.isoformat())])
    first = int(np.argmax(known))
    span = slice(first, now)
    holes = int((~np.isfinite(reference[span])).sum())
    notices: list[Notice] = []
    if holes:
        notices.append(assumption("water.past_days_missing", days=holes))
    if ahead < LENGTH:
        again = (today + timedelta(days=ahead)).isoformat()
        notices.append(assumption("water.short_forecast", days=ahead, again=again))
    usual = float(np.nanmean(reference[first : now + ahead]))
    reference[span] = np.where(np.isfinite(reference[span]), reference[span], usual)
    climate = WaterClimate(
        np.array([today.year]),
        np.nan_to_num(reference)[:, np.newaxis],
        np.nan_to_num(rain)[:, np.newaxis],
        np.array([45.0]),
        np.array([2.0]),
        (),
    )
    return climate, first + 1, ahead, tuple(notices)


def _leaf(asked: WaterQuestion, zone: Zone, year: int) -> int:
    """Leaf of the zone's youngest trees: they are the first to suffer."""
    years = [
        planted
        for rows in asked.rows
        for row in rows
        if row.address in zone.rows
        for planted in row.years
        if planted < year
    ]
    return int(np.clip(year - max(years), 1, GROWN_LEAF)) if years else 1


def _depth(hours: float, zone: Zone, site: Site) -> Array:
    """(leaves,) net depth over the floor that a run gives to where roots are. [mm]"""
    depth: Array = 1000 * hours * 3600 * zone.flow_per_tree * EFFICIENCY * site.reaches_roots / site.floor
    return depth


def _advise(runs: balance.Balance, at: int, one: _Watered, yesterday: int, ahead: int) -> ZoneAdvice:
    column, zone = at * GROWN_LEAF + one.leaf - 1, one.zone
    week = slice(yesterday + 1, yesterday + 1 + ahead)
    hours = runs.irrigation[week, column] / one.per_hour
    hours = np.where(hours < _WORTH_A_RUN, 0.0, hours)
    floor = one.site.floor / 1000
    missing = float(runs.depletion[yesterday, column] if yesterday >= 0 else 0.0) * floor
    ready = float(runs.readily_available[max(yesterday, 0), column]) * floor
    volume = float(hours.sum()) * 3600 * zone.flow_per_tree
    return ZoneAdvice(zone.name, one.leaf, tuple(float(hour) for hour in hours), volume, missing, ready)
