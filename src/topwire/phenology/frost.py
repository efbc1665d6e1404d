"""Spring frost: how many flower buds a cold night kills at each stage, and what that leaves of the crop."""

import numpy as np
import numpy.typing as npt

from topwire.phenology import stages
from topwire.phenology.bloom import DAYS_BEFORE_NEW_YEAR

Array = npt.NDArray[np.float64]


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


# Air temperatures [deg C] that kill 10 % and 90 % of the buds in 30 minutes, by stage (EB0419). Printed in F for Red
# Delicious. A second set, 1.6 to 9 K colder before bloom, goes round in public code; it flatters the risk.
STAGE_SHARES = np.array(
    [
        stages.SILVER_TIP,
        stages.GREEN_TIP,
        stages.HALF_INCH_GREEN,
        stages.TIGHT_CLUSTER,
        stages.PINK,
        stages.FIRST_BLOOM,
        stages.FULL_BLOOM,
    ]
)
KILL_10 = np.array([_celsius(t) for t in (15, 18, 23, 27, 28, 28, 28)])
KILL_90 = np.array([_celsius(t) for t in (2, 10, 15, 21, 24, 25, 25)])

# Buds of these are hardier than those of Red Delicious until petal fall [K] (EB0419: about 1 F, 1 F, 2 F).
HARDIER = {"Golden Delicious": 1.0 / 1.8, "Winesap": 1.0 / 1.8, "Rome Beauty": 2.0 / 1.8}

# Share of the buds that still carries a full crop, 10 to 15 % (USU-IPM012): the cautious end.
BUDS_FOR_FULL_CROP = 0.15


def kill_share(temperature: npt.ArrayLike, kill_10: npt.ArrayLike, kill_90: npt.ArrayLike) -> Array:
    """Share of buds killed, by a logistic curve through the two published points.

    A straight line would give none at all just above `kill_10` and is not used. The curve between and beyond the points
    is our choice.

    Parameters
    ----------
    temperature, kill_10, kill_90 : [deg C], shapes that broadcast
    """
    warm, cold = np.asarray(kill_10, dtype=float), np.asarray(kill_90, dtype=float)
    steepness = 2.0 * np.log(9.0) / (warm - cold)
    exponent = steepness * (np.asarray(temperature, dtype=float) - (warm + cold) / 2.0)
    share: Array = 1.0 / (1.0 + np.exp(np.clip(exponent, -60.0, 60.0)))
    return share


def critical_temperatures(share: npt.ArrayLike, hardier: npt.ArrayLike = 0.0) -> tuple[Array, Array]:
    """Temperatures that kill 10 % and 90 % of the buds [deg C] at a share of the heat to bloom.

    Linear in the heat sum between stages; constant from full bloom on. `hardier` [K] counts until petal fall.

    Parameters
    ----------
    share : from `stages.progress`; NaN gives NaN
    hardier : [K], shape that broadcasts with `share`
    """
    at = np.asarray(share, dtype=float)
    gain = np.where(at < stages.PETAL_FALL, np.asarray(hardier, dtype=float), 0.0)
    return np.interp(at, STAGE_SHARES, KILL_10) - gain, np.interp(at, STAGE_SHARES, KILL_90) - gain


def killed(tmin: npt.ArrayLike, share: Array, hardier: npt.ArrayLike = 0.0) -> Array:
    """Share of flower buds and fruitlets killed over a spring.

    Survivors of the nights multiply. That takes nights as independent; as tender buds die first, it rather overstates.
    Before silver tip nothing is killed: winter cold is another matter (`injury`).

    Parameters
    ----------
    tmin : (..., years, days) [deg C] nightly minimum at the trees; leading axes are scenarios
    share : (years, days, cultivars) from `stages.progress`
    hardier : (cultivars,) [K]

    Returns
    -------
    (..., years, cultivars), 0 to 1; NaN where there is no bloom
    """
    air = np.asarray(tmin, dtype=float)
    scenarios = air.reshape(-1, *share.shape[:2])
    with np.errstate(invalid="ignore"):
        tender = np.asarray(share >= stages.SILVER_TIP)
        before_fall = np.asarray(share < stages.PETAL_FALL)
    counts = tender.any(axis=2)
    alike = ~np.asarray(before_fall.any(axis=2))[
        counts
    ]  # from petal fall on all are killed alike, whatever the cultivar
    at, night = share[counts], scenarios[:, counts, np.newaxis]
    survive = np.empty((*night.shape[:2], share.shape[2]))
    for rows, stage, harder in (
        (~alike, at[~alike], hardier),
        (alike, np.full((int(alike.sum()), 1), stages.PETAL_FALL), 0.0),
    ):
        survive[:, rows] = 1.0 - kill_share(night[:, rows], *critical_temperatures(stage, harder))
    survive[:, ~tender[counts]] = 1.0
    nights = counts.sum(axis=1)
    some = nights > 0
    killed_share = np.zeros((scenarios.shape[0], share.shape[0], share.shape[2]))
    if some.any():
        starts = (np.cumsum(nights) - nights)[some]
        killed_share[:, some] = 1.0 - np.multiply.reduceat(survive, starts, axis=1)
    killed_share[:, np.isnan(share).all(axis=1)] = np.nan
    return killed_share.reshape(*air.shape[:-2], share.shape[0], share.shape[2])


def crop_left(kill: npt.ArrayLike) -> Array:
    """Share of a full crop that is left when `kill` of the buds is gone: thinning does the less.

    Source: USU-IPM012.
    """
    return np.minimum((1.0 - np.asarray(kill, dtype=float)) / BUDS_FOR_FULL_CROP, 1.0)


def chance_of_losing(kill: npt.ArrayLike, part: float) -> Array:
    """Share of the years in which at least `part` of the bloom is killed, years without bloom left out.

    Parameters
    ----------
    kill : (years, cultivars)
    part : 0 to 1

    Returns
    -------
    (cultivars,) NaN where no year has bloom
    """
    shares = np.asarray(kill, dtype=float)
    years = np.isfinite(shares).sum(axis=0)
    return np.where(years > 0, (shares >= part).sum(axis=0) / np.maximum(years, 1), np.nan)


def last_frost(tmin: npt.ArrayLike, threshold: float = 0.0) -> Array:
    """Last day before 1 July with a minimum at or below `threshold`: day of the year, NaN where there is none.

    Parameters
    ----------
    tmin : (years, days) [deg C] from 1 October before
    """
    spring = np.asarray(tmin, dtype=float)[:, DAYS_BEFORE_NEW_YEAR : DAYS_BEFORE_NEW_YEAR + 181] <= threshold
    day = spring.shape[1] - np.argmax(spring[:, ::-1], axis=1)
    return np.where(spring.any(axis=1), day.astype(float), np.nan)


def first_frost(tmin: npt.ArrayLike, threshold: float = 0.0) -> Array:
    """First day from 1 July on with a minimum at or below `threshold`: day of the year, NaN where there is none."""
    autumn = np.asarray(tmin, dtype=float)[:, DAYS_BEFORE_NEW_YEAR + 181 :] <= threshold
    day = np.argmax(autumn, axis=1) + 182.0
    return np.where(autumn.any(axis=1), day, np.nan)
