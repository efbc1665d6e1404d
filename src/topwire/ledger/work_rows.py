"""Rows of the tables the calendar is made from, and the words their cells may hold."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

# Stages of a middle year; those of soil and water are found here, the others by Place, Nursery and Water.
STAGES = (
    "green_tip",
    "first_bloom",  # full bloom of the first cultivar
    "full_bloom",
    "petal_fall",
    "last_petal_fall",  # of the cultivar that flowers longest: from then on no flower is open
    "first_biennial_bloom",  # full bloom of the first strongly biennial cultivar
    "last_biennial_bloom",
    "first_harvest",
    "last_harvest",
    "last_frost",
    "first_frost",
    "leaf_fall",
    "soil_10",
    "soil_16",
    "planting",
    "press_first",
    "press_last",
    "water_open",
    "water_begin",
    "water_last",
    "water_empty",
)
# What a row may hang on: parts an orchard has, the season its trees are set, and what its trees are like in that leaf.
PARTS = (
    "field",
    "garden",
    "flat",  # trained as espaliers, fans or cordons
    "spindle",
    "water",
    "trellis",
    "alleys",
    "fence",
    "grafts",
    "two_seasons",
    "whips",
    "feathered",
    "bird_net",
    "hail_net",
    "bears",
    "gnawers",  # voles or rabbits
    "replant",
    "wet",
    "groundwork",  # old trees to grub, or drains to lay
    "mulch",
    "press",
    "preserve",
    "cellar",
)
PLANTED = ("autumn_planting", "spring_planting")
BY_LEAF = ("bearing", "young", "first_crop")
CONDITIONS = PARTS + PLANTED + BY_LEAF
SEASON = "season"  # work only done in its own weeks
_YEAR = re.compile(r"(planting|graft)([+-]\d)?")


@dataclass(frozen=True)
class WorkRow:
    """One row of work_calendar.csv; measures in its texts are written [metric|US].

    Attributes
    ----------
    year : of work done once, "planting-1", "graft+1"; empty for work of every year
    stage : one of STAGES, or month-day
    begin : from the stage [d]
    until : stage it lasts to; empty: the same one
    end : from that stage [d]
    first_leaf, last_leaf, every : of work that comes again: its first and last leaf, and every how many years
    moves : "yes": may be done earlier, so that what waits for it is not held up
    ground : "open": not in frozen ground
    late : of work done once: "season": only in its own weeks; an item: left out where that is; empty: as soon as it can
    needs : items or jobs it waits for, apart by ";"; "=" before one: only until it has begun
    only : CONDITIONS that all have to hold
    labour : row of labour.csv its hours come from; empty: counted with another
    where : "rows": done row by row
    bill : its material stands on
    lost : what is lost where it is left out
    """

    item: str
    year: str | None
    stage: str
    begin: int
    until: str | None
    end: int
    first_leaf: int
    last_leaf: int
    every: int
    moves: str | None
    ground: str | None
    late: str | None
    needs: str | None
    only: str | None
    labour: str | None
    people: int
    tools: str | None
    where: str | None
    bill: str | None
    what: str
    how: str
    caution: str | None
    lost: str | None
    source: str | None
    mark: str

    @property
    def conditions(self) -> tuple[str, ...]:
        return tuple((self.only or "").split())

    @property
    def waits(self) -> tuple[tuple[str, bool], ...]:
        """Names waited for, and whether only until they have begun."""
        names = [name.strip() for name in (self.needs or "").split(";") if name.strip()]
        return tuple((name.removeprefix("="), name.startswith("=")) for name in names)


@dataclass(frozen=True)
class MaturityRow:
    """One row of maturity.csv: starch on the 1 to 8 scale, firmness in pounds on an 11 mm probe."""

    cultivar: str
    firmness_short_lb: float | None
    firmness_mid_lb: float | None
    firmness_long_lb: float | None
    starch_mature: float
    starch_over: float
    source: str | None
    mark: str


def day_of(stage: str, stages: Mapping[str, float]) -> float | None:
    """Day of year of a stage or of a month-day; None where the place has no such stage.

    Raises
    ------
    ValueError
        When it is neither.
    """
    if stage in STAGES:
        return stages.get(stage)
    month, _, day = stage.partition("-")
    if not (month.isdigit() and day.isdigit()):
        raise ValueError(f"“{stage}” is no stage ({', '.join(STAGES)}) and no month-day such as 02-15")
    return float((date(2001, int(month), int(day)) - date(2001, 1, 1)).days + 1)


def years_after_planting(year: str, nursery_seasons: int) -> int:
    """Years from the planting year to that of work done once; "graft" is the spring the grafts are made.

    Raises
    ------
    ValueError
        When it is neither "planting" nor "graft" with a number of years.
    """
    found = _YEAR.fullmatch(year)
    if found is None:
        raise ValueError(f"“{year}” is no year such as planting, planting-1 or graft+1")
    return int(found[2] or 0) - (nursery_seasons - 1 if found[1] == "graft" else 0)


def row_faults(rows: Iterable[WorkRow], jobs: Iterable[str], labour: Iterable[str]) -> list[tuple[str, str]]:
    """What is wrong with rows of work, by item; `jobs` are those of the nursery, `labour` the rows of labour.csv."""
    rows = list(rows)
    known = {row.item for row in rows} | set(jobs)
    hours = set(labour)
    faults = []
    for row in rows:
        try:
            day_of(row.stage, {})
            day_of(row.until or row.stage, {})
            if row.year:
                years_after_planting(row.year, 1)
        except ValueError as wrong:
            faults.append((row.item, str(wrong)))
        faults += [
            (row.item, f"needs “{name}”, which is no item of work_calendar.csv")
            for name, _ in row.waits
            if name not in known
        ]
        faults += [
            (row.item, f"“{name}” is no condition ({', '.join(CONDITIONS)})")
            for name in row.conditions
            if name not in CONDITIONS
        ]
        if row.late and row.late != SEASON and row.late not in known:
            faults.append(
                (row.item, f"late “{row.late}” is neither {SEASON} nor an item of work_calendar.csv")
            )
        if row.labour and row.labour not in hours:
            faults.append((row.item, f"labour “{row.labour}” is no row of labour.csv"))
        if row.end < row.begin and not row.until:
            faults.append((row.item, f"ends ({row.end}) before it begins ({row.begin})"))
    return faults
