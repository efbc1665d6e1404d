"""Work and money: the result of the Ledger department, and the year's calendar."""

from dataclasses import dataclass, field

import numpy as np

from topwire.notices import Notice
from topwire.values.arrays import Floats, Integers
from topwire.values.notice import Notice as Telling


@dataclass(frozen=True)
class Task:
    name: str
    hours: Floats  # (years of the horizon, 52) [h]


@dataclass(frozen=True)
class Event:
    """One entry of the work calendar of a year, by tree age."""

    start: str  # ISO date in the planting year's calendar
    end: str
    what: str
    how: str
    leaf: str  # tree age it concerns: “all”, “1”, “2-4”
    basis: str  # the stage or date it hangs on
    caution: str


@dataclass(frozen=True)
class Sensitivity:
    assumption: str
    low: float  # NPV with the low value
    high: float  # NPV with the high value


@dataclass(frozen=True)
class Ledger:
    currency: str
    tasks: tuple[Task, ...]
    hands_hours_per_week: float  # [h] there are
    short_weeks: tuple[tuple[int, int, float], ...]  # (year index, week, hours beyond the hands)
    establishment: dict[str, float]  # trees, trellis, water, planting labour ...
    yearly_cost: Floats  # (years,)
    value: Floats  # (years, 3) low, middle, high
    cash_flow: Floats  # (years, 3)
    npv: tuple[float, float, float]  # 10th, 50th, 90th percentile over drawn orchard lives
    payback_year: int | None  # years after the planting year
    internal_rate: float | None
    sensitivity: tuple[Sensitivity, ...]
    calendar: tuple[Event, ...]
    notices: tuple[Notice | Telling, ...]
    years: Integers = field(
        default_factory=lambda: np.zeros(0, dtype=np.int64)
    )  # calendar years; first = planting
    payback_discounted: int | None = (
        None  # as payback_year (years after the planting year), at the plan's interest
    )
    value_by_use: dict[str, float] = field(default_factory=dict)  # worth of a full-grown middle year, by use
    cost_by_kind: dict[str, float] = field(default_factory=dict)  # cost of a full-grown middle year, by kind
    hours_per_hectare: float = 0.0  # [h/ha] of a full-grown middle year, pressing and preserving left out
    beside: tuple[tuple[str, float, float], ...] = ()  # (published figure, its value, ours)
