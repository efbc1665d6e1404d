"""Disease as what it costs: ratings by source, and what they mean here in trees, crop and keeping.

A rating is a place on a scale from 0 (very resistant) to 4 (very susceptible). Sources differ: the middle of those that
were read counts, and the range is shown. What no one has rated is taken as its class or kind is rated on average,
never as resistant.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from topwire.values.traits import Grade, Susceptibility


class Disease(StrEnum):
    SCAB = "scab"
    FIRE_BLIGHT = "fire blight"
    CEDAR_RUST = "cedar apple rust"
    QUINCE_RUST = "quince rust"
    MILDEW = "powdery mildew"
    SUMMER_ROT = "summer rots"


SCALE = {
    Susceptibility.VERY_RESISTANT: 0.0,
    Susceptibility.RESISTANT: 1.0,
    Susceptibility.MODERATE: 2.0,
    Susceptibility.SUSCEPTIBLE: 3.0,
    Susceptibility.VERY_SUSCEPTIBLE: 4.0,
}
STEPS = np.arange(5.0)
SUSCEPTIBLE, VERY_SUSCEPTIBLE = 2.5, 3.5  # of the scale, from which a cultivar counts as such
MODERATE = 2.0  # the least an unknown rating counts as
DISPUTED = 2.0  # steps between two sources from which a rating is called disputed

# Trees dead after seven years of outbreak, middle of each class: none, under 20, 20 to 40, 50 to 90, 90 to 100 %
# (CLINE2023); for the first class a hundredth, since none of a few trees is not none of all.
DEAD_AFTER_SEVEN = np.array([0.01, 0.10, 0.30, 0.70, 0.95])
TRIAL_YEARS = 7
# Share of years with blight weather in bloom in which an orchard really has an outbreak: the disease has to be about.
# Planning figures, no source: low, middle, high.
OUTBREAK = (0.1, 0.3, 0.8)
WITHOUT_BLOOM = (
    0.05  # share of years with an outbreak through shoots and hail alone: planning figure, no source
)
YOUNG, YOUNG_YEARS = 1.5, 4  # young trees grow hard and die sooner: planning figure, no source
BY_VIGOUR = {Grade.LOW: 0.9, Grade.MEDIUM: 1.0, Grade.HIGH: 1.2}  # planning figures, no source
TEN_YEARS = 10
CROPS_LOST = 4.0  # crops a dead tree costs until the one in its place bears: planning figure, no source
REPLACED = 8.0  # [weighted kg] tree and work of putting another in its place, over TREE_COST: planning figure

# Share of a crop lost, or marked so that it neither goes to table nor keeps, by step of the scale, in an orchard under
# ordinary care in a wet spring. Planning figures, no source: they rank the diseases, they forecast none.
CROP_LOST = {
    Disease.SCAB: np.array([0.0, 0.01, 0.03, 0.06, 0.10]),
    Disease.CEDAR_RUST: np.array([0.0, 0.005, 0.01, 0.03, 0.05]),
    Disease.QUINCE_RUST: np.array([0.0, 0.005, 0.01, 0.02, 0.04]),
    Disease.MILDEW: np.array([0.0, 0.005, 0.01, 0.02, 0.04]),
    Disease.SUMMER_ROT: np.array([0.0, 0.01, 0.02, 0.04, 0.06]),
}
WET_SPRING = (
    22.0  # [d] of rain from April to June of which the figures above are meant: planning figure, no source
)


@dataclass(frozen=True)
class Rating:
    """Of one disease: place on the scale, least and most of all sources, who says what.

    Attributes
    ----------
    said : (source key or "" for memory, rating) of every source
    known : somebody rated it; otherwise the middle is that of its class or kind, low and high its spread
    """

    middle: float
    low: float
    high: float
    known: bool
    said: tuple[tuple[str, Susceptibility], ...] = ()

    @property
    def disputed(self) -> bool:
        """Two sources lie far apart."""
        return self.known and self.high - self.low >= DISPUTED


def rating_of(
    read: Mapping[str, tuple[Susceptibility, ...]], remembered: Susceptibility | None
) -> Rating | None:
    """The rating of all sources that were read; a remembered one counts only where none was. None = nobody's.

    Parameters
    ----------
    read : by source key
    """
    said = tuple((key, one) for key, each in sorted(read.items()) for one in each)
    counted = [SCALE[one] for _, one in said]
    if remembered is not None:
        said = (*said, ("", remembered))
        counted = counted or [SCALE[remembered]]
    if not said:
        return None
    every = [SCALE[one] for _, one in said]
    return Rating(float(np.mean(counted)), min(every), max(every), known=True, said=said)


def prior(ratings: list[float]) -> Rating:
    """What a cultivar no one has rated is taken for: the middle and the spread of those like it, never better than
    moderate."""
    low, middle, high = np.percentile(ratings, [20, 50, 80]) if ratings else (1.0, 2.0, 3.0)
    taken = max(float(middle), float(np.mean(ratings)) if ratings else 0.0, MODERATE)
    return Rating(taken, max(1.0, min(float(low), taken)), max(float(high), taken, 3.0), known=False)


@dataclass(frozen=True)
class TreeLoss:
    """Share of trees fire blight takes in ten years, by how often it really comes; `yearly`: middle, of one year."""

    low: float
    middle: float
    high: float
    yearly: float


def tree_loss(rating: Rating, *, wet_bloom: float, warm_bloom: float, vigour: Grade | None) -> TreeLoss:
    """Expected loss of trees to fire blight over the first ten years.

    Parameters
    ----------
    wet_bloom : share of this place's years with blight weather in its bloom; warm_bloom : were it wetted every day
    vigour : of the scion; unknown counts as medium
    """
    grown = BY_VIGOUR[vigour or Grade.MEDIUM]
    young = (YOUNG * YOUNG_YEARS + TEN_YEARS - YOUNG_YEARS) / TEN_YEARS

    def yearly(step: float, bloom: float, outbreak: float) -> float:
        dead = float(np.interp(step, STEPS, 1 - (1 - DEAD_AFTER_SEVEN) ** (1 / TRIAL_YEARS)))
        return min(0.9, dead * max(bloom * outbreak, WITHOUT_BLOOM) * grown * young)

    wide = (rating.low, rating.middle, rating.high)
    each = [
        yearly(step, bloom, outbreak)
        for step, bloom, outbreak in zip(wide, (wet_bloom, wet_bloom, warm_bloom), OUTBREAK, strict=True)
    ]
    low, middle, high = (1 - (1 - one) ** TEN_YEARS for one in each)
    return TreeLoss(low, middle, max(middle, high), each[1])


def crop_lost(ratings: Mapping[Disease, Rating], loss: TreeLoss, *, wet_spring: float) -> float:
    """Share of the crop that disease takes or spoils in the middle year, trees that died included.

    Parameters
    ----------
    wet_spring : [d] wet days of April to June here
    """
    wet = min(1.5, wet_spring / WET_SPRING)
    kept = 1.0
    for disease, table in CROP_LOST.items():
        kept *= 1 - wet * float(np.interp(ratings[disease].middle, STEPS, table))
    return 1 - kept * max(0.0, 1 - CROPS_LOST * loss.yearly)


@dataclass(frozen=True)
class DiseaseOutlook:
    """Of one cultivar at this place. `deadly`: of the group a published outbreak killed almost to a tree."""

    ratings: Mapping[Disease, Rating]
    blight_years: float
    trees: TreeLoss
    crop_lost: float
    deadly: bool
