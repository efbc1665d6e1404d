"""Sheets of what is scarce: what limits each need, when it is picked, how long the table's fruit has lain."""

from topwire.choice.findings import Choice
from topwire.choice.pinch import SERVED
from topwire.choice.scarce import PickingWeeks, TableAge
from topwire.choice.supply import PRIME
from topwire.show.sheet import Column, Sheet, setting, sheet_of
from topwire.tell.choice import need_label
from topwire.tell.reader import Reader, counted
from topwire.tell.scarce import limited_by, remedies
from topwire.values.calendar import WEEKS, week_label
from topwire.values.quantities import Plain
from topwire.values.units import Kind

PEAK = 3  # weeks on end, of which the share of the crop is told
SOME = 0.5  # [kg] at table in a week that is worth a line
_NEEDS = setting("kitchen.needs")


def sheets(choice: Choice, reader: Reader) -> list[Sheet]:
    found = []
    if choice.pinches:
        found.append(pinches(choice, reader))
    if choice.picking is not None and choice.picking.mean.any():
        found.append(picking(choice.picking, reader))
    if choice.table_age is not None:
        found.append(table_age(choice.table_age))
    return found


def table_age(found: TableAge) -> Sheet:
    """How long what is eaten fresh has lain, by the week it is eaten in."""
    weeks = [week for week in range(1, WEEKS + 1) if found.served[week - 1] > SOME]
    total = float(found.served.sum())
    late = float((found.served * found.late).sum()) / total if total > 0 else 0.0
    prime = setting("kitchen.in_its_prime")
    return Sheet(
        "choice.table_age",
        "How long fruit for the table has lain",
        (
            Column("week", "week from", width=1),
            Column("served", "served at table, mean year", Kind.MASS, width=1),
            Column("weeks", "weeks since picking, mean", Plain.RATIO, 1, width=1),
            Column("late", "past two thirds of its life", Plain.SHARE, width=1, links=prime),
        ),
        tuple(
            (
                week_label(week),
                float(found.served[week - 1]),
                float(found.weeks[week - 1]),
                float(found.late[week - 1]),
            )
            for week in weeks
        ),
        f"Of fruit that has lain for more than {PRIME:.0%} of its life at table the best is over, though it is sound.",
        (
            f"{late:.0%} of all that is eaten fresh has lain that long. Write in_its_prime: true under kitchen to have "
            "fresher fruit count more, at the cost of other needs.",
        ),
    )


def picking(found: PickingWeeks, reader: Reader) -> Sheet:
    """What is picked in each week, and how much of it falls together."""
    first, share = found.heaviest(PEAK)
    notes = [
        f"{share:.0%} of the year's fruit is picked in the {PEAK} weeks from {week_label(first)}.",
        "A quarter less in the heaviest week cannot be had with these cultivars."
        if found.flatter is None
        else "A quarter less in the heaviest week, by other numbers of the same cultivars, would cost the kitchen "
        f"{reader.text(found.flatter, Kind.MASS)} a year (each need times its weight); write most_picked under taste "
        "for it.",
    ]
    if found.most is not None:
        notes.append(f"The plan allows {reader.text(found.most, Kind.MASS)} a week in the mean of years.")
    lines = [
        (week_label(week), float(found.mean[week - 1]), float(found.high[week - 1]))
        for week in _picked(found)
    ]
    return Sheet(
        "choice.picking",
        "What is picked in each week",
        (
            Column("week", "week from", width=1),
            Column("mean", "picked, mean year", Kind.MASS, width=1),
            Column("high", "year in ten with most", Kind.MASS, width=1),
        ),
        tuple(lines),
        "A year of full crop, over all weather years.",
        tuple(notes),
    )


def _picked(found: PickingWeeks) -> list[int]:
    """Weeks with fruit, by the calendar."""
    return [week for week in range(1, WEEKS + 1) if found.high[week - 1] > 0]


def pinches(choice: Choice, reader: Reader) -> Sheet:
    """What limits each need that goes short, and what would help."""
    return sheet_of(
        "choice.pinches",
        "What limits each need",
        (
            Column(
                "need",
                "need",
                width=1.6,
                links=_NEEDS,
                of=lambda line: need_label(choice.needs[line.need], reader),
            ),
            Column("missing", "missing a year", Kind.MASS, width=0.7),
            Column("years", "weather years it goes short in", width=0.8, of="short_years"),
            Column("limits", "what limits it, share of what is missing", width=2.2, of=limited_by),
            Column("helps", "what would help", width=2, of=remedies),
        ),
        choice.pinches,
        "Read from the prices of the programme that serves the chosen trees, year by year. Needs served to "
        f"{SERVED:.0%} or more in the mean year are left out.",
        (f"{counted(choice.trees, 'tree')} in the plan; {len(choice.years)} weather years.",),
    )
