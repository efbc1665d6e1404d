"""What the kitchen wants, week by week: the plan's needs as tables of whole fruit."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from topwire.choice.plate import Blend, PlateTest
from topwire.choice.supply import CandidateCultivar, Keeping
from topwire.values.calendar import WEEKS
from topwire.values.terms import CiderClass, CiderStyle, Use

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Covers:
    """A weekly need in guests: a portion of the dish takes so much fruit [kg]; guests where the plan says them."""

    dish: str
    portion: float
    guests: float | None = None
    share: float | None = None


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
    blend : what is mixed for it, with the bounds of the mixture; None where nothing is mixed
    plate : what each cultivar has to be like
    covers : the same in guests and portions, where it is a weekly need of a dish
    style, volume : of cider stated as what is made of it: how, and how much is left after the lees [m3]
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
    plate: PlateTest = field(default_factory=PlateTest)
    covers: Covers | None = None
    style: CiderStyle | None = None
    volume: float | None = None

    @property
    def keeping(self) -> Keeping:
        """Where its fruit waits."""
        if self.use is Use.CIDER:
            return Keeping.BINS
        return Keeping.TABLE if self.eaten_fresh else Keeping.KITCHEN

    @property
    def eaten_fresh(self) -> bool:
        return self.use is Use.FRESH

    @property
    def pressed(self) -> bool:
        return self.use in (Use.JUICE, Use.CIDER)

    def limited(self, press_week: float | None) -> bool:
        """Whether it matters in which week a product is made: its pan, the press or its shelf life say so."""
        return (
            self.weekly_capacity is not None
            or bool(self.used)
            or self.style is not None
            or (self.pressed and press_week is not None)
        )

    @property
    def keeps_throughout(self) -> bool:
        """Whether all that is made keeps until the last week of use."""
        return all((week - self.weeks[0]) % WEEKS <= self.shelf_weeks for week in self.used)

    def off_the_shelf(self, made: Sequence[int] | None = None) -> tuple[int, ...]:
        """Weeks of use in which nothing made, in all its weeks or in those given, is both ready and still good."""
        begin = self.weeks[0]
        ready = [(week - begin) % WEEKS for week in (self.weeks if made is None else made)]
        return tuple(
            week
            for week in self.used
            if not any(0 <= (week - begin) % WEEKS - at <= self.shelf_weeks for at in ready)
        )

    def used_by_week(self, made: Array) -> Array:
        """(..., 52) [kg] used of a product with a period of use: as much as is wanted, until what is there is gone.

        Parameters
        ----------
        made : (..., 52) [kg] by the week it was made in; the oldest is used first
        """
        order = (np.arange(WEEKS) + self.weeks[0] - 1) % WEEKS
        wanted, ready = self.by_week()[order], np.cumsum(made[..., order], axis=-1)
        used, gone = np.zeros_like(ready), np.zeros(ready.shape[:-1])  # gone: used, or past its life
        life = int(self.shelf_weeks)
        for at in range(WEEKS):
            if at > life:
                gone = np.maximum(gone, ready[..., at - life - 1])
            used[..., at] = np.minimum(wanted[at], ready[..., at] - gone)
            gone = gone + used[..., at]
        by_week = np.empty_like(used)
        by_week[..., order] = used
        return by_week

    def by_week(self) -> Array:
        """(52,) [kg] wanted; a season's amount in equal parts over the weeks it is eaten, or else made."""
        table = np.zeros(WEEKS)
        weeks = self.used or self.weeks
        table[[week - 1 for week in weeks]] = self.total / max(len(weeks), 1)
        return table

    def served_by(self, cultivar: CandidateCultivar) -> bool:
        """Whether a cultivar is fit for it: by its uses, its class, its juice and its flesh."""
        if self.use not in cultivar.uses or not self.plate.passed(cultivar.juice, cultivar.pan):
            return False
        if self.blend is not None and self.blend.bitter_share <= 0 and cultivar.bitter:
            return False
        return self.cider_class is None or cultivar.cider_class is self.cider_class


def span(first: int, last: int) -> tuple[int, ...]:
    """Weeks from `first` to `last`, over New Year where it has to be."""
    return tuple((first - 1 + step) % WEEKS + 1 for step in range((last - first) % WEEKS + 1))
