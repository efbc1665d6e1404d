"""What to run this week, as a sheet."""

from datetime import date, timedelta

from topwire.show.sheet import Column, Sheet
from topwire.values.calendar import day_label
from topwire.values.quantities import Plain
from topwire.values.units import Kind
from topwire.water.week import WeekAdvice


def this_week(advice: WeekAdvice) -> Sheet:
    first = date.fromisoformat(advice.first_day)
    return Sheet(
        "water.this_week",
        "What to run this week",
        (
            Column("zone", "zone"),
            Column("leaf", "leaf of its youngest trees"),
            *(
                Column(
                    f"day_{day}", day_label((first + timedelta(days=day)).timetuple().tm_yday), Plain.HOURS, 1
                )
                for day in range(advice.days)
            ),
            Column("volume", "a tree", Kind.SMALL_VOLUME),
            Column("missing", "its soil lacks today", Kind.SMALL_VOLUME),
            Column("ready", "it can take from the soil unharmed", Kind.SMALL_VOLUME),
        ),
        tuple(
            (zone.zone, zone.leaf, *zone.hours, zone.volume, zone.missing, zone.ready)
            for zone in advice.zones
        ),
    )
