"""What bare soil does under the mean year's air: when it freezes, opens and is warm enough to sow."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.values.arrays import Floats
from topwire.values.calendar import DAYS_IN_MONTH, MONTH_STARTS

SOIL_LAG = 10.0  # [d] by which soil at hand's depth runs behind the air: common practice, no source
_DAYS = 365


def soil_temperature(monthly_air: npt.ArrayLike) -> Floats:
    """Temperature of bare soil at hand's depth in the mean year, shape (365,). [deg C]

    The air's monthly means, drawn straight from the middle of one month to the next, as a body follows them that
    warms and cools at a rate in proportion to the difference, with the time constant `SOIL_LAG`.

    Parameters
    ----------
    monthly_air : array_like
        Monthly means, shape (12,). [deg C]
    """
    middles = np.array(MONTH_STARTS[:12]) + np.array(DAYS_IN_MONTH) / 2
    days = np.arange(1, _DAYS + 1)
    air = np.interp(days, middles, np.asarray(monthly_air, dtype=float), period=_DAYS)
    soil = np.empty(_DAYS)
    now = float(air[0])
    for _ in range(2):  # the second round starts as the year before ended
        for day in range(_DAYS):
            now += (float(air[day]) - now) / SOIL_LAG
            soil[day] = now
    return soil


@dataclass(frozen=True)
class SoilDates:
    """When the soil of the mean year freezes, opens and warms. [day of the year]

    `freezes` and `thaws` are None where it does not freeze; `thaws` is in the new year.
    """

    freezes: float | None
    thaws: float | None
    at_10: float | None  # 10 deg C (50 F) in spring
    at_16: float | None  # 16 deg C: warm enough for summer covers

    def frozen(self, day_of_year: float) -> bool:
        """Whether the ground is shut on a day; days above 365 run on."""
        if self.freezes is None or self.thaws is None:
            return False
        day = (day_of_year - 1) % _DAYS + 1
        return day < self.thaws or day >= self.freezes


def soil_dates(soil: Floats) -> SoilDates:
    """Dates of a year of soil temperatures, shape (365,), in the northern half of the world."""
    days = np.arange(1, _DAYS + 1)
    summer = int(soil.argmax()) + 1
    shut = soil < 0
    before, after = days[shut & (days < summer)], days[shut & (days >= summer)]
    if not before.size and not after.size:
        freezes = thaws = None
    else:
        thaws = float(before[-1] + 1) if before.size else 1.0
        freezes = float(after[0]) if after.size else float(_DAYS + 1)
    return SoilDates(freezes, thaws, _reached(soil, 10.0, summer), _reached(soil, 16.0, summer))


def _reached(soil: Floats, degrees: float, summer: int) -> float | None:
    """First day of the year's rise from which on the soil stays that warm until summer."""
    if soil.max() < degrees:
        return None
    cold = np.flatnonzero(soil[:summer] < degrees)
    return float(cold[-1] + 2) if cold.size else 1.0
