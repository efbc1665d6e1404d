"""What a cultivar may serve: its class, juice and flesh beside what a use bears, and what a mixture may come out as.

A bitter cider class has more than 2 g/L tannin by definition (Long Ashton: LARS); such fruit stays out of what is
drunk or eaten unfermented, unless the plan says how much of it may be in there.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from topwire.values.terms import Blended, CiderClass, Pan

Array = npt.NDArray[np.float64]

BITTER = 2.0  # [g/L] tannin of the bitter classes at the least (LARS)
# From year to year, of fruit that was measured: the middle of seven cultivars of three to eight years (WSU2013).
ACID_BY_YEAR, TANNIN_BY_YEAR = 0.16, 0.38  # shares
SUGAR_BY_YEAR = 1.3  # [deg Brix]
BITTER_CLASSES = (CiderClass.BITTERSWEET, CiderClass.BITTERSHARP)


class JuiceSide(StrEnum):
    """What is bounded in a mixture."""

    ACID = "acid"  # [g/L] as malic
    TANNIN = "tannin"  # [g/L]
    SUGAR = "sugar"  # [deg Brix]
    BITTER = "bitter"  # share of fruit of the bitter classes


@dataclass(frozen=True)
class JuiceFigure:
    """One figure of a cultivar's juice, with its standard deviation; not measured = that of its class or kind."""

    value: float
    spread: float
    measured: bool


@dataclass(frozen=True)
class Juice:
    """Acid and tannin [g/L], sugar [deg Brix]."""

    acid: JuiceFigure
    tannin: JuiceFigure
    sugar: JuiceFigure

    def of(self, side: JuiceSide) -> JuiceFigure:
        """One of the three."""
        return {JuiceSide.ACID: self.acid, JuiceSide.TANNIN: self.tannin, JuiceSide.SUGAR: self.sugar}[side]

    @property
    def guessed(self) -> bool:
        """Acid or tannin are those of its class or kind."""
        return not (self.acid.measured and self.tannin.measured)


@dataclass(frozen=True)
class ClassJuice:
    """A row of juice_classes.csv."""

    of: str
    acid_g_l: float
    acid_spread_g_l: float
    tannin_g_l: float
    tannin_spread_g_l: float
    brix: float
    brix_spread: float


def juice_of(
    group: str, usual: Mapping[str, ClassJuice], acid: float | None, tannin: float | None, brix: float | None
) -> Juice:
    """A cultivar's juice; what is not known is that of its group, with the group's spread."""
    of = usual[group]
    return Juice(
        JuiceFigure(of.acid_g_l, of.acid_spread_g_l, measured=False)
        if acid is None
        else JuiceFigure(acid, ACID_BY_YEAR * acid, measured=True),
        JuiceFigure(of.tannin_g_l, of.tannin_spread_g_l, measured=False)
        if tannin is None
        else JuiceFigure(tannin, TANNIN_BY_YEAR * tannin, measured=True),
        JuiceFigure(of.brix, of.brix_spread, measured=False)
        if brix is None
        else JuiceFigure(brix, SUGAR_BY_YEAR, measured=True),
    )


def is_bitter(cider_class: CiderClass | None, juice: Juice) -> bool:
    """Whether its juice is bitter: by its class, or by the tannin that was measured."""
    return cider_class in BITTER_CLASSES or (juice.tannin.measured and juice.tannin.value > BITTER)


@dataclass(frozen=True)
class Bound:
    """Least and most a side of a mixture may be."""

    low: float | None = None
    high: float | None = None
    own: bool = False  # the plan says so; otherwise the catalogue
    source: str = ""


@dataclass(frozen=True)
class Blend:
    """What is mixed, and the bounds of the mixture over its season."""

    product: Blended
    bounds: Mapping[JuiceSide, Bound] = field(default_factory=dict)

    @property
    def bitter_share(self) -> float:
        """Share of bitter fruit it bears at the most."""
        high = self.bounds.get(JuiceSide.BITTER, Bound()).high
        return 1.0 if high is None else high

    def sides(
        self, juices: Sequence[Juice], bitter: Iterable[bool]
    ) -> Iterator[tuple[JuiceSide, Array, Bound]]:
        """Each bounded side with the figures of the cultivars."""
        for side, bound in self.bounds.items():
            yield side, side_values(side, juices, bitter), bound


def side_values(side: JuiceSide, juices: Sequence[Juice], bitter: Iterable[bool]) -> Array:
    """Of each cultivar, what a kilogram of it brings to one side of a mixture."""
    if side is JuiceSide.BITTER:
        return np.array(list(bitter), dtype=float)
    return np.array([juice.of(side).value for juice in juices])


@dataclass(frozen=True)
class PlateTest:
    """What a single cultivar has to be like for a use. [g/L]; `pan` empty = whatever it does when cooked."""

    acid_low: float | None = None
    acid_high: float | None = None
    tannin_high: float | None = None
    pan: tuple[Pan, ...] = ()

    def passed(self, juice: Juice, pan: Pan | None) -> bool:
        """Unknown behaviour in the pan passes, and is told; unknown juice is judged by its class or kind."""
        acid, tannin = juice.acid.value, juice.tannin.value
        return (
            (self.acid_low is None or acid >= self.acid_low)
            and (self.acid_high is None or acid <= self.acid_high)
            and (self.tannin_high is None or tannin <= self.tannin_high)
            and (not self.pan or pan is None or pan in self.pan)
        )
