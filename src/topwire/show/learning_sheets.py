"""Sheets of the Learning: what the grower's own dates teach."""

from topwire.learning.findings import LearntDates
from topwire.show.sheet import Column, LinkKind, Sheet, setting, sheet_of
from topwire.values.quantities import Plain

_UNTIL = setting("place.own_dates_until")


def sheets(learnt: LearntDates) -> list[Sheet]:
    return [of_the_place(learnt), *([of_cultivars(learnt)] if learnt.cultivars else [])]


def of_the_place(learnt: LearntDates) -> Sheet:
    return sheet_of(
        "learning.place",
        "What your own dates say of the place",
        (
            Column("event", "event"),
            Column("dates", "dates"),
            Column("years", "years"),
            Column("shift", "shift here, days", Plain.DAYS, 1, links=_UNTIL, of="place_shift"),
            Column("sure_to", "± days", Plain.DAYS, 1, of="place_shift_sd"),
        ),
        learnt.learned,
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
            Column("error", "a date is then right to, days", Plain.DAYS, 1),
        ),
        learnt.cultivars,
        rests(learnt),
    )


def rests(learnt: LearntDates) -> str:
    """Whether the plan follows the dates."""
    if not learnt.learned:
        return "No date of your own teaches anything yet: write what you see into records/bloom.csv."
    if learnt.used_until is None:
        return "The plan's own figures do not follow them."
    return f"The plan's own figures follow those up to {learnt.used_until}."
