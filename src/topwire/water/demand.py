"""What an apple tree drinks: coefficients on reference evapotranspiration, by season, ground cover and alley.

FAO56 = source FAO56, AP09 = Allen and Pereira (2009). Coefficients stand on grass reference evapotranspiration.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

KC_LEAST = 0.15  # [-] bare dry soil under a sparse crop, FAO56 equation 98
STANDARD_WIND = 2.0  # [m/s] climate the tabled coefficients stand for
STANDARD_HUMIDITY = 45.0  # [%]


@dataclass(frozen=True)
class Coefficients:
    """Tabled coefficients of one crop and ground cover: initial, mid-season and end. [-]"""

    initial: float
    middle: float
    end: float


@dataclass(frozen=True)
class Stages:
    """Days of the year at which the coefficient curve turns. Arrays are (years,). [d]

    Attributes
    ----------
    bud_break : growth starts; the initial coefficient holds until here and on to `development`
    development : the curve starts to rise
    full_canopy : mid-season begins
    late : it starts to fall
    leaf_fall : it has reached the end
    begins, empties : first and last day on which water is given, the same for all years
    """

    bud_break: Array
    development: Array
    full_canopy: Array
    late: Array
    leaf_fall: Array
    begins: float = 0.0
    empties: float = 366.0


def climate_step(wind: npt.ArrayLike, humidity_least: npt.ArrayLike, height: npt.ArrayLike) -> Array:
    """What a climate other than the standard adds to a mid or end coefficient; FAO56 equations 62 and 65. [-]

    Parameters
    ----------
    wind : array_like
        [m/s] mean at 2 m over the stage, counted between 1 and 6.
    humidity_least : array_like
        [%] mean daily minimum relative humidity over the stage, counted between 20 and 80.
    height : array_like
        [m] of the crop, counted between 0.1 and 10.
    """
    speed = np.clip(np.asarray(wind, dtype=float), 1, 6)
    humidity = np.clip(np.asarray(humidity_least, dtype=float), 20, 80)
    tall = np.clip(np.asarray(height, dtype=float), 0.1, 10)
    step: Array = (0.04 * (speed - STANDARD_WIND) - 0.004 * (humidity - STANDARD_HUMIDITY)) * (
        tall / 3
    ) ** 0.3
    return step


def adjusted(
    tabled: float, *, wind: npt.ArrayLike, humidity_least: npt.ArrayLike, height: npt.ArrayLike
) -> Array:
    """A mid or end coefficient in this climate; unchanged where the table has less than 0.45. [-]"""
    if tabled < 0.45:
        return np.broadcast_to(tabled, np.broadcast(wind, humidity_least, height).shape).astype(float)
    return tabled + climate_step(wind, humidity_least, height)


def full_cover_coefficient(
    height: npt.ArrayLike,
    *,
    stomata: npt.ArrayLike,
    wind: npt.ArrayLike = STANDARD_WIND,
    humidity_least: npt.ArrayLike = STANDARD_HUMIDITY,
) -> Array:
    """Basal coefficient of a stand that covers all the ground; AP09 after FAO56 equations 99 to 102. [-]

    Parameters
    ----------
    height : array_like
        [m] of the trees.
    stomata : array_like
        Factor for leaves that close more than those of grass. [-]
    """
    tall = np.asarray(height, dtype=float)
    base = np.minimum(1.0 + 0.1 * tall, 1.20) + climate_step(wind, humidity_least, tall)
    coefficient: Array = np.asarray(stomata, dtype=float) * base
    return coefficient


def effective_cover(cover: npt.ArrayLike, noon_elevation: npt.ArrayLike) -> Array:
    """Ground shaded at noon by round crowns or an east-west row; FAO56 equation 101. [-]

    For rows that run north and south the cover itself counts.

    Parameters
    ----------
    cover : array_like
        Share of the ground under the crowns, seen from above. [-]
    noon_elevation : array_like
        [rad] of the sun at noon.
    """
    shade: Array = np.minimum(np.asarray(cover, dtype=float) / np.sin(noon_elevation), 1.0)
    return shade


def density(
    cover: npt.ArrayLike, height: npt.ArrayLike, *, multiplier: float, shade: npt.ArrayLike | None = None
) -> Array:
    """Share of a full stand's water use that a sparse one reaches; AP09. [-]

    Parameters
    ----------
    cover : array_like
        Share of the ground under the crowns. [-]
    height : array_like
        [m]
    multiplier : float
        Most the crowns may use above their share of the ground. [-] FAO56 has 2, AP09 1.5 to 2.
    shade : array_like, optional
        Ground shaded at noon; the cover where not given.
    """
    under = np.asarray(cover, dtype=float)
    shaded = under if shade is None else np.asarray(shade, dtype=float)
    share: Array = np.minimum(
        np.minimum(1.0, multiplier * under), shaded ** (1 / (1 + np.asarray(height, dtype=float)))
    )
    return share


def basal_coefficient(density_share: npt.ArrayLike, full: npt.ArrayLike) -> Array:
    """Basal coefficient of a sparse stand over bare ground; FAO56 equation 98. [-]"""
    coefficient: Array = KC_LEAST + np.asarray(density_share, dtype=float) * (
        np.asarray(full, dtype=float) - KC_LEAST
    )
    return coefficient


def basal_coefficient_with_grass(
    density_share: npt.ArrayLike, full: npt.ArrayLike, grass: npt.ArrayLike
) -> Array:
    """Basal coefficient of a sparse stand over growing grass; AP09. [-]"""
    under = np.asarray(grass, dtype=float)
    extra = np.asarray(full, dtype=float) - under
    coefficient: Array = under + np.asarray(density_share, dtype=float) * np.maximum(extra, extra / 2)
    return coefficient


def most_coefficient(
    basal: npt.ArrayLike, height: npt.ArrayLike, *, wind: npt.ArrayLike, humidity_least: npt.ArrayLike
) -> Array:
    """Upper limit on transpiration and evaporation together; FAO56 equation 72. [-]"""
    limit = 1.2 + climate_step(wind, humidity_least, height)
    most: Array = np.maximum(limit, np.asarray(basal, dtype=float) + 0.05)
    return most


def evaporating_share(cover: npt.ArrayLike, wetted: npt.ArrayLike) -> Array:
    """Share of the ground both wetted by drip and in the sun; FAO56 equation 75 with its note on drip. [-]"""
    under, wet = np.asarray(cover, dtype=float), np.asarray(wetted, dtype=float)
    share: Array = np.minimum(1 - under, (1 - 2 / 3 * under) * wet)
    return np.clip(share, 0.01, 1.0)


def stage_curve(day_of_year: npt.ArrayLike, stages: Stages, coefficients: Coefficients) -> Array:
    """Coefficient on each day: flat, rising, flat, falling; FAO56 equation 66. [-] Shape (days, years).

    Before bud break and after leaf fall it is the coefficient of bare ground: a tree without leaves does not drink.

    Parameters
    ----------
    day_of_year : (days,) [d]
    """
    day = np.asarray(day_of_year, dtype=float)[:, np.newaxis]
    initial, middle, end = coefficients.initial, coefficients.middle, coefficients.end
    rising = (day - stages.development) / np.maximum(stages.full_canopy - stages.development, 1)
    falling = (day - stages.late) / np.maximum(stages.leaf_fall - stages.late, 1)
    curve = initial + np.clip(rising, 0, 1) * (middle - initial)
    curve = np.where(day > stages.late, middle + np.clip(falling, 0, 1) * (end - middle), curve)
    asleep = (day < stages.bud_break) | (day > stages.leaf_fall)
    return np.where(asleep, KC_LEAST, curve)


def runoff(rain: npt.ArrayLike, curve_number: float) -> Array:
    """Rain that runs off, curve number method of the US Soil Conservation Service, source TR55. [mm]

    Parameters
    ----------
    rain : array_like
        [mm] of the day.
    curve_number : float
        [-] 30 to 100.
    """
    fallen = np.asarray(rain, dtype=float)
    retention = 25400 / curve_number - 254
    over = np.maximum(fallen - 0.2 * retention, 0.0)
    ran: Array = over**2 / (fallen + 0.8 * retention)
    return ran


def effective_rain(
    rain: npt.ArrayLike, reference: npt.ArrayLike, curve_number: float
) -> tuple[Array, Array, Array]:
    """Rain of each day parted into what counts, what runs off, and what wets only leaves and grass.

    FAO-56 leaves out rain below a fifth of the day's reference evapotranspiration: it is gone by night.

    Parameters
    ----------
    rain, reference : array_like
        [mm] of the day.
    curve_number : float
        [-]

    Returns
    -------
    counts, ran_off, lost : arrays [mm] that add up to the rain.
    """
    fallen = np.asarray(rain, dtype=float)
    light = fallen < 0.2 * np.asarray(reference, dtype=float)
    lost = np.where(light, fallen, 0.0)
    ran_off = np.where(light, 0.0, runoff(fallen, curve_number))
    return fallen - lost - ran_off, ran_off, lost
