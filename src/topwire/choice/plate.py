"""What a cultivar may serve: its class, juice and flesh beside what a use bears, and what a mixture may come out as.

A bitter cider class has more than 2 g/L tannin by definition (Long Ashton: LARS); such fruit stays out of what is
drunk or eaten unfermented, unless the plan says how much of it may be in there.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from topwire.cellar.cider import PH_SPREAD, ph_of_acid
from topwire.values.terms import Blended, CiderClass, Pan, Tannin

Array = npt.NDArray[np.float64]

BITTER = 2.0  # [g/L] tannin of the bitter classes at the least (LARS)
# From year to year, of fruit that was measured: the middle of seven cultivars of three to eight years (WSU2013).
ACID_BY_YEAR, TANNIN_BY_YEAR = 0.16, 0.38  # shares
SUGAR_BY_YEAR = 1.3  # [deg Brix]
PH_BY_YEAR = 0.15  # of a measured cultivar: planning figure, no source
HARDNESS = {Tannin.SOFT: 0.0, Tannin.MIXED: 0.5, Tannin.HARD: 1.0}
AIM = 0.25  # of the room between two bounds that is left free at each end (proposal)
SUGAR_STEP = 0.5  # [deg Brix] above the least sugar (proposal)
BITTER_CLASSES = (CiderClass.BITTERSWEET, CiderClass.BITTERSHARP)


class JuiceSide(StrEnum):
    """What is bounded in a mixture."""

    ACID = "acid"  # [g/L] as malic
    TANNIN = "tannin"  # [g/L]
    SUGAR = "sugar"  # [deg Brix]
    BITTER = "bitter"  # share of fruit of the bitter classes
    PH = "ph"
    HARD = "hard"  # share of fruit whose tannin is hard: 1 hard, 0 soft
    TABLE = "table"  # share of fruit that is of no cider class


@dataclass(frozen=True)
class JuiceFigure:
    """One figure of a cultivar's juice, with its standard deviation; not measured = that of its class or kind."""

    value: float
    spread: float
    measured: bool


@dataclass(frozen=True)
class Juice:
    """Acid and tannin [g/L], sugar [deg Brix]; pH where it was measured, how the tannin tastes where that is known."""

    acid: JuiceFigure
    tannin: JuiceFigure
    sugar: JuiceFigure
    measured_ph: float | None = None
    kind_of_tannin: Tannin | None = None
    for_cider: bool = False  # it has a cider maker's class

    def of(self, side: JuiceSide) -> JuiceFigure:
        """One of its figures; pH that no one measured is read from the acid."""
        if side is JuiceSide.PH:
            if self.measured_ph is not None:
                return JuiceFigure(self.measured_ph, PH_BY_YEAR, measured=True)
            return JuiceFigure(float(ph_of_acid(self.acid.value)), PH_SPREAD, measured=False)
        return {JuiceSide.ACID: self.acid, JuiceSide.TANNIN: self.tannin, JuiceSide.SUGAR: self.sugar}[side]

    def hardness(self, *, bitter: bool) -> float:
        """0 soft to 1 hard, half where no one has said; fruit that is not bitter counts as soft."""
        return 0.0 if not bitter else HARDNESS[self.kind_of_tannin or Tannin.MIXED]

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
    group: str,
    usual: Mapping[str, ClassJuice],
    acid: float | None,
    tannin: float | None,
    brix: float | None,
    *,
    ph: float | None = None,
    kind: Tannin | None = None,
    for_cider: bool = False,
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
        ph,
        kind,
        for_cider,
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
    aimed: bool = False  # planned well inside its bounds, since juice strays from year to year

    @property
    def bitter_share(self) -> float:
        """Share of bitter fruit it bears at the most."""
        high = self.bounds.get(JuiceSide.BITTER, Bound()).high
        return 1.0 if high is None else high

    def edges(self, juices: Sequence[Juice], bitter: Sequence[bool]) -> Iterator[tuple[Array, Array]]:
        """Of each bound, by how much a kilogram of each cultivar is above its least, and below its most."""
        for side, wide in self.bounds.items():
            bound = _drawn_in(side, wide) if self.aimed else wide
            nothing = np.zeros(len(juices))
            yield (
                nothing if bound.low is None else beyond(side, juices, bitter, bound.low),
                nothing if bound.high is None else -beyond(side, juices, bitter, bound.high),
            )


def _drawn_in(side: JuiceSide, bound: Bound) -> Bound:
    """The middle half between two bounds; of sugar half a degree above its least."""
    if bound.low is not None and bound.high is not None:
        step = AIM * (bound.high - bound.low)
        return Bound(bound.low + step, bound.high - step)
    if side is JuiceSide.SUGAR and bound.low is not None:
        return Bound(bound.low + SUGAR_STEP)
    return bound


def beyond(side: JuiceSide, juices: Sequence[Juice], bitter: Sequence[bool], bound: float) -> Array:
    """How far a kilogram of each cultivar draws a mixture above a bound; a mixture at it has a sum of 0.

    Sides mix by mass. pH does not: of a weak acid and its salt both amounts mix, and pH is the logarithm of what there
    is of the one beside the other (Henderson-Hasselbalch, HASSELBALCH1917), so the acid of each stands before 10^pH.
    """
    if side is JuiceSide.PH:
        acid, ph = (np.array([juice.of(one).value for juice in juices]) for one in (JuiceSide.ACID, side))
        return np.asarray(acid * (10 ** (ph - bound) - 1))
    return side_values(side, juices, bitter) - bound


def side_values(side: JuiceSide, juices: Sequence[Juice], bitter: Sequence[bool]) -> Array:
    """Of each cultivar, what a kilogram of it brings to one side of a mixture; of pH its own."""
    if side is JuiceSide.BITTER:
        return np.array(bitter, dtype=float)
    if side is JuiceSide.TABLE:
        return np.array([not juice.for_cider for juice in juices], dtype=float)
    if side is JuiceSide.HARD:
        return np.array(
            [juice.hardness(bitter=hard) for juice, hard in zip(juices, bitter, strict=True)], dtype=float
        )
    return np.array([juice.of(side).value for juice in juices])


def mixed_value(side: JuiceSide, juices: Sequence[Juice], bitter: Sequence[bool], share: Array) -> Array:
    """One side of mixtures, shares of cultivars along the last axis; see :func:`beyond`."""
    values = side_values(side, juices, bitter)
    if side is not JuiceSide.PH:
        return np.asarray(share @ values)
    acid = side_values(JuiceSide.ACID, juices, bitter)
    salt = share @ (acid * 10**values)
    return np.asarray(np.log10(salt / np.maximum(share @ acid, 1e-12)))


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
