"""The fruit through the season: its growth, and thinning by measured growth."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.growth.trunk import Floats


def expolinear(days: npt.ArrayLike, *, most: float, relative: float, lost: float) -> Floats:
    """Fruit mass after full bloom, W = (C / R) ln(1 + exp(R (t - tb))).

    First exponential, then a straight line (Goudriaan and Monteith 1990; for apple Lakso and others 1995). Fit the
    three figures to own calliper data; none published could be read.

    Parameters
    ----------
    days : array_like
        After full bloom. [d]
    most : float
        Greatest rate C. [g/d]
    relative : float
        Relative rate R of the first days. [1/d]
    lost : float
        Lost time tb. [d]

    Returns
    -------
    ndarray
        [g]
    """
    exponent = relative * (np.asarray(days, dtype=float) - lost)
    return np.asarray(most / relative * np.logaddexp(0.0, exponent))


def fit_expolinear(days: Floats, masses: Floats) -> tuple[float, float, float]:
    """Rate C [g/d], relative rate R [1/d] and lost time tb [d] from own measurements, least squares on log mass.

    Raises
    ------
    ValueError
        With fewer than four measurements or a mass that is not positive.
    """
    from scipy.optimize import least_squares

    if len(days) < 4 or len(days) != len(masses) or np.any(np.asarray(masses) <= 0):
        raise ValueError("four or more days with their masses above 0 are needed")

    def off(log_figures: Floats) -> Floats:
        rate, relative = np.exp(log_figures[:2])
        modelled = expolinear(days, most=rate, relative=relative, lost=log_figures[2])
        return np.asarray(np.log(np.maximum(modelled, 1e-9)) - np.log(masses))

    late = max((masses[-1] - masses[-2]) / (days[-1] - days[-2]), 0.1)
    found = least_squares(
        off, [np.log(late), np.log(0.1), float(np.median(days)) / 2], x_scale=[0.5, 0.5, 10.0]
    )
    return float(np.exp(found.x[0])), float(np.exp(found.x[1])), float(found.x[2])


def early_diameter_rate(temperature: npt.ArrayLike) -> Floats:
    """Growth of fruitlet diameter 10 to 40 days after bloom, 0.0678 (T - 4.46).

    Through two read points of controlled rooms (FRUIT-OBRIEN): 0.24 mm/d at a mean of 8 deg C and 0.85 mm/d at
    17 deg C; above 22 deg C held, below 4.46 zero.

    Parameters
    ----------
    temperature : array_like
        Daily mean. [deg C]

    Returns
    -------
    ndarray
        [mm/d]
    """
    warm = np.minimum(np.asarray(temperature, dtype=float), 22.0)
    return np.asarray(np.maximum(0.0, 0.0678 * (warm - 4.46)))


def logistic_diameter(heat: npt.ArrayLike, *, final: float, offset: float, rate: float) -> Floats:
    """Diameter on degree-days, D = Dmax / (1 + a exp(-b GDD)); the three figures from own calliper data. [mm]"""
    return np.asarray(final / (1 + offset * np.exp(-rate * np.asarray(heat, dtype=float))))


@dataclass(frozen=True)
class SetForecast:
    """What the growth of measured fruitlets says about the set."""

    measured: int
    persisting: int
    threshold: float  # [mm] growth a fruitlet needs to stay
    share: float  # of measured fruitlets that stay
    fruits_per_tree: float | None  # where clusters and fruitlets per cluster are given
    advice: str


def set_from_growth(
    growth: npt.ArrayLike,
    *,
    fastest: int = 20,
    fruitlets_per_cluster: float | None = None,
    clusters_per_tree: float | None = None,
    target: float | None = None,
) -> SetForecast:
    """Which fruitlets will stay: those that grew at least half as much as the fastest (THIN-GREENE).

    Tag 14 or 15 clusters on each of five trees, measure every fruitlet at 6 to 7 mm and again four to seven days
    later, and repeat while the fruit is below 15 mm. Twenty-five clusters in all proved too few.

    Parameters
    ----------
    growth : array_like
        Growth of each fruitlet between the two measurements, shape (fruitlets,); 0 for one that fell. [mm]
    fastest : int
        Fruitlets whose mean growth is the reference: 20 in a full sample, fewer in a small one.
    fruitlets_per_cluster, clusters_per_tree, target : float, optional
        Counts on the trees, and the fruits wanted on each.

    Raises
    ------
    ValueError
        With fewer fruitlets than the reference needs, or none that grew.
    """
    grown = np.sort(np.asarray(growth, dtype=float))[::-1]
    if not 1 <= fastest <= len(grown):
        raise ValueError(
            f"{len(grown)} fruitlets measured; the reference of the {fastest} fastest needs more"
        )
    reference = float(grown[:fastest].mean())
    if not np.isfinite(reference) or reference <= 0:
        raise ValueError("no fruitlet grew between the two measurements; check the callipers and the dates")
    stay = int((grown >= reference / 2).sum())
    share = stay / len(grown)
    fruits = None
    if fruitlets_per_cluster is not None and clusters_per_tree is not None:
        fruits = share * fruitlets_per_cluster * clusters_per_tree
    return SetForecast(len(grown), stay, reference / 2, share, fruits, _advice(fruits, target))


def _advice(fruits: float | None, target: float | None) -> str:
    if fruits is None or target is None:
        return "Count clusters on the five trees to turn the share into fruits per tree."
    if fruits > 1.15 * target:
        return (
            f"{fruits:.0f} fruits would stay, {target:.0f} are wanted: thin on, measure again in four days."
        )
    if fruits < 0.85 * target:
        return f"{fruits:.0f} fruits would stay, {target:.0f} are wanted: stop thinning."
    return f"{fruits:.0f} fruits would stay, {target:.0f} are wanted: leave the trees as they are."
