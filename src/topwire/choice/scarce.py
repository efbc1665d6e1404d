"""What is scarce, as it is found: what limits each need, and what more of it would bring."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

import numpy as np

from topwire.values.arrays import Floats
from topwire.values.quantities import Count, Kilograms, KilogramsArray, Plain, Share, ShareArray
from topwire.values.units import Kind

# Kilograms times the weight of the need they are missing for; told in the reader's unit of mass.
WeightedKilograms = Annotated[float, Kind.MASS]


class Pinch(StrEnum):
    """What limits a need."""

    ROOM = "room"  # its fruit goes elsewhere, and the ground is full
    TOTAL = "total"  # the same, and so many trees are to be planted
    MOST = "most"  # the same, and a cultivar that serves it has as many trees as are allowed of one
    WORTH = "worth"  # the same, and another tree would bring less than it costs
    CELLAR = "cellar"  # is full
    PRESS = "press"  # takes no more in a week
    PAN = "pan"  # the kitchen makes no more of it in a week
    BLEND = "blend"  # its bounds
    SHELF = "shelf"  # the product does not keep so long
    COLD = "cold"  # the fruit does not keep so long in this cellar, and would in a cold one
    OTHERS = "others"  # only cultivars that were not chosen have fruit then
    SEASON = "season"  # no cultivar has


@dataclass(frozen=True)
class Pinched:
    """What limits a need that goes short, from the programme's own prices.

    Attributes
    ----------
    need : its number among the needs
    missing : a year, mean; short_years : weather years in which it goes short
    by : what limits it, with the share of what is missing, largest first
    other : a candidate that has fruit where the planted have none, "" where there is none
    """

    need: int
    missing: Kilograms
    short_years: int
    by: tuple[tuple[Pinch, Share], ...]
    other: str = ""


class More(StrEnum):
    """Of what there could be more."""

    TREES = "trees"
    CELLAR = "cellar"
    CELLAR_FLOOR = "cellar_floor"
    PRESS = "press"
    MOST = "most"  # trees allowed of one cultivar
    HANDS = "hands"


@dataclass(frozen=True)
class Worth:
    """What a little more of something would bring, the chosen cultivars kept and their numbers found anew."""

    more: More
    by: float  # trees, m2 of floor, or a share of what there is, as `more` has it
    gain: WeightedKilograms  # a year


@dataclass(frozen=True)
class SizeStep:
    """So many trees of the chosen cultivars, in their best numbers, and the share of the kilograms wanted, all needs
    alike, that they serve in the mean year and in the worst fifth of years."""

    trees: Count
    served: Share
    worst_fifth: Share


@dataclass(frozen=True)
class PickingWeeks:
    """Fruit picked in each week of a year of full crop.

    Attributes
    ----------
    mean, high : (52,) mean of the weather years, and in the year in ten with most in that week
    most : allowed in the mean, as the plan says it; of apples of 180 g where hands are the limit
    flatter : a year, what the kitchen would lose were a quarter less picked in the heaviest week, the chosen cultivars
        in other numbers; None where they cannot be
    """

    mean: KilogramsArray
    high: KilogramsArray
    most: Kilograms | None = None
    flatter: WeightedKilograms | None = None

    def heaviest(self, weeks: int) -> tuple[int, Share]:
        """The first (1 to 52) of so many weeks on end in which most is picked, and their share of the year's."""
        total = float(self.mean.sum())
        sums = sum(np.roll(self.mean, -step) for step in range(weeks))
        at = int(np.argmax(sums))
        return at + 1, float(np.asarray(sums)[at]) / total if total > 0 else 0.0


@dataclass(frozen=True)
class TableAge:
    """How long what is eaten fresh has lain, by week (52,), mean over the weather years; 0 in weeks without.

    Attributes
    ----------
    served : fruit for the table; weeks : since picking, mean of it
    late : share of it past two thirds of its life at table
    """

    served: KilogramsArray
    weeks: Annotated[Floats, Plain.RATIO]
    late: ShareArray
