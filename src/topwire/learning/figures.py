"""What the records teach beside dates: how long fruit keeps, hours a task takes, what the trees bear."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated

from topwire.values.quantities import Plain, Ratio


class Taught(StrEnum):
    """Figures that records sharpen."""

    KEEPING = "keeping"  # weeks, by cultivar
    HOURS = "hours"  # rate of a task
    YIELD = "yield"  # of the whole orchard
    GROWTH = "growth"  # width of a cultivar's trunks beside the forecast; stands beside the plan
    WATER = "water"  # hours run beside the plan's rule in that weather; stands beside the plan
    FLOW = "flow"  # of a block by the meter, beside its emitters; stands beside the plan
    CROP = "crop"  # of a cultivar beside the orchard; stands beside the plan


@dataclass(frozen=True)
class FigureScore:
    """By how much the stated figure, and one that knew only the years before, missed what a year showed."""

    year: int
    stated: Ratio
    learnt: Ratio


@dataclass(frozen=True)
class FigureLearnt:
    """One figure of the catalogue beside what the records say.

    Attributes
    ----------
    name : cultivar, task, or the row of the table
    unit : as in the table: weeks, min/tree, kg/h, t/ha, kg/tree
    stated : in the catalogue, or forecast by the plan
    now : with what was seen, low (10th percentile), middle, high
    seen : lots, jobs or picks it rests on
    years : of them
    missed_stated, missed_learnt : typical miss of a year not yet seen, as a share; None before the second year
    scores : of every year but the first
    changes : the plan has such a figure and can follow it
    """

    what: Taught
    name: str
    unit: str
    stated: float
    now: float
    low: float
    high: float
    seen: Annotated[int, Plain.COUNT]
    years: Annotated[int, Plain.COUNT]
    missed_stated: Ratio | None
    missed_learnt: Ratio | None
    changes: bool
    scores: tuple[FigureScore, ...] = ()


@dataclass(frozen=True)
class NoteLeftOut:
    """A note so far from what is stated that it is taken for a slip of the pen, and teaches nothing.

    Attributes
    ----------
    name : cultivar or task it would have said something of
    day : of the note: the last look at a lot, the job, the heaviest pick of a crop
    note : the lot, the cultivar picked, the row, the crop; empty where the day's hours name nothing
    said, stated : in `unit`
    """

    what: Taught
    name: str
    day: date
    note: str
    unit: str
    said: float
    stated: float
