"""Heat and place: cookers and fine old sorts of cool summers in hot places, and what is simply not known.

Figures of the loss are planning figures, no source: what drops early, softens or colours badly in heat neither goes to
table nor keeps.
"""

from enum import StrEnum

import numpy as np

# [K d] above 10 deg C, April to October: summers of the cool homes of such sorts, and summers in which they fail.
COOL_SUMMER, HOT_SUMMER = 1300.0, 1900.0
SPOILED = 0.4  # share of the crop spoiled in a hot summer


class Suits(StrEnum):
    """Summers a cultivar is known to suit."""

    COOL = "cool summers"
    HOT = "hot summers"
    BOTH = "both"


def spoiled_by_heat(suits: Suits | None, summer: float) -> float:
    """Share of the crop that summer heat spoils; none where nothing is known, which is told.

    Parameters
    ----------
    summer : [K d] above 10 deg C, April to October, mean over the years
    """
    if suits is not Suits.COOL:
        return 0.0
    return float(np.interp(summer, [COOL_SUMMER, HOT_SUMMER], [0.0, SPOILED]))
