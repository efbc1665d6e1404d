"""Sheets of the Learning: what the grower's own dates teach."""

from topwire.learning.findings import LearntDates
from topwire.show.sheet import Column, Link, Linked, LinkKind, Sheet
from topwire.values.quantities import Plain

_UNTIL = (Link(LinkKind.SETTING, "place.own_dates_until"),)


def sheets(learnt: LearntDates) -> list[Sheet]:
    return [of_the_place(learnt), *([of_cultivars(learnt)] if learnt.cultivars else [])]


def of_the_place(learnt: LearntDates) -> Sheet:
    return Sheet(
        "learning.place",
        "What your own dates say of the place",
        (
            Column("event", "event"),
            Column("dates", "dates"),
            Column("years", "years"),
            Column("shift", "shift here, days", Plain.DAYS, 1, links=_UNTIL),
            Column("sure_to", "± days", Plain.DAYS, 1),
        ),
        tuple(
            (line.event, line.dates, line.years, line.place_shift, line.place_shift_sd)
            for line in learnt.learned
        ),
        rests(learnt),
    )


def of_cultivars(learnt: LearntDates) -> Sheet:
    return Sheet(
        "learning.cultivars",
        "What your own dates say of each cultivar",
        (
            Column("cultivar", "cultivar", width=2),
            Column("event", "event"),
            Column("dates", "dates"),
            Column("shift", "later than the catalogue, days", Plain.DAYS, 1, links=_UNTIL),
            Column("error", "a date is then right to, days", Plain.DAYS, 1),
        ),
        tuple(
            (
                Linked(line.cultivar, Link(LinkKind.CULTIVAR, line.cultivar)),
                line.event,
                line.dates,
                line.shift,
                line.error,
            )
            for line in learnt.cultivars
        ),
        rests(learnt),
    )


def rests(learnt: LearntDates) -> str:
    """Whether the plan follows the dates."""
    if not learnt.learned:
        return "No date of your own teaches anything yet: write what you see into records/bloom.csv."
    if learnt.used_until is None:
        return "The plan's own figures do not follow them."
    return f"The plan's own figures follow those up to {learnt.used_until}."
