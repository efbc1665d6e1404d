"""When rusts, mildew, leaf spots, rots and blemishes threatened: wet spells, or dry warm days, of the right season."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from topwire.choice.disease import Disease
from topwire.phenology.stages import SeasonStage
from topwire.protection import rusts, summer
from topwire.protection.asked import Guarded
from topwire.protection.findings import Danger, Exposed, Threat, ThreatWindow
from topwire.protection.situation import LOOKED_BACK, Situation, on
from topwire.protection.wetness import Spell
from topwire.values.notice import Fact, Measured, Notice, remark
from topwire.values.units import Kind

RUST_AFTER_BLOOM = 30.0  # [d] to which leaves are taken by cedar apple rust: common practice, no source
MILDEW_AFTER_BLOOM = 75.0  # [d] to which shoots grow: planning figure, no source
MANY_MILDEW_DAYS = 7  # in a fortnight, from which it is told as light: planning figure, no source


def rust_windows(now: Situation) -> list[ThreatWindow]:
    """Cedar apple rust on leaves and quince rust in flowers; both want rain on the galls. The past fortnight's spells
    stand in one window, told by the worst; signs are looked for from the first one's to the last one's."""
    found = []
    for judge in (_cedar, _quince):
        each = [judge(now, spell) for spell in now.recent if spell.rain_hours]
        made = [one for one in each if one is not None]
        since, today = now.year.day(now.today - LOOKED_BACK), now.asked.today
        late = [one for one in made if since <= one.last < today]
        found += [one for one in made if one not in late]
        if late:
            worst = max(late, key=lambda one: (one.danger, one.reason.facts["hours"]))
            begin = min(one.look_from for one in late if one.look_from)
            end = max(one.look_to for one in late if one.look_to)
            of_all: dict[str, Fact] = {"spells": len(late), "look_from": on(begin), "look_to": on(end)}
            reason = replace(worst.reason, facts={**worst.reason.facts, **of_all})
            first, last = late[0].first, late[-1].last
            found.append(replace(worst, first=first, last=last, look_from=begin, look_to=end, reason=reason))
    return found


def _cedar(now: Situation, spell: Spell) -> ThreatWindow | None:
    first, last = spell.first_day, spell.last_day
    rows = [
        row
        for row in now.guarded
        if now.reached(SeasonStage.PINK, row.name) - now.margin(row.name) <= last
        and first <= now.reached(SeasonStage.FULL_BLOOM, row.name) + RUST_AFTER_BLOOM
    ]
    light, severe = (float(one) for one in rusts.leaf_hours(spell.mean))
    reached = int(spell.hours >= light) + int(spell.hours >= severe)
    exposed = now.exposed(Disease.CEDAR_RUST, first, last, rows)
    if not reached or not exposed:
        return None
    cold = now.mean_from(first, 21) < rusts.COLD_SPRING
    look = first + rusts.SPOTS[0], last + (rusts.COLD_SPOTS if cold else rusts.SPOTS[1])
    reason = _wet(
        now, spell, "protection.cedar_rust", "ALDWINCKLE1980", light, look, reached=reached, more=severe
    )
    return now.window(Threat.CEDAR_RUST, Danger(reached + 1), (first, last), reason, exposed, look)


def _quince(now: Situation, spell: Spell) -> ThreatWindow | None:
    first, last = spell.first_day, spell.last_day
    rows = [
        row
        for row in now.guarded
        if now.reached(SeasonStage.PINK, row.name) - now.margin(row.name) <= last
        and first <= now.reached(SeasonStage.PETAL_FALL, row.name) + now.margin(row.name)
    ]
    reached = int(rusts.quince_infection(spell.mean, spell.hours))
    exposed = now.exposed(Disease.QUINCE_RUST, first, last, rows)
    if not reached or not exposed:
        return None
    light = float(rusts.leaf_hours(spell.mean)[0])
    look = first + 20.0, last + 45.0  # seen on fruitlets from late May on: common practice, no source
    reason = _wet(now, spell, "protection.quince_rust", "VT-NOTES", light, look, reached=reached, more=-1.0)
    return now.window(Threat.QUINCE_RUST, Danger(reached), (first, last), reason, exposed, look)


def _wet(
    now: Situation,
    spell: Spell,
    code: str,
    source: str,
    needed: float,
    look: tuple[float, float],
    *,
    reached: int,
    more: float,
) -> Notice:
    error = now.hours_error(spell)
    return remark(
        code,
        source=source,
        hours=spell.hours,
        low=max(0.0, spell.hours - error),
        high=spell.hours + error,
        temperature=Measured(spell.mean, Kind.TEMPERATURE),
        day=on(now.year.day(spell.first_day)),
        needed=needed,
        severe=more,
        spells=1,
        reached=reached,
        look_from=on(now.year.day(look[0])),
        look_to=on(now.year.day(look[1])),
    )


@dataclass(frozen=True)
class _Summer:
    """One disease of summer: what it wants, from which stage and so many days after it on, and whom it takes."""

    threat: Threat
    source: str
    hours: Callable[[float], float]
    after: SeasonStage
    days: float
    danger: Callable[[Spell], Danger]
    exposed: Callable[[Situation, int, int], tuple[Exposed, ...] | None]
    look: tuple[float, float]


def _rated(now: Situation, first: int, last: int) -> tuple[Exposed, ...] | None:
    return now.exposed(Disease.SUMMER_ROT, first, last, _unpicked(now, first)) or None


def _everywhere(now: Situation, first: int, last: int) -> tuple[Exposed, ...] | None:
    return () if _unpicked(now, first) else None


def _hosts(now: Situation, first: int, last: int) -> tuple[Exposed, ...] | None:
    rows = [row for row in now.guarded if row.name in summer.GLOMERELLA_HOSTS]
    return now.exposed(None, first, last, rows) or None


def _unpicked(now: Situation, day: int) -> list[Guarded]:
    return [row for row in now.guarded if not now.reached(SeasonStage.OVER, row.name) < day]


_SUMMER = (
    _Summer(
        Threat.BLACK_ROT,
        "ARAUZ1989",
        lambda air: float(summer.black_rot_hours(air)[2]),
        SeasonStage.PETAL_FALL,
        0.0,
        lambda spell: (
            Danger.LIGHT if spell.hours >= float(summer.black_rot_hours(spell.mean)[1]) else Danger.WATCH
        ),
        _rated,
        (14.0, 35.0),
    ),
    _Summer(
        Threat.BITTER_ROT,
        "PSU-BITTER",
        lambda air: float(summer.bitter_rot_hours(air)),
        SeasonStage.FULL_BLOOM,
        summer.BITTER_FROM,
        lambda spell: Danger.LIGHT if spell.hours >= 2 * summer.BITTER_HOURS else Danger.WATCH,
        _rated,
        (14.0, 60.0),
    ),
    _Summer(
        Threat.GLOMERELLA,
        "NCSU-GLS",
        lambda air: float(summer.glomerella_hours(air)),
        SeasonStage.PETAL_FALL,
        0.0,
        lambda spell: (
            Danger.LIGHT
            if summer.GLOMERELLA_BEST[0] <= spell.mean <= summer.GLOMERELLA_BEST[1]
            else Danger.WATCH
        ),
        _hosts,
        (3.0, 14.0),
    ),
    _Summer(
        Threat.MARSSONINA,
        "LIAN2021",
        lambda air: float(summer.marssonina_hours(air)),
        SeasonStage.PETAL_FALL,
        0.0,
        lambda spell: (
            Danger.LIGHT if spell.hours >= 3 * float(summer.marssonina_hours(spell.mean)) else Danger.WATCH
        ),
        _everywhere,
        (14.0, 45.0),
    ),
)


def summer_windows(now: Situation) -> list[ThreatWindow]:
    """The past fortnight's spells of each summer disease in one window, those of the forecast in another."""
    found = []
    since = now.today - LOOKED_BACK
    for one in _SUMMER:
        begin = _after(now, one.after, one.days)
        for days in (range(max(since, 0), now.today), range(now.today, now.year.days)):
            spells = [
                spell
                for spell in now.spells
                if spell.last_day in days
                and spell.first_day >= begin
                and spell.hours >= one.hours(spell.mean)
            ]
            exposed = one.exposed(now, days.start, days.stop) if spells else None
            if exposed is not None:
                found.append(_summer_window(now, one, spells, exposed))
    return found


def _summer_window(
    now: Situation, one: _Summer, spells: list[Spell], exposed: tuple[Exposed, ...]
) -> ThreatWindow:
    worst = max(spells, key=lambda spell: spell.hours / one.hours(spell.mean))
    first, last = spells[0].first_day, spells[-1].last_day
    look = first + one.look[0], last + one.look[1]
    reason = _wet(
        now,
        worst,
        "protection.summer",
        one.source,
        one.hours(worst.mean),
        look,
        reached=len(spells),
        more=-1.0,
    )
    return now.window(one.threat, max(map(one.danger, spells)), (first, last), reason, exposed, look)


def _after(now: Situation, stage: SeasonStage, days: float) -> float:
    """Index of the day so long after a stage of the middle cultivar; inf where it is not known."""
    each = [now.reached(stage, row.name) for row in now.guarded]
    known = [day for day in each if np.isfinite(day)]
    return float(np.median(known)) + days if known else np.inf


def sooty_windows(now: Situation) -> list[ThreatWindow]:
    """Sooty blotch and flyspeck: hours summed from the first rain ten days after petal fall, told from 200 on."""
    begin = _after(now, SeasonStage.PETAL_FALL, summer.SOOTY_FROM)
    spells = [spell for spell in now.spells if spell.first_day >= begin]
    rained = next((at for at, spell in enumerate(spells) if spell.rain_hours), None)
    if rained is None:
        return []
    counted = spells[rained:]
    running = np.cumsum([summer.sooty_hours([spell.hours]) for spell in counted])
    if running[-1] < summer.SOOTY_WARN or not _unpicked(now, now.today):
        return []
    reached = counted[int(np.searchsorted(running, summer.SOOTY_WARN))].last_day
    days = [spell for spell in counted if spell.last_day < now.today]
    past = summer.sooty_band(float(running[-1])) >= 2
    look = max(now.today, reached), max(now.today, reached) + 21.0
    reason = remark(
        "protection.sooty",
        source="BROWN1995",
        hours=summer.sooty_hours([spell.hours for spell in days]),
        ahead=float(running[-1]),
        since=on(now.year.day(counted[0].first_day)),
        warn=summer.SOOTY_WARN,
        act=summer.SOOTY_ACT,
        seen=summer.SOOTY_SEEN,
        reached=on(now.year.day(reached)),
        past=past,
    )
    last = max(now.today, reached)
    return [
        now.window(
            Threat.SOOTY_BLOTCH, Danger.LIGHT if past else Danger.WATCH, (reached, last), reason, (), look
        )
    ]


def mildew_windows(now: Situation) -> list[ThreatWindow]:
    """Mildew days of the past fortnight and of the forecast, while shoots grow."""
    begin = _after(now, SeasonStage.TIGHT_CLUSTER, 0.0)
    end = _after(now, SeasonStage.FULL_BLOOM, MILDEW_AFTER_BLOOM)
    day = np.arange(now.year.days)
    counts = summer.mildew_days(now.year.mean, now.year.rain) & (day >= begin) & (day <= end)
    at = np.flatnonzero(counts & (day >= now.today - LOOKED_BACK))
    exposed = now.exposed(Disease.MILDEW, int(at[0]), int(at[-1])) if at.size else ()
    if not exposed:
        return []
    first, last = int(at[0]), int(at[-1])
    reason = remark(
        "protection.mildew",
        source="VT-NOTES",
        days=int(at.size),
        season=int(counts.sum()),
        warm=Measured(summer.MILDEW_WARM, Kind.TEMPERATURE),
        since=on(now.year.day(first)),
    )
    danger = Danger.LIGHT if at.size >= MANY_MILDEW_DAYS else Danger.WATCH
    return [now.window(Threat.MILDEW, danger, (first, last), reason, exposed, (first + 5.0, last + 14.0))]
