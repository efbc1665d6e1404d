"""The work of the year, dated by the stages of the place: by tree age, and for any one year."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from topwire.growth.wording import in_units
from topwire.ledger.result import Event
from topwire.values.units import UnitSystem

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
_WORDS = {
    "green_tip": "green tip",
    "full_bloom": "full bloom",
    "petal_fall": "petal fall",
    "first_harvest": "the first harvest",
    "last_harvest": "the last harvest",
    "last_frost": "the last frost",
    "first_frost": "the first autumn frost",
}


@dataclass(frozen=True)
class WorkRow:
    """One row of work_calendar.csv."""

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


@dataclass(frozen=True)
class Harvest:
    """A cultivar's harvest in the middle year. [day of year]"""

    cultivar: str
    first: float
    last: float
    keeps: bool  # goes into the cellar for weeks


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


def year_of_work(
    rows: Iterable[WorkRow],
    stages: Mapping[str, float],
    *,
    planting: int,
    leaf: int,
    units: UnitSystem = UnitSystem.METRIC,
) -> tuple[Event, ...]:
    """Everything to be done in the year in which the trees are in that leaf, in order of date.

    Parameters
    ----------
    rows : iterable of WorkRow
    stages : mapping
        Day of year of each stage in the middle year.
    planting : int
        Year of the planting autumn.
    leaf : int
        0 is the planting year.
    units : UnitSystem
        Of the measures in the sentences.
    """
    return _sorted(
        (_event(row, stages, planting + leaf) for row in rows if row.first_leaf <= leaf <= row.last_leaf),
        units,
    )


def work_by_age(
    rows: Iterable[WorkRow],
    maturity: Iterable[MaturityRow],
    harvests: Iterable[Harvest],
    stages: Mapping[str, float],
    *,
    planting: int,
    first_crop: int,
    units: UnitSystem = UnitSystem.METRIC,
) -> tuple[Event, ...]:
    """Every work once, dated in the first year it falls due, with a test and a pick for each cultivar.

    Parameters
    ----------
    rows, maturity, harvests : iterables
    stages : mapping
        Day of year of each stage in the middle year.
    planting : int
        Year of the planting autumn.
    first_crop : int
        Leaf of the first crop worth picking; the cultivars' events are dated in that year.
    units : UnitSystem
        Of the measures in the sentences.
    """
    events = [_event(row, stages, planting + row.first_leaf) for row in rows]
    known = {row.cultivar: row for row in maturity}
    for harvest in harvests:
        events += _harvest_events(harvest, known, planting + first_crop, first_crop)
    return _sorted(events, units)


def _event(row: WorkRow, stages: Mapping[str, float], year: int) -> Event | None:
    day = day_of(row.stage, stages)
    if day is None:
        return None
    basis = f"{_offset(row.begin)}{_WORDS[row.stage]}" if row.stage in STAGES else "by the calendar"
    return Event(
        start=_iso(year, day + row.begin),
        end=_iso(year, day + row.end),
        what=row.what,
        how=row.how,
        leaf=_leaves(row.first_leaf, row.last_leaf),
        basis=basis,
        caution=row.caution or "",
    )


def _harvest_events(
    harvest: Harvest, known: Mapping[str, MaturityRow], year: int, leaf: int
) -> list[Event | None]:
    row = known.get(harvest.cultivar)
    said = row or known.get("any for keeping" if harvest.keeps else "any for the table")
    how = "two or three picks by colour"
    if said is not None:
        how += f"; starch {said.starch_mature:g} to {said.starch_over:g} on the 1-8 scale"
        if row is None:
            how += " (a start for cultivars nobody has listed)"
        elif said.firmness_short_lb is not None and said.firmness_long_lb is not None:
            how += f", firmness {said.firmness_short_lb:g} lb for a short, {said.firmness_long_lb:g} lb for a long keep"
    age = f"{leaf} and older"
    return [
        Event(
            _iso(year, harvest.first),
            _iso(year, harvest.last),
            f"pick {harvest.cultivar}",
            how,
            age,
            "days after bloom and warmth, middle year",
            "Windfalls apart: never into raw juice.",
        )
    ]


def _offset(days: int) -> str:
    if days == 0:
        return "at "
    return f"{abs(days)} days {'before' if days < 0 else 'after'} "


def _leaves(first: int, last: int) -> str:
    if last >= _OPEN_END:
        return "all" if first == 0 else f"{first} and older"
    return str(first) if first == last else f"{first}-{last}"


def _iso(year: int, day_of_year: float) -> str:
    """Date of a day of the common year, so that 1 June stays 1 June in a leap year."""
    day = date(2001, 1, 1) + timedelta(days=round(day_of_year) - 1)
    return day.replace(year=year + day.year - 2001).isoformat()


def _sorted(events: Iterable[Event | None], units: UnitSystem) -> tuple[Event, ...]:
    told = [
        replace(event, what=in_units(event.what, units), how=in_units(event.how, units))
        for event in events
        if event is not None
    ]
    return tuple(sorted(told, key=lambda event: (event.start, event.what, event.leaf)))
