"""The work of the year, dated by the stages of the place."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Protocol

from topwire.ledger.findings import Event, Maturity, WorkText

STAGES = (
    "green_tip",
    "full_bloom",
    "petal_fall",
    "first_harvest",
    "last_harvest",
    "last_frost",
    "first_frost",
)
_OPEN_END = 40  # last leaf of work that never ends
_POUND = 0.45359237  # [kg]


@dataclass(frozen=True)
class WorkRow:
    """One row of work_calendar.csv; measures in its texts are written [metric|US]."""

    item: str
    stage: str  # one of STAGES, or month-day
    begin: int  # [d] from the stage
    end: int
    first_leaf: int
    last_leaf: int
    what: str
    how: str
    caution: str | None
    source: str | None
    mark: str


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


class Harvested(Protocol):
    """A cultivar with its harvest in the middle year. [day of year]"""

    @property
    def name(self) -> str: ...
    @property
    def first(self) -> float | None: ...
    @property
    def last(self) -> float | None: ...
    @property
    def keeps(self) -> bool: ...


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


def work_texts(rows: Iterable[WorkRow]) -> tuple[WorkText, ...]:
    return tuple(WorkText(row.item, row.what, row.how, row.caution or "") for row in rows)


def work_by_age(
    rows: Iterable[WorkRow],
    maturity: Iterable[MaturityRow],
    cultivars: Iterable[Harvested],
    stages: Mapping[str, float],
    *,
    planting: int,
    first_crop: int,
) -> tuple[Event, ...]:
    """Every work once, dated in the first year it falls due, with a pick for each cultivar, in order of date.

    Parameters
    ----------
    rows, maturity, cultivars : iterables
    stages : mapping
        Day of year of each stage in the middle year.
    planting : int
        Year of the planting autumn.
    first_crop : int
        Leaf of the first crop worth picking; the cultivars' picks are dated in that year.
    """
    events = [event for row in rows if (event := _event(row, stages, planting + row.first_leaf)) is not None]
    known = {row.cultivar: row for row in maturity}
    events += [
        Event(
            start=iso(planting + first_crop, cultivar.first),
            end=iso(planting + first_crop, cultivar.last),
            work="",
            cultivar=cultivar.name,
            first_leaf=first_crop,
            last_leaf=None,
            stage="",
            days_after=0,
            maturity=_maturity(cultivar, known),
        )
        for cultivar in cultivars
        if cultivar.first is not None and cultivar.last is not None
    ]
    return tuple(sorted(events, key=lambda event: (event.start, event.work, event.cultivar)))


def _event(row: WorkRow, stages: Mapping[str, float], year: int) -> Event | None:
    day = day_of(row.stage, stages)
    if day is None:
        return None
    return Event(
        start=iso(year, day + row.begin),
        end=iso(year, day + row.end),
        work=row.item,
        cultivar="",
        first_leaf=row.first_leaf,
        last_leaf=None if row.last_leaf >= _OPEN_END else row.last_leaf,
        stage=row.stage if row.stage in STAGES else "",
        days_after=row.begin,
    )


def _maturity(cultivar: Harvested, known: Mapping[str, MaturityRow]) -> Maturity | None:
    row = known.get(cultivar.name)
    said = row or known.get("any for keeping" if cultivar.keeps else "any for the table")
    if said is None:
        return None
    short, long = (
        None if row is None or pounds is None else pounds * _POUND
        for pounds in (said.firmness_short_lb, said.firmness_long_lb)
    )
    return Maturity(said.starch_mature, said.starch_over, short, long, row is not None)


def iso(year: int, day_of_year: float) -> str:
    """Date of a day of the common year, so that 1 June stays 1 June in a leap year."""
    day = date(2001, 1, 1) + timedelta(days=round(day_of_year) - 1)
    return day.replace(year=year + day.year - 2001).isoformat()
