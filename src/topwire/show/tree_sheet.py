"""Every tree in a line, and every planted cultivar's weeks: what a map is drawn from."""

from dataclasses import dataclass

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.layout.findings import Ground, Layout
from topwire.show.sheet import Column, LinkKind, Sheet, StandsIn, setting, sheet_of
from topwire.values.calendar import week_of_day
from topwire.values.quantities import Plain


@dataclass(frozen=True)
class CultivarWeeks:
    """One planted cultivar. Days and weeks are those of the middle year; None where they are not known."""

    cultivar: str
    code: str
    trees: int
    first_bloom: float | None
    petal_fall: float | None
    first_pick: int | None  # week 1 to 52
    last_pick: int | None
    donors: tuple[str, ...]

    @property
    def bloom_weeks(self) -> tuple[int, int] | None:
        if self.first_bloom is None or self.petal_fall is None:
            return None
        return int(week_of_day(self.first_bloom)), int(week_of_day(self.petal_fall))


@dataclass(frozen=True)
class StandingThere:
    """One tree."""

    address: str
    cultivar: str
    code: str
    rootstock: str
    year: int | None
    pollen: float
    donors: int


def cultivar_weeks(orchard: Orchard) -> list[CultivarWeeks]:
    """In the order of the layout's cultivars, those without a tree too."""
    layout, place = orchard.layout, orchard.place
    if layout is None:
        return []
    chosen = {line.name: line for line in (orchard.choice.chosen if orchard.choice else ())}
    found = []
    for number, name in enumerate(layout.cultivars):
        at = place.cultivars.index(name) if place is not None and name in place.cultivars else None
        days: list[float | None] = [None, None]
        if place is not None and at is not None:
            for index, of_year in enumerate((place.first_bloom[:, at], place.petal_fall[:, at])):
                if np.isfinite(of_year).any():
                    days[index] = float(np.nanmedian(of_year))
        line = chosen.get(name)
        picks = line.harvest_weeks if line else (None, None)
        found.append(
            CultivarWeeks(
                name, layout.codes[number], layout.trees_of(name), days[0], days[1], picks[0], picks[1],
                line.donors if line else (),
            )
        )  # fmt: skip
    return found


def trees(ground: Ground, layout: Layout) -> list[StandingThere]:
    """Places with a tree, in the order of the ground."""
    found = []
    for index in np.flatnonzero(layout.cultivar >= 0):
        kind = int(layout.cultivar[index])
        stock = ground.standing_rootstock[index] if layout.standing[index] else layout.rootstock[kind]
        found.append(
            StandingThere(
                str(ground.address(int(index))), layout.cultivars[kind], layout.codes[kind], stock,
                int(layout.year_planted[index]) or None, float(layout.pollen[index]),
                int(layout.donors_in_reach[index]),
            )
        )  # fmt: skip
    return found


def tree_sheet(ground: Ground, layout: Layout) -> Sheet:
    """Every tree in a line."""
    columns = (
        Column("address", "tree", leads=LinkKind.TREE),
        Column("cultivar", "cultivar", leads=LinkKind.CULTIVAR),
        Column("code", "code"),
        Column("rootstock", "rootstock", links=setting("trees.rootstock")),
        Column("year", "year planted", Plain.YEAR, links=setting("years.planting")),
        Column("pollen", "useful pollen, worst year of ten (1 = enough)", Plain.RATIO, 1),
        Column("donors", "useful pollen donors in reach"),
    )
    return sheet_of(
        "layout.trees", "Every tree", columns, trees(ground, layout), stands_in=StandsIn.SPREADSHEET
    )


def cultivar_weeks_sheet(orchard: Orchard) -> Sheet:
    """The weeks of bloom and of picking of every planted cultivar."""
    columns = (
        Column("cultivar", "cultivar", leads=LinkKind.CULTIVAR),
        Column("code", "code"),
        Column("trees", "trees"),
        Column("first_bloom", "first bloom, middle year", Plain.DAY_OF_YEAR),
        Column("petal_fall", "petal fall, middle year", Plain.DAY_OF_YEAR),
        Column("first_pick", "first pick, week", Plain.WEEK),
        Column("last_pick", "last pick, week", Plain.WEEK),
        Column("donors", "pollen donors"),
    )
    lines = [line for line in cultivar_weeks(orchard) if line.trees]
    return sheet_of(
        "layout.weeks", "Bloom and harvest through the year", columns, lines, stands_in=StandsIn.SPREADSHEET
    )
