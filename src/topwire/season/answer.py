"""The week of an orchard on any day, from what was known on its morning."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from topwire.phenology.seasons import begun_by
from topwire.season.crop import CropKnown, crops_of, frost_shares, levels, ratios_of
from topwire.season.dates import season_dates
from topwire.season.days_ahead import with_days_ahead
from topwire.season.findings import CropWeek, KitchenWeek, WeekFindings
from topwire.season.jobs import ahead_of, jobs_of, moves_of, noted_jobs
from topwire.season.kept import OpenedFolder
from topwire.season.maturity import with_tests
from topwire.season.picking import picks_of, said
from topwire.season.picking_plan import picking_plan
from topwire.season.seen import Seen
from topwire.season.stages import stages_on
from topwire.season.telling import week_notices
from topwire.season.thinning import thinning_of
from topwire.season.threats import MORNING, gusts_ahead, hours_ahead, threats_by
from topwire.season.water import water_of
from topwire.values.calendar import week_of_day
from topwire.weather.forecast_kept import kept_forecast
from topwire.weather.record import Weather


def week_of(opened: OpenedFolder, day: date, seen: Seen) -> WeekFindings:
    """The week from `day` on.

    Parameters
    ----------
    seen : what the records said by then
    """
    basis, year = opened.basis, day.year
    known = opened.known(year, seen.dates)
    record = opened.weather.before(day)
    issued = kept_forecast(opened.folder, np.datetime64(day, "s") + MORNING)
    ahead = None if issued is None else hours_ahead(issued, day, record)
    joined = record if ahead is None else with_days_ahead(record, ahead, day)
    until = np.datetime64(day) + (0 if ahead is None else ahead.day.size)
    begun, filled = begun_by(joined, basis.latitude, year, until)
    dates = season_dates(known, begun, seen.this_year, colder=basis.colder)
    dates = with_tests(dates, basis.cultivars, seen.tests)
    grown = [line for line in basis.cultivars if line.bearing(year)]
    learnt = levels(ratios_of(basis, frost_shares(known), seen))
    crops = crops_of(basis, dates, year, seen, learnt)
    moves = moves_of(known, dates, basis.cultivars)
    rows = {line.name: tuple(said(row) for row in line.rows) for line in basis.cultivars}
    names = {work.item: (work.item, work.what) for work in basis.works}
    done = noted_jobs(day, seen.work, basis.jobs, moves, names)
    picks = picks_of(
        day,
        grown,
        dates,
        {name: one.crop for name, one in crops.items()},
        seen.picked,
        seen.over,
        hours_per_kg=basis.picking,
    )
    water, about_water = water_of(basis, record, ahead, seen, day)
    last = record.day[-1] if record.day.size else None
    begins = np.datetime64(f"{year - 1}-10-01")
    found = WeekFindings(
        name=basis.name,
        units=basis.units,
        day=day.isoformat(),
        leaf=year - basis.planting,
        weather_to=str(last) if last is not None and last >= begins else None,
        credit="" if issued is None or ahead is None else issued.credit,
        ahead_days=0 if ahead is None else ahead.day.size,
        dates_seen=len(seen.this_year),
        late=dates.late,
        stages=stages_on(day, grown, dates, seen.over),
        jobs=jobs_of(day, basis.jobs, moves, rows, done),
        thin=thinning_of(day, grown, dates, seen),
        crops=tuple(CropWeek(name, one.crop, one.sources) for name, one in crops.items() if _told(one, day)),
        picks=picks,
        plan=picking_plan(
            day, picks, _rain(ahead), people=round(basis.hands), hours_a_week=basis.hours_a_week
        ),
        kitchen=_kitchen(opened, day),
        ahead=ahead_of(day, basis.jobs, moves, dates, grown, done.keys),
        water=water,
        works=basis.works,
        threats=threats_by(
            opened,
            day,
            record,
            known=known,
            dates=dates,
            ahead=ahead,
            gusts={} if issued is None else gusts_ahead(issued, day),
        ),
        hands=basis.hands,
        hands_hours=basis.hands * basis.hours_a_week,
        notices=(),
    )
    told = week_notices(found, filled=filled, plan_changed=opened.plan_changed, basis=basis)
    return replace(found, notices=(*told, *about_water))


def _told(crop: CropKnown, day: date) -> bool:
    """A crop is told from May to November, and whenever something was counted."""
    return 5 <= day.month <= 11 or bool(crop.sources)


def _rain(ahead: Weather | None) -> dict[date, float]:
    if ahead is None:
        return {}
    return dict(zip(ahead.day.tolist(), map(float, ahead.rain), strict=True))


def _kitchen(opened: OpenedFolder, day: date) -> tuple[KitchenWeek, ...]:
    """Needs of the kitchen's week in which `day` falls, from the plan's middle year."""
    basis = opened.basis
    week = int(week_of_day(float((day - date(day.year, 1, 1)) / timedelta(days=1) + 1))) - 1
    young = basis.young.get(day.year)
    found = []
    for number, need in enumerate(basis.needs):
        if need.wanted[week] <= 0:
            continue
        grown = float(need.served.sum() / need.wanted.sum())
        bears = any(line.bearing(day.year) for line in basis.cultivars)
        share = 1.0 if young is None else min(young[number] / max(grown, 1e-9), 1.0)
        gets = float(need.served[week]) * share if bears else 0.0
        found.append(KitchenWeek(need.use, need.dish, float(need.wanted[week]), gets))
    return tuple(found)
