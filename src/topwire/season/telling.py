"""What a week has to tell beside its figures."""

from collections.abc import Sequence
from datetime import date

from topwire.protection.telling import about_bees
from topwire.season.asked import WeekBasis
from topwire.season.believed import DateLeftOut
from topwire.season.findings import JobState, WeekFindings
from topwire.values.notice import Measured, Notice, assumption, remark, warning
from topwire.values.quantities import Plain

_OLD = 4  # [d] from which the weather is told to be behind
_MONTHS_OFF = (11, 12, 1)  # in which nothing of the season hangs on it


def left_out_notices(left_out: Sequence[DateLeftOut]) -> tuple[Notice, ...]:
    """Dates noted that move nothing, for they are too far from what is reckoned."""
    return tuple(
        warning(
            "week.date_left_out",
            setting="records",
            concerns=[one.row.cultivar],
            event=str(one.row.event),
            on=f"{one.row.date.day} {one.row.date:%b}",
            days=round(abs(one.days)),
            side="before" if one.days < 0 else "after",
            sooner="early" if one.days < 0 else "late",
        )
        for one in left_out
    )


def week_notices(
    found: WeekFindings,
    *,
    filled: int,
    plan_changed: bool,
    basis: WeekBasis,
    left_out: Sequence[DateLeftOut],
) -> tuple[Notice, ...]:
    """Every notice of a week but those of its water."""
    day = date.fromisoformat(found.day)
    told = list(about_bees(found.threats.open_bloom if found.stages else ()))
    if plan_changed:
        told.append(warning("week.plan_changed", setting="plan.yaml"))
    if not found.stages:
        told.append(remark("week.no_trees", setting="years.planting", year=str(basis.planting + 1)))
    elif found.weather_to is None:
        told.append(warning("week.no_weather", setting="weather.files", year=str(day.year)))
    else:
        behind = (day - date.fromisoformat(found.weather_to)).days - 1
        if behind >= _OLD and day.month not in _MONTHS_OFF:
            told.append(
                warning("week.weather_behind", setting="weather.files", days=behind, last=found.weather_to)
            )
    told += left_out_notices(left_out)
    if filled:
        told.append(assumption("week.days_filled", setting="weather.files", days=filled))
    hours = sum(line.hours or 0.0 for line in found.jobs if line.state is not JobState.DONE)
    if found.hands_hours > 0 and hours > found.hands_hours:
        told.append(
            warning(
                "week.short_of_hands",
                setting="money.hands",
                hours=Measured(hours, Plain.HOURS, 0),
                hands=Measured(found.hands_hours, Plain.HOURS, 0),
            )
        )
    return tuple(told)
