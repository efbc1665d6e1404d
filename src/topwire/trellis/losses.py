"""What a fallen row costs, and what that is worth today."""

import numpy as np
import numpy.typing as npt

from topwire.trellis.row_risk import RowRisk
from topwire.values.arrays import Floats

# Readings of what growers and advisers tell of fallen blocks, at 1,200 trees an acre; nobody has published an account
# (TRELLIS-LOSS). Three times as much changes the choice by one step.
CLEARING = 2.1  # a tree: clearing and righting
TREE, TREES_LOST = (
    22.0,
    0.35,
)  # a standing tree and the years it stands for; share of a fallen row's that are lost
CROP, CROP_LOST = 9.9, 0.7  # a tree's full crop; share lost where it falls with fruit on
REBUILT = 0.6  # of what the row's posts cost to set


def expected_loss(risk: RowRisk, *, posts: npt.ArrayLike, trees: float, interest: float) -> Floats:
    """Loss of a row over its years, each year's at its chance, worth today.

    Parameters
    ----------
    posts : cost of its posts and their setting, of the shape of the risk
    trees : in the row
    interest : yearly rate
    """
    years = risk.by_year.shape[-1]
    today = (1 + interest) ** -(np.arange(years) + 0.5)
    falls, with_crop = (risk.by_year * today).sum(axis=-1), (risk.by_year_with_crop * today).sum(axis=-1)
    fallen = REBUILT * np.asarray(posts, dtype=float) + trees * (CLEARING + TREES_LOST * TREE)
    return np.asarray(falls * fallen + with_crop * trees * CROP_LOST * CROP)
