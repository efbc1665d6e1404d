"""Rusts of juniper on apple: hours of wetness that infect leaves, and flowers."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

# Hours for light and severe cedar apple rust on leaves (ALDWINCKLE1980). READ are 2 deg C light, 24 light and ranges
# between 10 and 24; the middle rows are remembered. Above 24 nothing was reported, above 26 there is none.
_TEMPERATURE = np.array([2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24])
_LIGHT = np.array([24, 12, 8, 6, 5, 4, 4, 3, 3, 3, 3, 2])
_SEVERE = np.array([48, 24, 10, 7, 6, 5, 5, 4, 4, 4, 4, 4])
COLDEST, HOTTEST = 2.0, 26.0  # [deg C]

# Quince rust has no published table. Calls of a station in the field (VT-NOTES): from the light line of cedar rust up
# “possible”; from these hours “likely”; from two days “severe” (rule of thumb, remembered).
_LIKELY_AT, _LIKELY = np.array([10.0, 16.0]), np.array([20.0, 14.0])
SEVERE_QUINCE, SEVERE_QUINCE_FROM = 48.0, 10.0  # [h], [deg C]

SPOTS = (7.0, 14.0)  # [d] to spots on leaves (NCSU-RUST); about 30 in a cold spring (VT-NOTES)
COLD_SPRING, COLD_SPOTS = (
    12.0,
    30.0,
)  # [deg C] mean of three weeks below which they take so long: our figure; [d]


def leaf_hours(temperature: npt.ArrayLike) -> tuple[Array, Array]:
    """Hours of wetness for light and for severe infection of leaves; inf where there is none.

    Parameters
    ----------
    temperature : [deg C] mean of the wet hours

    Source: ALDWINCKLE1980.
    """
    air = np.asarray(temperature, dtype=float)
    with np.errstate(invalid="ignore"):
        none = ~((air >= COLDEST) & (air <= HOTTEST))
    light, severe = (
        np.where(none, np.inf, np.interp(np.nan_to_num(air), _TEMPERATURE, hours))
        for hours in (_LIGHT, _SEVERE)
    )
    return light, severe


def quince_infection(temperature: npt.ArrayLike, hours: npt.ArrayLike) -> npt.NDArray[np.int64]:
    """0 none, 1 possible, 2 likely, 3 severe possible, where flowers are between pink and petal fall.

    Parameters
    ----------
    temperature : [deg C] mean of the wet hours
    hours : [h] of wetness

    Our own rule, from VT-NOTES.
    """
    air, wet = np.asarray(temperature, dtype=float), np.asarray(hours, dtype=float)
    possible = wet >= leaf_hours(air)[0]
    likely = possible & (wet >= np.interp(air, _LIKELY_AT, _LIKELY))
    severe = likely & (wet >= SEVERE_QUINCE) & (air >= SEVERE_QUINCE_FROM)
    reached: npt.NDArray[np.int64] = np.sum([possible, likely, severe], axis=0, dtype=np.int64)
    return reached
