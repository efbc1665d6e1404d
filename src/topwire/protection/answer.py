"""From what was known on a day to the windows in which something threatened or may."""

from collections.abc import Callable, Iterable
from datetime import date, timedelta

import numpy as np

from topwire.protection import blight_windows, harm_windows, insect_windows, leaf_windows, scab_windows
from topwire.protection.asked import ProtectionQuestion
from topwire.protection.findings import Danger, ProtectionFindings, Threat, ThreatWindow
from topwire.protection.situation import LOOKED_BACK, Situation
from topwire.protection.telling import protection_notices
from topwire.protection.wetness import spells
from topwire.protection.year import year_so_far
from topwire.values.progress import Progress, silent

FRESH = 3  # [d] after which what threatened is told behind what is to come, but for signs that are due
WEEK = 6  # [d] to the end of the coming week, today its first day
JUDGES: tuple[Callable[[Situation], Iterable[ThreatWindow]], ...] = (
    blight_windows.windows,
    blight_windows.after_wounds,
    scab_windows.windows,
    leaf_windows.rust_windows,
    leaf_windows.mildew_windows,
    leaf_windows.summer_windows,
    leaf_windows.sooty_windows,
    insect_windows.windows,
    harm_windows.frost_windows,
    harm_windows.sun_windows,
    harm_windows.wind_windows,
)


def answer(asked: ProtectionQuestion, progress: Progress = silent) -> ProtectionFindings:
    """Windows of the fortnight before and the days ahead, and older ones whose signs are still to be looked for."""
    progress(f"what threatens on {asked.today}")
    now = situation(asked)
    windows = [window for judge in JUDGES for window in judge(now)]
    open_bloom = tuple(
        row.name for row in asked.basis.guarded if now.in_bloom(row.name, now.today, now.today)
    )
    known = np.flatnonzero(np.isfinite(now.year.tmin[: now.year.known]))
    ahead = now.year.days > now.year.known
    found = ProtectionFindings(
        today=asked.today,
        known_to=now.year.day(int(known[-1])) if known.size else None,
        forecast_to=now.year.day(now.year.days - 1) if ahead else None,
        windows=_urgent_first(asked, windows),
        open_bloom=open_bloom,
        frost=harm_windows.frost_lines(now),
        spores=scab_windows.spores_today(now),
        notices=(),
    )
    return protection_notices(now, found)


def situation(asked: ProtectionQuestion) -> Situation:
    """All that is judged by."""
    year = year_so_far(asked.record, asked.forecast, asked.today, asked.basis.latitude)
    found = spells(year.wet, year.temperature, year.rain_hour, by_tree=year.wet_by_tree)
    return Situation(asked, year, tuple(found))


def _urgent_first(asked: ProtectionQuestion, windows: list[ThreatWindow]) -> tuple[ThreatWindow, ...]:
    """Those that matter now, by danger; then dates further off; then what was, the last first."""
    since = asked.today - timedelta(days=LOOKED_BACK)
    kept = [one for one in windows if one.last >= since]
    due: dict[Threat, ThreatWindow] = {}  # of older ones whose signs are due, the gravest of each threat
    for one in windows:
        if one.last < since and one.look_to is not None and one.look_to >= asked.today:
            held = due.get(one.threat)
            if held is None or (one.danger, one.last) > (held.danger, held.last):
                due[one.threat] = one
    kept += due.values()

    def urgency(one: ThreatWindow) -> tuple[int, int, int, int, str]:
        current, old = _current(one, asked.today), one.last < asked.today - timedelta(days=FRESH)
        past = old and not current
        away = max((one.first - asked.today).days, (asked.today - one.last).days, 0)
        return 0 if current else 1 + int(old), 0 if past else -one.danger, away, -one.danger, str(one.threat)

    return tuple(sorted(kept, key=urgency))


def _current(one: ThreatWindow, today: date) -> bool:
    """Whether a window asks for something this week: it is under way, of the last days, begins or is forecast; or its
    signs can be seen. A severe one counts until its signs are past: nobody is to forget it while they are awaited."""
    ends = today + timedelta(days=WEEK)
    if one.last >= today - timedelta(days=FRESH):
        return one.first <= ends or not one.usual  # further off by the years before alone: it can wait
    if one.look_from is None or one.look_to is None or one.look_to < today:
        return False
    return one.look_from <= ends or one.danger is Danger.SEVERE
