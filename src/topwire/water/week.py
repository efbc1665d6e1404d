"""This week: the year's weather so far and a forecast say what to run."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue
from topwire.layout.findings import Ground, Layout
from topwire.notices import Faults, Notice, assumption, fault, warning
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.water import balance
from topwire.water.canopy import GROWN_LEAF
from topwire.water.climate import DAYS, Climate
from topwire.water.need import Site, prepare, stages
from topwire.water.result import WaterPlan, Zone
from topwire.water.setting import setting
from topwire.water.system import EFFICIENCY
from topwire.water.tables import water_tables
from topwire.weather.evapotranspiration import reference_evapotranspiration
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]

LENGTH = 7  # [d]
_DRY = 0.05  # [h] less is not worth opening a valve for


@dataclass(frozen=True)
class ZoneAdvice:
    """What one zone wants in the days ahead."""

    zone: str
    leaf: int
    hours: tuple[float, ...]  # by day, from the first day of the week on
    litres_per_tree: float  # over the week, out of the emitters
    missing: float  # [L] the soil of a tree lacks on the evening before
    ready: float  # [L] a tree can take without stress
    says: str


@dataclass(frozen=True)
class WeekAdvice:
    first_day: str  # ISO date
    days: int  # of weather known ahead, 7 at most
    rain: float  # [mm] that falls in the week
    reference: float  # [mm] reference evapotranspiration of the week
    zones: tuple[ZoneAdvice, ...]
    notices: tuple[Notice, ...]


def this_week(
    plan: Plan,
    catalogue: Catalogue,
    water: WaterPlan,
    seasons: PlaceSeasons,
    ground: Ground,
    layout: Layout,
    *,
    today: date,
    so_far: Weather,
    forecast: Weather,
    run: Mapping[str, Sequence[tuple[date, float]]] | None = None,
) -> WeekAdvice:
    """What to run from today on.

    The soil is taken as full on the first day of the year that `so_far` has and followed to yesterday; then the rule
    of the plan decides day by day on the forecast.

    Parameters
    ----------
    so_far : weather up to yesterday, this year's at least from spring on
    forecast : weather from today on
    run : hours run on past days, by zone; where None, the plan's rule is taken to have been followed

    Raises
    ------
    Faults
        Where the forecast does not begin today or the trees are not planted yet.
    """
    planted = layout.year_planted[layout.cultivar >= 0]
    if planted.size == 0 or today.year <= planted.min():
        raise Faults([fault("water", f"no tree stands in its first leaf before {int(planted.min()) + 1}.")])
    place = setting(plan, water_tables(catalogue), ground, layout)
    climate, first, ahead, notices = _year(plan, so_far, forecast, today)
    turns = stages(climate.years, seasons.years, seasons.green_tip, seasons.first_frost)
    yesterday = today.timetuple().tm_yday - 2
    advice = []
    for zone in water.zones:
        index = next(number for number, site in enumerate(place.sites) if site.name == zone.block)
        site = place.sites[index]
        leaf = _leaf(layout, ground, zone, today.year)
        drive, soil, rule = prepare(
            site, climate, turns, trees=place.cover, grass=place.grass, mulch=place.mulch
        )
        if run is not None:
            past = np.zeros((DAYS, 1))
            for day, hours in run.get(zone.name, ()):
                if day.year == today.year and day < today:
                    past[day.timetuple().tm_yday - 1, 0] += _depth(hours, zone, site)
            may = np.where(np.arange(DAYS)[:, np.newaxis] > yesterday, drive.allowed, 0.0)
            drive = replace(drive, given=past, allowed=may)
        # days before the record begins neither dry nor wet the soil: their weather stands at zero
        runs = balance.run(drive, soil, rule)
        advice.append(_advise(runs, site, zone, leaf, yesterday, ahead))
    week = slice(yesterday + 1, yesterday + 1 + ahead)
    if first > 120:
        notices = (
            *notices,
            warning(
                "water",
                f"this year's weather is known only from day {first} on: the soil is taken as full on that day.",
                "Read the soil with an auger before trusting the hours.",
            ),
        )
    return WeekAdvice(
        today.isoformat(),
        ahead,
        float(climate.rain[week, 0].sum()),
        float(climate.reference[week, 0].sum()),
        tuple(advice),
        (
            *notices,
            assumption(
                "water",
                "the hours follow a computed soil; rain differs from one field to the next.",
                "Dig or auger at two depths once a week; a gauge in the orchard beats any forecast.",
            ),
        ),
    )


def _year(
    plan: Plan, so_far: Weather, forecast: Weather, today: date
) -> tuple[Climate, int, int, tuple[Notice, ...]]:
    """This year's weather on the days of a year, first day known, days known ahead, and what was filled."""
    reference, rain, tmax = (np.full(DAYS, np.nan) for _ in range(3))
    start = np.datetime64(f"{today.year}-01-01")
    split = np.datetime64(today)
    for record, wanted in ((so_far, so_far.day < split), (forecast, forecast.day >= split)):
        number = (record.day - start).astype(np.int64)
        here = wanted & (number >= 0) & (number < DAYS)
        evaporation = reference_evapotranspiration(
            day_of_year=number[here] + 1,
            tmin=record.tmin[here],
            tmax=record.tmax[here],
            latitude=plan.place.latitude,
            elevation=plan.place.elevation,
            dew=None if record.dew_point is None else record.dew_point[here],
            wind=None if record.wind is None else record.wind[here],
            sun=None if record.sun is None else record.sun[here],
        )
        reference[number[here]] = evaporation.amount
        rain[number[here]] = record.rain[here]
        tmax[number[here]] = record.tmax[here]
    now = int((split - start).astype(np.int64))
    known = np.isfinite(reference)
    ahead = 0
    while ahead < LENGTH and now + ahead < DAYS and known[now + ahead]:
        ahead += 1
    if ahead == 0:
        raise Faults(
            [
                fault(
                    "forecast",
                    f"the forecast has no day {today.isoformat()}.",
                    "Its first row must be today, with lowest and highest temperature and rain.",
                )
            ]
        )
    first = int(np.argmax(known))
    span = slice(first, now)
    holes = int((~np.isfinite(reference[span])).sum())
    notices: list[Notice] = []
    if holes:
        notices.append(
            assumption(
                "water", f"{holes} past days of this year are missing: usual days of the record stand in."
            )
        )
    if ahead < LENGTH:
        notices.append(
            assumption(
                "water",
                f"the forecast has {ahead} days; the days after are not planned.",
                f"Ask again on {(today + timedelta(days=ahead)).isoformat()}.",
            )
        )
    usual = float(np.nanmean(reference[first : now + ahead]))
    reference[span] = np.where(np.isfinite(reference[span]), reference[span], usual)
    climate = Climate(
        np.array([today.year]),
        np.nan_to_num(reference)[:, np.newaxis],
        np.nan_to_num(reference)[:, np.newaxis],
        np.nan_to_num(rain)[:, np.newaxis],
        np.nan_to_num(tmax)[:, np.newaxis],
        np.array([45.0]),
        np.array([2.0]),
        (),
    )
    return climate, first + 1, ahead, tuple(notices)


def _leaf(layout: Layout, ground: Ground, zone: Zone, year: int) -> int:
    """Leaf of the zone's youngest trees: they are the first to suffer."""
    block = next(number for number, item in enumerate(ground.blocks) if item.name == zone.block)
    rows = {
        number
        for number, row in enumerate(ground.blocks[block].rows)
        if f"{zone.block} {row.number}" in zone.rows
    }
    mine = (ground.block == block) & np.isin(ground.row, list(rows)) & (layout.cultivar >= 0)
    years = layout.year_planted[mine & (layout.year_planted < year)]
    return int(np.clip(year - years.max(), 1, GROWN_LEAF)) if years.size else 1


def _depth(hours: float, zone: Zone, site: Site) -> float:
    """Net depth over the floor that a run gives. [mm]"""
    return hours * zone.litres_per_tree_hour * EFFICIENCY / site.floor


def _advise(
    runs: balance.Balance, site: Site, zone: Zone, leaf: int, yesterday: int, ahead: int
) -> ZoneAdvice:
    column = leaf - 1
    week = slice(yesterday + 1, yesterday + 1 + ahead)
    litres = runs.irrigation[week, column] * site.floor / EFFICIENCY
    hours = litres / max(zone.litres_per_tree_hour, 1e-9)
    hours = np.where(hours < _DRY, 0.0, hours)
    missing = float(runs.depletion[yesterday, column] if yesterday >= 0 else 0.0) * site.floor
    ready = float(runs.readily_available[max(yesterday, 0), column]) * site.floor
    total = float(hours.sum())
    if total == 0:
        says = "Nothing to run: the soil and the rain expected carry the trees through the week."
    else:
        days = int((hours > 0).sum())
        says = f"Run {total:.1f} hours in all, on {days} of the next {ahead} days."
    return ZoneAdvice(
        zone.name, leaf, tuple(float(hour) for hour in hours), float(litres.sum()), missing, ready, says
    )
