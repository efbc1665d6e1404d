"""How long fruit keeps, and what is left of it: life by use and temperature, shrink by age."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

TABLE_TEMPERATURE = 1.0  # [deg C] the catalogue's weeks are for cold air of 0 to 2 deg C
AGEING_PER_10_K = 2.5  # fruit ages 2 to 3 times faster at 10 deg C than at 0 (KEEP-IOWA)
FOR_EATING = (
    0.7  # share of the best-case life a fruit is still good to eat; cooking and pressing use all of it
)
WEEKS_PER_MONTH = 365.25 / 12 / 7
LOSS_PER_MONTH = 0.03  # 1 % of mass dried out and 2 % rotten a month: planning figure, no source
LATE = 0.7  # from this share of its life on, losses double: planning figure, no source


def storage_life(best_case_weeks: npt.ArrayLike, temperature: float, *, eating: bool) -> Array:
    """Weeks fruit can be held for a use.

    Parameters
    ----------
    best_case_weeks : array_like
        [weeks] in cold air at 0 to 2 deg C, as the catalogue has it; NaN where not known.
    temperature : float
        [deg C] of the cellar.
    eating : bool
        True for fresh eating, False for cooking, drying and pressing.
    """
    faster = AGEING_PER_10_K ** ((temperature - TABLE_TEMPERATURE) / 10)
    share = FOR_EATING if eating else 1.0
    life: Array = np.asarray(best_case_weeks, dtype=float) * share / faster
    return life


def share_kept(age: npt.ArrayLike, life: npt.ArrayLike) -> Array:
    """Share of the picked mass that is sound after `age` weeks; 0 beyond the life and before picking.

    Parameters
    ----------
    age, life : array_like
        [weeks] shapes that broadcast.

    Notes
    -----
    Loss at a steady rate, doubled in the last 30 % of the life.
    """
    weeks, whole = np.broadcast_arrays(np.asarray(age, dtype=float), np.asarray(life, dtype=float))
    rate = -np.log(1 - LOSS_PER_MONTH) / WEEKS_PER_MONTH
    late = np.maximum(weeks - LATE * whole, 0)
    kept = np.exp(-rate * (weeks + late))
    return np.where((weeks >= 0) & (weeks <= whole), kept, 0.0)
