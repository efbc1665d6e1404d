"""The week of an orchard on any day, from what was known on its morning."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from topwire.season.asked import WeekBasis
from topwire.season.cellar import cellar_of
from topwire.season.cellar_findings import CellarFindings, UseFirst
from topwire.season.crop import CropKnown
from topwire.season.dates import day_of
from topwire.season.findings import CropSource, CropWeek, KitchenWeek, SeasonStage, WeekFindings
from topwire.season.jobs import ahead_of, jobs_of, moves_of, noted_jobs
from topwire.season.kept import OpenedFolder
from topwire.season.outlook import Outlook, outlook_on
from topwire.season.picking import picks_of, said
from topwire.season.picking_plan import picking_plan
from topwire.season.seen import Seen
from topwire.season.stages import stages_on
from topwire.season.standing import bearing_in
from topwire.season.telling import week_notices
from topwire.season.thinning import thinning_of
from topwire.season.threats import noted_in, threats_by
from topwire.season.water import water_of
from topwire.values.calendar import week_of_day
from topwire.values.severity import Severity
from topwire.weather.record import Weather

_A_FRUIT = 0.25  # [kg] of a lot, below it nothing is left to use
_FIRST = (UseFirst.GONE, UseFirst.NOW, UseFirst.SOON)  # lots the week tells


def week_of(opened: OpenedFolder, day: date, seen: Seen) -> WeekFindings:
    """The week from `day` on.

    Parameters
    ----------
    seen : what the records said by then
    """
    basis, year = opened.basis, day.year
    outlook = outlook_on(opened, day, seen)
    record, ahead, dates = outlook.record, outlook.ahead, outlook.dates
    grown = [line for line in outlook.standing if line.bearing(year)]
    crops = {name: one.crop for name, one in outlook.crops.items()}
    cellar = cellar_of(opened, day, seen, outlook) if seen.lots else None
    moves = moves_of(dates, basis.cultivars, year)
    bearing = bearing_in(basis.cultivars, seen.trees, basis.rows, year)
    rows = {line.name: tuple(said(row) for row in line.rows) for line in bearing}
    jobs = [
        job for job in basis.jobs if rows.get(job.cultivar, (job.work,))
    ]  # nobody picks what stands no more
    names = {work.item: (work.item, work.what) for work in basis.works}
    done = noted_jobs(day, seen.work, jobs, moves, names, tuple(seen.picked), seen.over)
    picks = picks_of(
        day,
        [line for line in bearing if line.bearing(year)],
        dates,
        crops,
        seen.picked,
        seen.over,
        hours_per_kg=basis.picking,
    )
    water, about_water = water_of(basis, record, ahead, seen, day)
    with_air = record.day[np.isfinite(record.tmin)]
    last = with_air[-1] if with_air.size else None
    begins = np.datetime64(f"{year - 1}-10-01")
    found = WeekFindings(
        name=basis.name,
        units=basis.units,
        day=day.isoformat(),
        leaf=year - basis.planting,
        weather_to=str(last) if last is not None and last >= begins else None,
        credit="" if outlook.issued is None or ahead is None else outlook.issued.credit,
        ahead_days=0 if ahead is None else ahead.day.size,
        dates_seen=dates.taken,
        late=dates.late,
        stages=stages_on(day, grown, dates, seen.over, tuple(crops)),
        jobs=jobs_of(
            day,
            jobs,
            moves,
            rows,
            done,
            dict.fromkeys(crops, 0.0) | {line.cultivar: line.hours for line in picks},
        ),
        thin=thinning_of(day, grown, dates, seen),
        crops=tuple(
            CropWeek(name, one.crop, one.sources)
            for name, one in outlook.crops.items()
            if _told(name, one, day, outlook)
        ),
        picks=picks,
        plan=picking_plan(
            day, picks, _rain(ahead), people=round(basis.hands), hours_a_week=basis.hours_a_week
        ),
        kitchen=_kitchen(opened, day) if cellar is None else _from_stock(cellar, basis),
        lots=()
        if cellar is None
        else tuple(lot for lot in cellar.lots if lot.first in _FIRST and lot.sound >= _A_FRUIT),
        ahead=ahead_of(day, jobs, moves, dates, grown, done.keys, tuple(crops)),
        water=water,
        works=basis.works,
        threats=threats_by(opened, day, outlook, noted_in(seen, basis.protection.clocks)),
        hands=basis.hands,
        hands_hours=basis.hands * basis.hours_a_week,
        notices=(),
    )
    told = week_notices(
        found,
        filled=outlook.filled,
        plan_changed=opened.plan_changed,
        basis=basis,
        left_out=dates.left_out,
    )
    of_cellar = (
        () if cellar is None else tuple(one for one in cellar.notices if one.severity is Severity.WARNING)
    )
    return replace(found, notices=(*told, *of_cellar, *about_water))


def _told(name: str, crop: CropKnown, day: date, outlook: Outlook) -> bool:
    """A crop is told from bloom, or once something of it was counted, until it is picked."""
    at = outlook.dates.names.index(name)
    bloom, last = (outlook.dates.middle(stage, at) for stage in (SeasonStage.FULL_BLOOM, SeasonStage.OVER))
    counted = any(source is not CropSource.PICKS for source in crop.sources)
    return (counted or day_of(day) >= bloom) and day_of(day) <= last


def _rain(ahead: Weather | None) -> dict[date, float]:
    if ahead is None:
        return {}
    return dict(zip(ahead.day.tolist(), map(float, ahead.rain), strict=True))


def _from_stock(cellar: CellarFindings, basis: WeekBasis) -> tuple[KitchenWeek, ...]:
    """The first week of what the fruit at hand is shared out to."""
    once = {(need.use, need.dish) for need in basis.needs if need.made_once}
    return tuple(
        KitchenWeek(
            need.use,
            need.dish,
            None if (need.use, need.dish) in once else float(need.wanted[0]),
            float(need.served[0]),
        )
        for need in cellar.needs
        if need.wanted[0] > 0
    )


def _kitchen(opened: OpenedFolder, day: date) -> tuple[KitchenWeek, ...]:
    """Needs of the kitchen's week in which `day` falls, from the plan's middle year; none before the trees bear."""
    basis = opened.basis
    if not any(line.bearing(day.year) for line in basis.cultivars):
        return ()
    week = int(week_of_day(float((day - date(day.year, 1, 1)) / timedelta(days=1) + 1))) - 1
    young = basis.young.get(day.year)
    found = []
    for number, need in enumerate(basis.needs):
        if need.wanted[week] <= 0:
            continue
        grown = float(need.served.sum() / need.wanted.sum())
        share = 1.0 if young is None else min(young[number] / max(grown, 1e-9), 1.0)
        gets = float(need.served[week]) * share
        found.append(
            KitchenWeek(need.use, need.dish, None if need.made_once else float(need.wanted[week]), gets)
        )
    return tuple(found)
