"""Sheets of the Learning: what the grower's own dates teach, and what they say of this year."""

from collections.abc import Collection, Mapping

from topwire.learning.findings import LearntDates, ThisYear
from topwire.phenology.calibration import Teaching
from topwire.show.sheet import Column, Link, Linked, LinkKind, Sheet, setting, sheet_of
from topwire.values.quantities import Plain

_UNTIL = setting("place.own_dates_until")
_STAGES: Mapping[Teaching, str] = {
    Teaching.OFFSET: "days",
    Teaching.NEED: "heat to bloom",
    Teaching.RESPONSE: "heat, and response to warmth",
}


def sheets(learnt: LearntDates, chosen: Collection[str]) -> list[Sheet]:
    """`chosen` are the plan's cultivars: of this year only these and those seen are listed."""
    made = [of_the_place(learnt)]
    if learnt.cultivars:
        made.append(of_cultivars(learnt))
    if learnt.this_year is not None:
        made.append(of_this_year(learnt.this_year, chosen))
    return made


def of_the_place(learnt: LearntDates) -> Sheet:
    events = {line.event: line for line in learnt.events}
    return Sheet(
        "learning.place",
        "What your own dates say of the place",
        (
            Column("event", "event"),
            Column("dates", "dates"),
            Column("years", "years"),
            Column("learnt", "learnt as"),
            Column("shift", "shift here, days", Plain.DAYS, 1, links=_UNTIL),
            Column("sure_to", "± days", Plain.DAYS, 1),
        ),
        tuple(
            (
                line.event,
                line.dates,
                line.years,
                _STAGES[events[line.event].stage],
                line.place_shift,
                line.place_shift_sd,
            )
            for line in learnt.learned
        ),
        rests(learnt),
    )


def of_cultivars(learnt: LearntDates) -> Sheet:
    return sheet_of(
        "learning.cultivars",
        "What your own dates say of each cultivar",
        (
            Column("cultivar", "cultivar", width=2, leads=LinkKind.CULTIVAR),
            Column("event", "event"),
            Column("dates", "dates"),
            Column("shift", "later than the catalogue, days", Plain.DAYS, 1, links=_UNTIL),
            Column("before", "the catalogue missed by, days", Plain.DAYS, 1),
            Column("after", "years not learnt from miss by", Plain.DAYS, 1),
            Column("last_year", "last year", of=lambda line: str(line.last_year)),
            Column("last_before", "late by the catalogue", Plain.DAYS, 1),
            Column("last_after", "by the years before", Plain.DAYS, 1),
            Column("error", "a date is now right to, days", Plain.DAYS, 1),
        ),
        learnt.cultivars,
        f"Root mean squares over years; recent years weigh more. {rests(learnt)}",
    )


def of_this_year(year: ThisYear, chosen: Collection[str]) -> Sheet:
    day = Plain.DAY_OF_YEAR
    rows = [line for line in year.cultivars if line.seen or line.cultivar in chosen]
    return Sheet(
        "learning.this_year",
        f"This year, {year.year}",
        (
            Column("cultivar", "cultivar", width=2),
            Column("seen", "full bloom"),
            Column("bloom_low", "early", day),
            Column("bloom_middle", "middle", day),
            Column("bloom_high", "late", day),
            Column("pick_low", "first pick, early", day),
            Column("pick_middle", "middle", day),
            Column("pick_high", "late", day),
        ),
        tuple(
            (
                Linked(line.cultivar, Link(LinkKind.CULTIVAR, line.cultivar)),
                "seen" if line.seen else "forecast",
                line.bloom.low,
                line.bloom.middle,
                line.bloom.high,
                *((line.pick.low, line.pick.middle, line.pick.high) if line.pick else (None,) * 3),
            )
            for line in sorted(rows, key=lambda line: line.bloom.middle)
        ),
        f"From {year.seen} dates of bloom seen and {year.days} days of this season's weather; what is to come as in "
        "the years of today. Bloom seen in one cultivar moves all others with it.",
    )


def rests(learnt: LearntDates) -> str:
    """Whether the plan follows the dates."""
    if not learnt.learned:
        return "No date of your own teaches anything yet: write what you see into records/bloom.csv."
    if learnt.used_until is None:
        return "The plan's own figures do not follow them."
    return f"The plan's own figures follow those up to {learnt.used_until}."
