"""When fire blight threatened open flowers, and when hail, frost or storm opened wounds to it."""

from dataclasses import dataclass, replace

import numpy as np

from topwire.choice.disease import Disease
from topwire.phenology.disease_weather import (
    BLIGHT_BASE,
    BLIGHT_HEAT,
    BLIGHT_MEAN,
    FLOWER_BASE,
    RAIN_TODAY,
    degree_hours,
    heat_on_blossoms,
    wetted,
)
from topwire.phenology.heat import sine_above
from topwire.phenology.stages import SeasonStage
from topwire.protection.findings import Danger, Exposed, Threat, ThreatWindow
from topwire.protection.situation import LATE_BLOOM, LEAST_STEP, Situation, on
from topwire.values.arrays import Booleans, Floats
from topwire.values.notice import Measured, remark
from topwire.values.units import Kind

SYMPTOM_BASE, SYMPTOM_HEAT = 12.7, 57.0  # [deg C], [K d] from infection to blighted blossoms (STEINER1990B)
SOONEST, LATEST = 5, 30  # [d] in practice (STEINER1990B)
SPREAD = 3  # [d] either way in which to look: planning figure, no source
LONG_WET = 5.0  # [h] of wetness in a day that infected without rain (HOLTZ2002)
NO_CULTIVAR_IS_SAFE = (
    0.0  # of the scale of ratings: blossoms of resistant cultivars are taken too, less often
)
LEAF_FALL = 304  # index of 1 November, from which leaves are taken to be down: planning figure, no source
YOUNG = 2  # leaves in which all blossom is better taken off by hand


@dataclass(frozen=True)
class BlightDays:
    """Conditions by day; arrays (days,), `heat` (cultivars, days) [K h], NaN without open flowers."""

    heat: Floats
    mean: Floats
    rained: Booleans
    dew: Booleans

    def met(self, heat: Floats) -> Floats:
        """How many of heat, warmth and water are met."""
        with np.errstate(invalid="ignore"):
            return np.asarray(
                (heat >= BLIGHT_HEAT) * 1.0 + (self.mean >= BLIGHT_MEAN) + (self.rained | self.dew)
            )


def conditions(heat: float, mean: float, wet: bool, in_flower: bool) -> tuple[bool, bool, bool, bool]:
    """Which of the four are met: flowers open, heat on them, a warm day, water. All of them: infection.

    Parameters
    ----------
    heat : [K h] on the oldest flower still open
    mean : [deg C] of the day

    Source: STEINER1990.
    """
    return in_flower, heat >= BLIGHT_HEAT, mean >= BLIGHT_MEAN, wet


def symptom_days(low: Floats, high: Floats, day: int) -> tuple[float, float]:
    """Index of the days between which blighted blossoms show after an infection, by heat, within what practice saw.

    Parameters
    ----------
    low, high : (days,) [deg C] of the year
    """
    after = days_to_symptoms(low, high, day)
    return day + max(SOONEST, after - SPREAD), day + min(LATEST, after + SPREAD)


def days_to_symptoms(low: Floats, high: Floats, day: int) -> float:
    """Days from an infection to blighted blossoms by heat, at least five and at most thirty. Source: STEINER1990B."""
    running = np.cumsum(sine_above(low[day + 1 :], high[day + 1 :], SYMPTOM_BASE))
    return float(np.clip(int(np.searchsorted(running, SYMPTOM_HEAT)) + 1, SOONEST, LATEST))


def windows(now: Situation) -> list[ThreatWindow]:
    """Runs of days on which open flowers had the heat: infection where water came, else a warning."""
    found: list[ThreatWindow] = []
    days = _days(now)
    names = [row.name for row in now.guarded]
    if not days.mean.size or not names:
        return found
    with np.errstate(invalid="ignore"):
        hot = days.heat >= BLIGHT_HEAT
    at = np.flatnonzero(hot.any(axis=0))
    for run in np.split(at, np.flatnonzero(np.diff(at) > 1) + 1):
        if run.size:
            found.append(_window(now, days, hot, int(run[0]), int(run[-1])))
    return [one for one in found if one.exposed]


def _days(now: Situation) -> BlightDays:
    year = now.year
    hours = np.isfinite(year.temperature).all(axis=1) & year.measured
    heat = np.where(
        hours,
        np.maximum(year.temperature - BLIGHT_BASE, 0.0).sum(axis=1),
        degree_hours(year.tmin, year.tmax),
    )
    ageing = sine_above(year.tmin, year.tmax, FLOWER_BASE)
    names = [row.name for row in now.guarded]
    margin = np.array([now.margin(name) for name in names])
    begin = np.array([now.reached(SeasonStage.FIRST_BLOOM, name) for name in names]) + 1 - margin
    end = np.array([now.reached(SeasonStage.PETAL_FALL, name) for name in names]) + 1 + LATE_BLOOM
    return BlightDays(
        heat=heat_on_blossoms(np.nan_to_num(heat), np.nan_to_num(ageing), begin, end),
        mean=year.mean,
        rained=wetted(year.rain),
        dew=year.wet.sum(axis=1) >= np.where(year.measured | year.damp, 1.0, LONG_WET),
    )


def _window(now: Situation, days: BlightDays, hot: Booleans, first: int, last: int) -> ThreatWindow:
    span = np.arange(first, last + 1)
    hottest = np.nanmax(np.where(np.isfinite(days.heat[:, span]), days.heat[:, span], -1.0), axis=0)
    met = days.met(np.zeros(days.mean.size))[span] + 1.0
    worst = int(span[np.lexsort((hottest, days.rained[span], met))[-1]])
    flower, enough, warm, wet = conditions(
        float(hottest[worst - first]),
        float(days.mean[worst]),
        bool(days.rained[worst] | days.dew[worst]),
        True,
    )
    if not (enough and warm):
        danger = Danger.WATCH
    elif not wet:
        danger = Danger.LIGHT
    else:
        danger = Danger.SEVERE if days.rained[worst] else Danger.MODERATE
    rows = [row for row, its in zip(now.guarded, hot, strict=True) if its[span].any()]
    low, high = now.middle_year
    alike = span[met == met.max()]  # where all are met: every day that infected, not the worst alone
    look = symptom_days(low, high, int(alike[0]))[0], symptom_days(low, high, int(alike[-1]))[1]
    exposed = tuple(
        _in_bloom(one)
        for one in now.exposed(Disease.FIRE_BLIGHT, first, last, rows, least=NO_CULTIVAR_IS_SAFE)
    )
    resistant = all(one.step is not None and one.step < LEAST_STEP for one in exposed)
    fallen = np.nan_to_num(now.year.rain)
    before = bool(fallen[worst] < RAIN_TODAY)  # then it was that of the day before, if any
    danger = min(danger, Danger.LIGHT) if resistant else danger
    reason = remark(
        "protection.blight",
        source="STEINER1990",
        share=float(hottest[worst - first]) / BLIGHT_HEAT,
        mean=Measured(float(days.mean[worst]), Kind.TEMPERATURE),
        least=Measured(BLIGHT_MEAN, Kind.TEMPERATURE),
        rain=Measured(float(fallen[worst - 1 if before else worst]), Kind.RAIN, 2),
        rain_before=before,
        rained=bool(days.rained[worst]),
        dew=bool(days.dew[worst]),
        met=int(flower + enough + warm + wet),
        day=on(now.year.day(worst)),
        alike=int(alike.size),
        days=last - first + 1,
        resistant=resistant,
        young=now.asked.today.year - now.asked.basis.planting <= YOUNG,
        look_from=on(now.year.day(look[0])),
        look_to=on(now.year.day(look[1])),
    )
    return now.window(
        Threat.FIRE_BLIGHT,
        danger,
        (first, last),
        reason,
        exposed,
        look if enough and warm and wet else None,
    )


def _in_bloom(one: Exposed) -> Exposed:
    return replace(one, open_bloom=True)


def after_wounds(now: Situation) -> list[ThreatWindow]:
    """Hail and storm that tore leaves and fruit: blight enters by the wounds."""
    low, high = now.middle_year
    found = []
    for day in now.asked.hail:
        at = now.year.index(day)
        if not 0 <= at <= now.today or at >= LEAF_FALL:
            continue
        if not any(now.reached(SeasonStage.GREEN_TIP, row.name) <= at for row in now.guarded):
            continue
        look = symptom_days(low, high, at)
        reason = remark(
            "protection.wounds",
            source="STEINER1990B",
            day=on(day),
            look_from=on(now.year.day(look[0])),
            look_to=on(now.year.day(look[1])),
        )
        exposed = now.exposed(Disease.FIRE_BLIGHT, at, at)
        found.append(now.window(Threat.FIRE_BLIGHT, Danger.MODERATE, (at, at), reason, exposed, look))
    return found
