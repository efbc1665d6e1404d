"""What was learnt of a kitchen's weather years, as it is kept for the next question about them."""

from dataclasses import dataclass, replace

from topwire.choice.amounts import KitchenAmounts
from topwire.choice.master import Cuts, Point
from topwire.choice.model import Index
from topwire.choice.planting import Array
from topwire.choice.sizes import SHARES
from topwire.choice.solver import Basis

NEARLY = 0.1  # of a year's cost, by which a cut may say less than another and still be kept


@dataclass(frozen=True)
class OfHalves:
    """What the proof learnt beside the search: cuts, and the trees of our plan of each half and of the one for its mean
    year, (halves, cultivars) each."""

    cuts: Cuts
    plantings: Array
    mean_year: Array

    def for_amounts(self, learnt: KitchenAmounts, now: KitchenAmounts) -> "OfHalves":
        """The same for other amounts."""
        return replace(self, cuts=self.cuts.for_amounts(learnt, now))


@dataclass(frozen=True)
class Settled:
    """What a search knows once it has the best in fractions; the proof begins with it, while whole decisions follow.

    Attributes
    ----------
    cuts : known by then
    point : a planting like the plan will be
    bases : of the years, near it
    """

    cuts: Cuts
    point: Point
    bases: tuple[Basis, ...] = ()


@dataclass(frozen=True)
class Learnt:
    """Cuts of the years, for the amounts of a kitchen.

    Attributes
    ----------
    cuts : of the search, and of the sizes behind it
    planting : (2, cultivars) trees of the plan they led to, and of the one in fractions
    halves : what the proof learnt beside them
    bases : of the years, near the plan
    """

    amounts: KitchenAmounts
    cuts: Cuts
    planting: Array
    halves: OfHalves | None = None
    bases: tuple[Basis, ...] = ()

    @property
    def points(self) -> tuple[Point, ...]:
        return tuple((trees, (trees > 0).astype(float)) for trees in self.planting)

    def for_amounts(self, now: KitchenAmounts) -> "Learnt":
        """The same for other amounts."""
        halves = None if self.halves is None else self.halves.for_amounts(self.amounts, now)
        return Learnt(now, self.cuts.for_amounts(self.amounts, now), self.planting, halves, self.bases)


def lasting(cuts: Cuts, trees: Index, relaxed: Array) -> Index:
    """Those cuts of a search that will tell of the years in another one: the most that is known at its planting, whole
    and in fractions, and at smaller ones alike.

    Parameters
    ----------
    trees, relaxed : (cultivars,)
    """
    own = trees.astype(float)
    points: list[Point] = [(part, (part > 0).astype(float)) for part in (own, relaxed)]
    points += [(share * own, points[0][1]) for share in SHARES if share < 1.0]
    return cuts.telling(points, NEARLY)
