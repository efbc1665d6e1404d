"""Dates of insects: this year's warmth so far, gone on with as in each of the years before."""

from collections.abc import Iterator

import numpy as np

from topwire.phenology.heat import sine_above
from topwire.phenology.stages import SeasonStage
from topwire.protection import insects
from topwire.protection.findings import Danger, Threat, ThreatWindow
from topwire.protection.insects import InsectClock, InsectEvent
from topwire.protection.situation import Situation, on
from topwire.values.arrays import Floats
from topwire.values.insect_clock import ClockStart
from topwire.values.notice import Measured, remark
from topwire.values.units import Kind

AHEAD = 28  # [d] to which dates are told
MARCH = 59  # index of 1 March
_STARTS = {ClockStart.JANUARY: 0, ClockStart.FEBRUARY: 31, ClockStart.MARCH: MARCH}
_CODLING = "codling moth"
LATE_CATCH = 340.0 / 1.8  # [K d] beyond the usual latest first catch: that flight's eggs hatch most by then


def windows(now: Situation) -> list[ThreatWindow]:
    """Every event of every clock within the days told, and the flight of black stem borers."""
    found = []
    for clock in now.asked.basis.clocks:
        start = _start(now, clock)
        if start is None:
            continue
        daily = insects.warmth(clock, *now.ways)
        so_far = _so_far(now, daily, start)
        for event in clock.events:
            window = _window(now, clock, event, daily, start, so_far)
            if window is not None:
                found.append(window)
    return [*found, *_stem_borers(now)]


def _start(now: Situation, clock: InsectClock) -> int | None:
    """Index of the day from which a clock counts, that day counted; None where it cannot be said."""
    if clock.starts in _STARTS:
        return _STARTS[clock.starts]
    if clock.starts is ClockStart.PETAL_FALL:
        days = [now.reached(SeasonStage.PETAL_FALL, row.name) for row in now.guarded]
        known = [day for day in days if np.isfinite(day)]
        return round(float(np.median(known))) + 1 if known else None
    caught = _first_catch(now, clock)
    if caught is not None:
        return caught
    return 0 if clock.first_low is not None else None


def _first_catch(now: Situation, clock: InsectClock) -> int | None:
    """Index of the day of the first catch. One that comes long after first catches do, with no empty trap before it,
    was only the first that was counted."""
    day = now.asked.caught.get(clock.insect)
    if day is None:
        return None
    at = now.year.index(day)
    if clock.insect in now.asked.unwatched and clock.first_high is not None:
        since_january = float(insects.warmth(clock, *now.ways)[0, :at].sum())
        if since_january > clock.first_high + LATE_CATCH:
            return None
    return at


def _so_far(now: Situation, daily: Floats, start: int) -> float:
    """Sum to yesterday's end [K d]."""
    return float(daily[0, start : max(now.today, start)].sum())


def _window(
    now: Situation, clock: InsectClock, event: InsectEvent, daily: Floats, start: int, so_far: float
) -> ThreatWindow | None:
    early, late = 0.0, 0.0
    estimated = clock.starts is ClockStart.FIRST_CATCH and _first_catch(now, clock) is None
    if estimated:
        assert clock.first_low is not None
        early, late = clock.first_low, clock.first_high or clock.first_low
    begins = insects.day_reached(daily, start, event.low + early)
    ends = insects.day_reached(daily, start, event.high + late)
    if np.isnan(begins).mean() > 0.5:
        return None
    first = int(np.nanpercentile(begins, 10))
    last = int(np.nanpercentile(ends, 90)) if np.isfinite(ends).any() else now.today + AHEAD
    late_catch = now.asked.caught.get(clock.insect)
    danger = Danger[event.danger.upper()]
    if first > now.today + AHEAD or last < first or (danger is Danger.WATCH and last < now.today):
        return None
    total = so_far - (early + late) / 2.0
    hatch = float(insects.hatched(max(total, 0.0))) if clock.insect == _CODLING else -1.0
    reason = remark(
        "protection.insect",
        source=event.source,
        condition=event.event,
        insect=clock.insect,
        total=Measured(max(total, 0.0), Kind.HEAT),
        low=Measured(event.low, Kind.HEAT),
        high=Measured(event.high, Kind.HEAT),
        base=Measured(clock.lower, Kind.TEMPERATURE),
        since=_since(now, clock, start, estimated),
        estimated=estimated,
        late_catch="" if not estimated or late_catch is None else on(late_catch),
        progress=insects.progress(event, total) if now.today > start else 0,
        middle=on(
            now.year.day(float(np.nanmedian((begins + np.where(np.isfinite(ends), ends, begins)) / 2.0)))
        ),
        action=event.action,
        region=clock.region,
        hatched=hatch if event.low > 0 and 0.0 < hatch < 1.0 and total < FIRST_HATCH_OVER else -1.0,
        out=_maggots(now) if clock.insect == "apple maggot" else -1.0,
    )
    return now.window(_threat(clock.insect), danger, (first, last), reason, ())


def _threat(insect: str) -> Threat:
    """An insect of the grower's own table has no words of its own."""
    return Threat(insect) if insect in set(Threat) else Threat.OTHER_INSECT


FIRST_HATCH_OVER = 1000.0 / 1.8  # [K d] after the first catch, from which the second generation lays


def _since(now: Situation, clock: InsectClock, start: int, estimated: bool) -> str:
    if estimated:
        return "an estimated first catch"
    return str(clock.starts) if clock.starts in _STARTS else f"{clock.starts}, {now.year.day(start):%-d %b}"


def _maggots(now: Situation) -> float:
    """Share of flies out by yesterday, by another model than the window's."""
    low, high = now.middle_year
    days = slice(MARCH, max(now.today, MARCH))
    return float(insects.maggots_out(sine_above(low[days], high[days], insects.MAGGOT_BASE).sum()))


def _stem_borers(now: Situation) -> Iterator[ThreatWindow]:
    """Flight from the third warm day of spring on, for a month."""
    high = now.year.tmax[MARCH:]
    counted = insects.warm_days(high)
    reached = np.flatnonzero(counted >= insects.FLIGHT_DAYS)
    if not reached.size:
        return
    day = MARCH + int(reached[0])
    reason = remark(
        "protection.stem_borer",
        source="AGNELLO2015",
        days=insects.FLIGHT_DAYS,
        high=Measured(insects.FLIGHT_DAY, Kind.TEMPERATURE),
        day=on(now.year.day(day)),
    )
    yield now.window(Threat.BLACK_STEM_BORER, Danger.WATCH, (day, day + AHEAD), reason, ())
