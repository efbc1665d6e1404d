"""What the kitchen wants, week by week: the plan's needs as tables of whole fruit."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.choice.dishes import whole_fruit_per_week
from topwire.plan.kitchen import KitchenSection, Need, Use
from topwire.units import Kind, UnitSystem, shown
from topwire.weeks import WEEKS, week_of_day

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class WeeklyNeed:
    """One line of the plan's needs.

    Attributes
    ----------
    weeks : week numbers 1 to 52 it is wanted in, in order of time; closed weeks left out
    weekly : [kg] wanted in each of them, or None for an amount over the whole season
    total : [kg] over the season
    """

    use: Use
    label: str
    weight: float
    weeks: tuple[int, ...]
    weekly: float | None
    total: float
    need: Need

    @property
    def eaten_fresh(self) -> bool:
        return self.use is Use.FRESH

    @property
    def pressed(self) -> bool:
        return self.use in (Use.JUICE, Use.CIDER)

    def by_week(self) -> Array:
        """(52,) [kg] wanted; a season's amount in equal parts over its weeks."""
        table = np.zeros(WEEKS)
        table[[week - 1 for week in self.weeks]] = self.total / max(len(self.weeks), 1)
        return table

    def served_by(self, cultivar: Cultivar) -> bool:
        """Whether a cultivar is fit for it."""
        if self.use not in cultivar.kitchen_uses:
            return False
        return self.need.cider_class is None or cultivar.cider_class is self.need.cider_class


def weekly_needs(kitchen: KitchenSection, catalogue: Catalogue, units: UnitSystem) -> tuple[WeeklyNeed, ...]:
    """Every need with its weeks and whole fruit. Closed weeks ask for nothing of the weekly needs."""
    found = []
    for need in kitchen.needs:
        assert need.start is not None
        assert need.end is not None
        weeks = span(int(week_of_day(need.start.day_of_year)), int(week_of_day(need.end.day_of_year)))
        weekly = whole_fruit_per_week(need.dishes, catalogue) if need.dishes is not None else None
        if need.amount is not None and need.amount.weekly:
            weekly = need.amount.kilograms
        if weekly is not None:
            weeks = tuple(week for week in weeks if week not in kitchen.closed_weeks)
            total = weekly * len(weeks)
        else:
            assert need.amount is not None
            total = need.amount.kilograms
        found.append(
            WeeklyNeed(need.use, _label(need, weekly, total, units), need.weight, weeks, weekly, total, need)
        )
    return tuple(found)


def span(first: int, last: int) -> tuple[int, ...]:
    """Weeks from `first` to `last`, over New Year where it has to be."""
    return tuple((first - 1 + step) % WEEKS + 1 for step in range((last - first) % WEEKS + 1))


def _label(need: Need, weekly: float | None, total: float, units: UnitSystem) -> str:
    name = f"{need.use} ({need.cider_class})" if need.cider_class is not None else str(need.use)
    amount = shown(weekly if weekly is not None else total, Kind.MASS, units)
    return f"{name}, {amount} a {'week' if weekly is not None else 'season'}, {need.start} to {need.end}"
