"""What the kitchen wants, week by week: the plan's needs as tables of whole fruit."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.choice.dishes import whole_fruit_per_week
from topwire.notices import Faults, fault
from topwire.plan.kitchen import BlendBounds, CiderClass, KitchenSection, Need, Press, Use
from topwire.values.calendar import WEEKS, week_of_day
from topwire.values.units import Kind, UnitSystem, shown

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
class ProductLife:
    """A row of product_life.csv: weeks a product keeps at its best."""

    use: str
    weeks: float
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class BlendBound:
    """A row of blend_bounds.csv: what is usual in a cider's mixed juice. [g/L]"""

    of: str
    low_g_l: float
    high_g_l: float
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class Blend:
    """Bounds on the mixed juice. [g/L]"""

    bounds: BlendBounds

    def sides(self, cultivars: Sequence[Cultivar]) -> tuple[tuple[Array, float | None, float | None], ...]:
        """Acid and tannin of each cultivar, with the least and the most of the mixture."""
        acid, tannin = np.array([juice_of(row) or (np.nan, np.nan) for row in cultivars]).T
        return (
            (acid, self.bounds.acid_low, self.bounds.acid_high),
            (tannin, self.bounds.tannin_low, self.bounds.tannin_high),
        )


def juice_of(cultivar: Cultivar) -> tuple[float, float] | None:
    """Acid and tannin [g/L]; by cider class where the own are not known; None where neither is."""
    acid, tannin = cultivar.acid_g_l, cultivar.tannin_g_l
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
    used : weeks in which a product is eaten, where the plan says so; what is used was made before
    shelf_weeks : weeks a product keeps after it is made
    """

    use: Use
    label: str
    weight: float
    weeks: tuple[int, ...]
    weekly: float | None
    total: float
    need: Need
    blend: Blend | None = None
    used: tuple[int, ...] = ()
    shelf_weeks: float = WEEKS

    @property
    def eaten_fresh(self) -> bool:
        return self.use is Use.FRESH

    @property
    def pressed(self) -> bool:
        return self.use in (Use.JUICE, Use.CIDER)

    def limited(self, press_week: float | None) -> bool:
        """Whether it matters in which week a product is made: its pan, the press or its shelf life say so."""
        return (
            self.need.weekly_capacity is not None
            or bool(self.used)
            or (self.pressed and press_week is not None)
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

    def served_by(self, cultivar: Cultivar) -> bool:
        """Whether a cultivar is fit for it."""
        if self.use not in cultivar.kitchen_uses:
            return False
        if self.blend is not None and juice_of(cultivar) is None:
            return False
        return self.need.cider_class is None or cultivar.cider_class is self.need.cider_class


def weekly_needs(kitchen: KitchenSection, catalogue: Catalogue, units: UnitSystem) -> tuple[WeeklyNeed, ...]:
    """Every need with its weeks and whole fruit. Closed weeks ask for nothing of the weekly needs."""
    found = []
    for need in kitchen.needs:
        assert need.start is not None
        assert need.end is not None
        weeks = span(int(week_of_day(need.start.day_of_year)), int(week_of_day(need.end.day_of_year)))
        if need.use in (Use.JUICE, Use.CIDER):
            weeks = _press_runs(kitchen.press, weeks)
        weekly = whole_fruit_per_week(need.dishes, catalogue) if need.dishes is not None else None
        if need.amount is not None and need.amount.weekly:
            weekly = need.amount.kilograms
        if weekly is not None:
            weeks = tuple(week for week in weeks if week not in kitchen.closed_weeks)
            total = weekly * len(weeks)
        else:
            assert need.amount is not None
            total = need.amount.kilograms
        used = _used(need, kitchen.closed_weeks)
        keeps = _keeps(need, catalogue) if used else float(WEEKS)
        found.append(
            WeeklyNeed(
                need.use,
                _label(need, weekly, total, units),
                need.weight,
                weeks,
                weekly,
                total,
                need,
                _blend(need, catalogue),
                used,
                keeps,
            )
        )
    return tuple(found)


def _used(need: Need, closed: Sequence[int]) -> tuple[int, ...]:
    """Weeks a product is eaten in, closed weeks left out; none where the plan states no period of use."""
    if need.used_from is None or need.used_to is None:
        return ()
    weeks = span(int(week_of_day(need.used_from.day_of_year)), int(week_of_day(need.used_to.day_of_year)))
    open_weeks = tuple(week for week in weeks if week not in closed)
    if not open_weeks:
        says = f"{need.use} is eaten from {need.used_from} to {need.used_to}, and the house is closed all that time."
        raise Faults(
            [fault("plan.yaml, kitchen.needs", says, "Move used_from or used_to, or open a week there.")]
        )
    return open_weeks


def _keeps(need: Need, catalogue: Catalogue) -> float:
    if need.keeps is not None:
        return need.keeps
    return {row.use: row.weeks for row in catalogue.rows("product_life", ProductLife)}[str(need.use)]


def _blend(need: Need, catalogue: Catalogue) -> Blend | None:
    if need.blend is None:
        return None
    if isinstance(need.blend, BlendBounds):
        return Blend(need.blend)
    usual = {row.of: row for row in catalogue.rows("blend_bounds", BlendBound)}
    acid, tannin = usual["acid"], usual["tannin"]
    return Blend(
        BlendBounds(
            acid_low=acid.low_g_l,
            acid_high=acid.high_g_l,
            tannin_low=tannin.low_g_l,
            tannin_high=tannin.high_g_l,
        )
    )


def _press_runs(press: Press, weeks: tuple[int, ...]) -> tuple[int, ...]:
    """Of these weeks, those in which the press runs; all of them where the two do not meet."""
    if press.start is None or press.end is None:
        return weeks
    runs = span(int(week_of_day(press.start.day_of_year)), int(week_of_day(press.end.day_of_year)))
    return tuple(week for week in weeks if week in runs) or weeks


def span(first: int, last: int) -> tuple[int, ...]:
    """Weeks from `first` to `last`, over New Year where it has to be."""
    return tuple((first - 1 + step) % WEEKS + 1 for step in range((last - first) % WEEKS + 1))


def _label(need: Need, weekly: float | None, total: float, units: UnitSystem) -> str:
    name = f"{need.use} ({need.cider_class})" if need.cider_class is not None else str(need.use)
    if need.cider_class is None and need.blend is not None:
        name = f"{need.use} (blend)"
    amount = shown(weekly if weekly is not None else total, Kind.MASS, units)
    if need.used_from is not None:
        taken = "drunk" if need.use in (Use.JUICE, Use.CIDER) else "eaten"
        return f"{name}, {amount} a season, {taken} {need.used_from} to {need.used_to}"
    return f"{name}, {amount} a {'week' if weekly is not None else 'season'}, {need.start} to {need.end}"
