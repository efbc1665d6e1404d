"""The kitchen's weeks, need by need, and the orchard's year in one strip: the lines and their sheets."""

from dataclasses import dataclass

import numpy as np

from topwire.choice.findings import Choice, NeedLine
from topwire.engine.orchard import Orchard
from topwire.show.sheet import Column, Sheet, StandsIn, setting, sheet_of
from topwire.show.tree_sheet import cultivar_weeks, cultivar_weeks_sheet, tree_sheet
from topwire.tell.choice import need_label
from topwire.tell.reader import Reader
from topwire.values.calendar import WEEKS, week_label
from topwire.values.quantities import Plain
from topwire.values.units import Kind

SEASON_START = 27  # the week from 2 July: a harvest year is told from the first pick on
ORDER = tuple((SEASON_START - 1 + step) % WEEKS + 1 for step in range(WEEKS))


@dataclass(frozen=True)
class NeedWeek:
    """One need in one week of the mean year [kg whole fruit]; the parts and what is short make up what is wanted."""

    need: str
    number: int  # among the needs
    week: int
    wanted: float
    off_tree: float
    made: float
    cellar: float
    put_by: float
    short: float
    cultivars: tuple[str, ...]

    @property
    def starts(self) -> str:
        return week_label(self.week)


@dataclass(frozen=True)
class OrchardWeek:
    """One week of the orchard's year: what blooms, is picked, lies in the cellar, is wanted and served [kg]."""

    week: int
    bloom: tuple[str, ...]
    pick: tuple[str, ...]
    stored: float
    wanted: float
    served: float

    @property
    def starts(self) -> str:
        return week_label(self.week)


def need_weeks(choice: Choice, reader: Reader) -> list[NeedWeek]:
    """Weeks in which something is wanted, in the order of a year that begins with the first pick."""
    return [
        _of_week(need, number, need_label(need, reader), week)
        for number, need in enumerate(choice.needs)
        for week in ORDER
        if need.wanted[week - 1] > 0
    ]


def _of_week(need: NeedLine, number: int, label: str, week: int) -> NeedWeek:
    at = week - 1
    wanted = float(need.wanted[at])
    by = need.brought_by[at] if need.brought_by else ()
    if not need.a_week and not need.put_by:
        # made once, in whichever of these weeks it is ripe: every week has its part of the season, and of what is short
        made = wanted * min(need.share, 1.0)
        every = tuple(dict.fromkeys(name for names in need.brought_by for name in names))
        return NeedWeek(label, number, week, wanted, 0.0, made, 0.0, 0.0, wanted - made, every)
    served = min(float(need.served[:, at].mean()), wanted)
    tree = 0.0 if need.put_by else min(float(need.off_tree[at]), served)
    jar = served if need.put_by else 0.0
    short, cellar = max(0.0, wanted - served), served - tree - jar
    return NeedWeek(label, number, week, wanted, tree, 0.0, cellar, jar, short, by)


def orchard_weeks(orchard: Orchard) -> list[OrchardWeek]:
    """The year in 52 weeks."""
    choice = orchard.choice
    if choice is None:
        return []
    planted = [line for line in cultivar_weeks(orchard) if line.trees]
    stored = choice.stored.mean(axis=0)
    wanted, served = np.zeros(WEEKS), np.zeros(WEEKS)
    for line in need_weeks(choice, Reader(orchard.origin.units)):
        wanted[line.week - 1] += line.wanted
        served[line.week - 1] += line.wanted - line.short
    found = []
    for week in ORDER:
        bloom = tuple(line.cultivar for line in planted if _within(week, line.bloom_weeks))
        picks = ((line.cultivar, (line.first_pick, line.last_pick)) for line in planted)
        pick = tuple(name for name, (first, last) in picks if first and last and _within(week, (first, last)))
        at = week - 1
        found.append(OrchardWeek(week, bloom, pick, float(stored[at]), float(wanted[at]), float(served[at])))
    return found


def _within(week: int, weeks: tuple[int, int] | None) -> bool:
    if weeks is None:
        return False
    first, last = weeks
    return first <= week <= last if first <= last else week >= first or week <= last


def kitchen_weeks(choice: Choice, reader: Reader) -> Sheet:
    """Every need in every week it is wanted in."""
    needs = setting("kitchen.needs")
    mass = [
        ("wanted", "wanted", needs),
        ("off_tree", "from the tree", ()),
        ("made", "made once, a part a week", ()),
        ("cellar", "from the cellar", setting("kitchen.cellar")),
        ("put_by", "put by before", ()),
        ("short", "short", ()),
    ]
    columns = (
        Column("need", "need", links=needs),
        Column("week", "week", Plain.WEEK),
        Column("starts", "from"),
        *(Column(key, caption, Kind.MASS, 0, links=links) for key, caption, links in mass),
        Column("cultivars", "cultivars, most first"),
    )
    return sheet_of(
        "choice.weeks", "The kitchen week by week", columns, need_weeks(choice, reader), stands_in=StandsIn.SPREADSHEET,
        rests_on="Mean of the weather years at full crop. What is made once stands in equal parts in the weeks of its "
        "making, what is put by in the weeks it is eaten.",
    )  # fmt: skip


def year_sheet(orchard: Orchard) -> Sheet:
    """The orchard's year in 52 lines."""
    columns = (
        Column("week", "week", Plain.WEEK),
        Column("starts", "from"),
        Column("bloom", "in bloom"),
        Column("pick", "picked"),
        Column("stored", "in the cellar", Kind.MASS, 0),
        Column("wanted", "wanted", Kind.MASS, 0),
        Column("served", "served", Kind.MASS, 0),
    )
    return sheet_of(
        "choice.year", "The year in weeks", columns, orchard_weeks(orchard), stands_in=StandsIn.SPREADSHEET,
        rests_on="Bloom and harvest of the middle year; fruit is the mean of the weather years at full crop.",
    )  # fmt: skip


def page_sheets(orchard: Orchard) -> list[Sheet]:
    """Sheets that only the page shows whole: behind the map, and behind the year's strip."""
    ground, layout = orchard.ground, orchard.layout
    trees = (
        []
        if ground is None or layout is None
        else [tree_sheet(ground, layout), cultivar_weeks_sheet(orchard)]
    )
    return [*trees, year_sheet(orchard)]
