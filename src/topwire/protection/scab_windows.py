"""When scab threatened: wet spells with rain from green tip until the year's spores are out."""

import numpy as np

from topwire.choice.disease import Disease
from topwire.phenology.stages import SeasonStage
from topwire.protection import scab
from topwire.protection.findings import Danger, Threat, ThreatWindow
from topwire.protection.situation import Situation, on
from topwire.protection.wetness import Spell
from topwire.values.arrays import Floats
from topwire.values.notice import Measured, remark
from topwire.values.quantities import Share
from topwire.values.units import Kind

DAYLIGHT = 7  # o'clock from which rain of the night counts: spores fly by day (MACHARDY1989)
DARK = 19  # o'clock from which a spell begins in the night; the rule's source says sunset
CLOCK_STARTS = 31  # index of 1 February, from which development counts (JAMES1982)
SATURATED = 99.5  # [%] that counts as 100


def ripe_by_day(now: Situation) -> tuple[Floats, Floats]:
    """Share of spores ripe at the end of each day, by the later and by the earlier of two clocks, (days,) each.

    The clocks start with green tip of the earliest cultivar, and when the development of the fruit bodies says so.
    """
    year = now.year
    heat = scab.ripening_heat(year.mean, year.rain)
    saturated = (year.humidity >= SATURATED).sum(axis=1) * year.damp
    progress = scab.development(year.mean[CLOCK_STARTS:], year.rain[CLOCK_STARTS:], saturated[CLOCK_STARTS:])
    ripe = scab.ripe_day(progress)
    starts = [first_green(now), np.inf if ripe is None else ripe + CLOCK_STARTS]
    day = np.arange(year.days)
    shares = []
    for start in starts:
        since = np.where(day >= start, heat, 0.0)
        shares.append(np.where(day >= start, scab.ripe_share(np.cumsum(since)), 0.0))
    return np.minimum(*shares), np.maximum(*shares)


def first_green(now: Situation) -> float:
    """Index of the day of green tip of the earliest cultivar grown; inf where none is known."""
    days = [now.reached(SeasonStage.GREEN_TIP, row.name) for row in now.guarded]
    known = [day for day in days if np.isfinite(day)]
    return round(min(known)) if known else np.inf


def season_over(now: Situation, low: Floats) -> float:
    """Index of the last rain that can carry spores of the ground; inf while it is not over by both clocks."""
    year = now.year
    with np.errstate(invalid="ignore"):
        washed = (year.rain >= scab.LAST_RAIN) & (year.mean >= scab.LAST_RAIN_WARMTH)
    before = np.concatenate([[0.0], low[:-1]])
    last = np.flatnonzero(washed & (before >= scab.SEASON_OVER))
    return int(last[0]) if last.size else np.inf


def spores_today(now: Situation) -> tuple[Share, Share] | None:
    """Low and high by yesterday's end; None before green tip, and once the season is over."""
    low, high = ripe_by_day(now)
    at = now.today - 1
    if at < first_green(now) or at < 0 or at > season_over(now, low):
        return None
    at = min(at, low.size - 1)
    return float(low[at]), float(high[at])


def windows(now: Situation) -> list[ThreatWindow]:
    """Every spell in which spores of the ground infected, or may have; later on those of lesions, if any."""
    low, high = ripe_by_day(now)
    begin, end = first_green(now), season_over(now, low)
    found = []
    for spell in now.recent:
        if spell.last_day < begin or not spell.rain_hours:
            continue
        ground = spell.first_day <= end
        window = _of_spell(now, spell, float(high[spell.last_day]), ground=ground)
        if window is not None:
            found.append(window)
    return found


def _of_spell(now: Situation, spell: Spell, ripe: float, *, ground: bool) -> ThreatWindow | None:
    """A spell's window; `ground` where spores of fallen leaves are still about."""
    night = _at_night(now, spell) if ground else 0.0
    hours = spell.hours - night
    error = now.hours_error(spell)
    light, moderate, severe = (float(one) for one in scab.hours_needed(spell.middle))
    least = min(light, float(scab.least_hours(spell.middle)))
    if not ground:
        light = least = float(scab.conidia_hours(spell.middle))
    reached = int(scab.infection(spell.middle, hours)) if ground else int(hours >= light)
    if not reached and (not ground or hours + error < least):
        return None
    first, last = spell.first_day, spell.last_day
    grown = [row for row in now.guarded if _green(now, row.name, last)]
    exposed = now.exposed(Disease.SCAB, first, last, grown)
    if not exposed:
        return None
    days = scab.lesion_days(now.mean_from(first, 5), _hot_days(now, first))
    look = first + float(days[0]), last + float(days[1])
    reason = remark(
        "protection.scab" if ground else "protection.scab_summer",
        source="ONT-SCAB",
        hours=hours,
        low=max(0.0, hours - error),
        high=hours + error,
        tree=-1.0 if spell.by_tree is None else max(0.0, spell.by_tree - night),
        temperature=Measured(spell.middle, Kind.TEMPERATURE),
        day=on(now.year.day(first)),
        light=light if np.isfinite(light) else least,
        moderate=moderate,
        severe=severe,
        reached=reached,
        ripe=ripe,
        look_from=on(now.year.day(look[0])),
        look_to=on(now.year.day(look[1])),
    )
    danger = Danger(reached + 1) if ground else Danger.WATCH
    return now.window(Threat.SCAB, danger, (first, last), reason, exposed, look)


def _green(now: Situation, cultivar: str, day: int) -> bool:
    """It has green tissue on the day and has not been picked yet."""
    tip, picked = (now.reached(stage, cultivar) for stage in (SeasonStage.GREEN_TIP, SeasonStage.OVER))
    return bool(tip <= day and not picked < day)


def _at_night(now: Situation, spell: Spell) -> float:
    """Wet hours before daylight that do not count: only where hours were measured, and little scab was about."""
    hour = spell.begin % 24
    if now.asked.scabbed or not now.year.measured[spell.first_day] or DAYLIGHT <= hour < DARK:
        return 0.0
    day = spell.begin // 24 + (hour >= DARK)
    light = day * 24 + DAYLIGHT
    return float(now.year.wet.ravel()[spell.begin : min(light, spell.end)].sum())


def _hot_days(now: Situation, first: int) -> int:
    high = now.middle_year[1][first : first + 10]
    return int((high > scab.TOO_HOT_FOR_LESIONS).sum())
