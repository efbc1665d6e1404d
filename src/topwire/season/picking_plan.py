"""A picking plan for the week: on dry days, what would be over first goes first, no more than the hands give."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from math import ceil

from topwire.season.findings import PickDay, PickWeek
from topwire.season.picking import CRATE

WET = 2.0  # [mm] of rain from which a day is taken as too wet to pick: common practice, no source
WORK_DAYS = 6  # of a week
ROUND = 0.25  # [h] that is worth going for


def picking_plan(
    day: date, picks: Sequence[PickWeek], rain: Mapping[date, float], *, people: int, hours_a_week: float
) -> tuple[PickDay, ...]:
    """Rounds by day, in the order they are walked.

    Parameters
    ----------
    rain : [mm] forecast, by day; a day it does not name is taken as dry
    people, hours_a_week : hands, and the hours one gives
    """
    a_day = hours_a_week / WORK_DAYS
    order = sorted(picks, key=lambda line: (line.last.middle, line.cultivar))
    todo = {line.cultivar: line.this_week for line in order}
    made: list[PickDay] = []
    ends = (day + timedelta(days=6)).timetuple().tm_yday
    for number in range(7):
        on = day + timedelta(days=number)
        if not any(kg > 0 for kg in todo.values()):
            break
        if rain.get(on, 0.0) >= WET:
            made.append(PickDay(on.isoformat(), True, "", 0.0, 0, 0.0, 0, ()))
            continue
        left = a_day
        for line in order:
            kg = todo[line.cultivar]
            # Not before it is likely ripe; what may be ripe by the week's end waits for it.
            if kg <= 0 or left < ROUND or on.timetuple().tm_yday < min(line.first.middle, ends):
                continue
            needs = line.hours / line.this_week * kg / people
            takes = min(needs, left)
            part = kg if takes >= needs else kg * takes / needs
            todo[line.cultivar] = kg - part
            left -= takes
            crew = min(people, max(1, ceil(takes * people / ROUND)))  # nobody comes for a few minutes
            each = takes * people / crew
            made.append(
                PickDay(on.isoformat(), False, line.cultivar, part, ceil(part / CRATE), each, crew, line.rows)
            )
    return tuple(made)
