"""The crop of the year: what trees of that age bear, what frost has left of it, and what counts say."""

from collections.abc import Mapping, Sequence
from statistics import NormalDist

import numpy as np

from topwire.season.asked import GrownCultivar, WeekBasis
from topwire.season.dates import SeasonDates
from topwire.values.estimate import Estimate

TENTH = NormalDist().inv_cdf(0.9)  # standard deviations from the middle to high
STANDING_SPREAD = 0.4  # log spread of a standing tree's crop from year to year: planning figure, no source
LEAST_LEFT = 0.02  # share of a crop under which frost has taken it


def by_age(line: GrownCultivar, year: int) -> Estimate | None:
    """Crop of all its trees in a year by their age, over the weather years [kg]; None where none bears."""
    low = middle = high = 0.0
    leaves = line.kg_per_tree.shape[0]
    for planted, trees in line.planted:
        leaf = min(year - planted, leaves)
        if leaf >= 1:
            each = line.kg_per_tree[leaf - 1]
            low, middle, high = low + trees * each[0], middle + trees * each[1], high + trees * each[2]
    if line.standing:
        whole = line.standing * line.standing_kg
        low += whole * float(np.exp(-TENTH * STANDING_SPREAD))
        middle += whole
        high += whole * float(np.exp(TENTH * STANDING_SPREAD))
    return Estimate(float(low), float(middle), float(high)) if high > 0 else None


def crops_of(basis: WeekBasis, dates: SeasonDates, year: int) -> Mapping[str, Estimate]:
    """Crop of every cultivar this year [kg]: by age, and by this spring's frost against the usual."""
    found = {}
    for line, usual in zip(basis.cultivars, basis.crop_share, strict=True):
        crop = by_age(line, year)
        if crop is not None:
            found[line.name] = after_frost(crop, dates.crop[:, dates.names.index(line.name)], float(usual))
    return found


def after_frost(crop: Estimate, left: Sequence[float] | np.ndarray, usual: float) -> Estimate:
    """A crop over all weather years as one of a spring whose frost is known, or partly.

    Parameters
    ----------
    left : (years of weather to come,) share of a full crop that frost leaves
    usual : the same, mean over the years the crop stands for
    """
    share = np.nan_to_num(np.asarray(left, dtype=float))
    low, middle, high = (float(np.percentile(share, part)) for part in (10, 50, 90))
    base = max(usual, LEAST_LEFT)
    return Estimate(crop.low * min(low / base, 1.0), crop.middle * middle / base, crop.high * high / base)
