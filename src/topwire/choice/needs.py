"""What the kitchen wants, week by week: the plan's needs as tables of whole fruit."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.supply import CandidateCultivar
from topwire.values.calendar import WEEKS
from topwire.values.terms import CiderClass, Use

Array = npt.NDArray[np.float64]


# Acid and tannin [g/L] of a class where the cultivar's own are not known: half as far from the class borders of 4.5 and
# 2.0 g/L (LONGASHTON) as fruit of the class is found; design figures, no source.
CLASS_JUICE = {
    CiderClass.SWEET: (2.5, 1.0),
    CiderClass.SHARP: (7.0, 1.0),
    CiderClass.BITTERSWEET: (2.5, 3.0),
    CiderClass.BITTERSHARP: (7.0, 3.0),
}
TABLE_TANNIN = (
    0.5  # [g/L] of table fruit, whose tannin no one states: well under the border of 2; design figure
)


@dataclass(frozen=True)
class Blend:
    """Bounds on the mixed juice. [g/L]"""

    acid_low: float | None
    acid_high: float | None
    tannin_low: float | None
    tannin_high: float | None
    usual: bool = False  # those of the catalogue

    def sides(
        self, cultivars: Sequence[CandidateCultivar]
    ) -> tuple[tuple[Array, float | None, float | None], ...]:
        """Acid and tannin of each cultivar, with the least and the most of the mixture."""
        acid, tannin = np.array([juice_of(row) or (np.nan, np.nan) for row in cultivars]).T
        return (
            (acid, self.acid_low, self.acid_high),
            (tannin, self.tannin_low, self.tannin_high),
        )


def juice_of(cultivar: CandidateCultivar) -> tuple[float, float] | None:
    """Acid and tannin [g/L]; by cider class where the own are not known; None where neither is."""
    acid, tannin = cultivar.acid, cultivar.tannin
    if cultivar.cider_class is not None:
        usual = CLASS_JUICE[cultivar.cider_class]
        return usual[0] if acid is None else acid, usual[1] if tannin is None else tannin
    if acid is None:
        return None
    return acid, TABLE_TANNIN if tannin is None else tannin


@dataclass(frozen=True)
class WeeklyNeed:
    """One line of the plan's needs.

    Attributes
    ----------
    weeks : week numbers 1 to 52 it is wanted in, in order of time; closed weeks left out
    weekly : [kg] wanted in each of them, or None for an amount over the whole season
    total : [kg] over the season
    start, end : [day of the year] as the plan says it; used_from, used_to : those of a period of use
    weekly_capacity : [kg] the kitchen can turn into it in a week
    picked_by_guests : only fruit of the week's own pick counts
    used : weeks in which a product is eaten, where the plan says so; what is used was made before
    shelf_weeks : weeks a product keeps after it is made
    """

    use: Use
    weight: float
    weeks: tuple[int, ...]
    weekly: float | None
    total: float
    start: float
    end: float
    used_from: float | None = None
    used_to: float | None = None
    cider_class: CiderClass | None = None
    blend: Blend | None = None
    used: tuple[int, ...] = ()
    shelf_weeks: float = WEEKS
    weekly_capacity: float | None = None
    picked_by_guests: bool = False

    @property
    def eaten_fresh(self) -> bool:
        return self.use is Use.FRESH

    @property
    def pressed(self) -> bool:
        return self.use in (Use.JUICE, Use.CIDER)

    def limited(self, press_week: float | None) -> bool:
        """Whether it matters in which week a product is made: its pan, the press or its shelf life say so."""
        return (
            self.weekly_capacity is not None or bool(self.used) or (self.pressed and press_week is not None)
        )

    def off_the_shelf(self, made: Sequence[int] | None = None) -> tuple[int, ...]:
        """Weeks of use in which nothing made, in all its weeks or in those given, is both ready and still good."""
        begin = self.weeks[0]
        ready = [(week - begin) % WEEKS for week in (self.weeks if made is None else made)]
        return tuple(
            week
            for week in self.used
            if not any(0 <= (week - begin) % WEEKS - at <= self.shelf_weeks for at in ready)
        )

    def by_week(self) -> Array:
        """(52,) [kg] wanted; a season's amount in equal parts over the weeks it is eaten, or else made."""
        table = np.zeros(WEEKS)
        weeks = self.used or self.weeks
        table[[week - 1 for week in weeks]] = self.total / max(len(weeks), 1)
        return table

    def served_by(self, cultivar: CandidateCultivar) -> bool:
        """Whether a cultivar is fit for it."""
        if self.use not in cultivar.uses:
            return False
        if self.blend is not None and juice_of(cultivar) is None:
            return False
        return self.cider_class is None or cultivar.cider_class is self.cider_class


def span(first: int, last: int) -> tuple[int, ...]:
    """Weeks from `first` to `last`, over New Year where it has to be."""
    return tuple((first - 1 + step) % WEEKS + 1 for step in range((last - first) % WEEKS + 1))
