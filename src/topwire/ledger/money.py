"""Money over the years: present value, rate of return, payback, and the published cost lines they are held against."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def net_present_value(cash_flow: npt.ArrayLike, interest: float) -> Floats:
    """Sum of CF_t / (1 + r)^t over the last axis, t = 0, 1, 2 ...

    Parameters
    ----------
    cash_flow : array_like
        Of each year, the planting year first; any leading axes.
    interest : float
        Yearly rate, above -1.
    """
    if interest <= -1:
        raise ValueError(f"an interest of {interest:.0%} a year has no present value")
    flow = np.asarray(cash_flow, dtype=float)
    return np.asarray((flow / (1 + interest) ** np.arange(flow.shape[-1])).sum(axis=-1))


def internal_rate(cash_flow: npt.ArrayLike) -> float | None:
    """Rate at which the net present value is zero; None where there is none between -95 % and a millionfold.

    Where the flow changes sign more than once the lowest such rate is given.
    """
    from scipy.optimize import brentq

    flow = np.asarray(cash_flow, dtype=float)
    if not (np.any(flow > 0) and np.any(flow < 0)):
        return None
    growth = np.geomspace(0.05, 1e6, 700)
    signs = np.sign([float(net_present_value(flow, factor - 1)) for factor in growth])
    change = np.flatnonzero(signs[:-1] * signs[1:] <= 0)
    if change.size == 0:
        return None
    low, high = growth[change[0]], growth[change[0] + 1]
    return float(brentq(lambda factor: float(net_present_value(flow, factor - 1)), low, high, xtol=1e-12)) - 1


def payback_year(cash_flow: npt.ArrayLike, interest: float = 0.0) -> int | None:
    """First year by whose end what was spent is back, the planting year being 0; None where it never is."""
    flow = np.asarray(cash_flow, dtype=float)
    sums = np.cumsum(flow / (1 + interest) ** np.arange(len(flow)))
    back = np.flatnonzero(sums >= 0)
    later = back[back > 0] if sums[0] < 0 else back
    return int(later[0]) if later.size else None


def grower_return(bins: npt.ArrayLike, price: npt.ArrayLike, *, fixed: float, per_bin: float) -> Floats:
    """What is left of a crop: P Y - (fixed + per_bin Y); reproduces a published table of returns (MON-WA11).

    Parameters
    ----------
    bins : array_like
        Yield Y. [bins/acre]
    price : array_like
        P. [per bin]
    fixed, per_bin : float
        Cost line. [per acre], [per bin]
    """
    amount = np.asarray(bins, dtype=float)
    return np.asarray(np.asarray(price, dtype=float) * amount - (fixed + per_bin * amount))


def break_even_price(bins: float, *, fixed: float, per_bin: float) -> float:
    """Price per bin at which nothing is left over."""
    return (fixed + per_bin * bins) / bins


def break_even_yield(price: float, *, fixed: float, per_bin: float) -> float:
    """Bins at which nothing is left over.

    Raises
    ------
    ValueError
        When a bin costs more than it brings.
    """
    if price <= per_bin:
        raise ValueError("at that price every bin more loses money; no yield breaks even")
    return fixed / (price - per_bin)


@dataclass(frozen=True)
class Swing:
    """The outcome with one assumption at its poor and at its good value, the others held."""

    assumption: str
    low: float
    high: float

    @property
    def width(self) -> float:
        return abs(self.high - self.low)


def widest_first(swings: Iterable[Swing]) -> tuple[Swing, ...]:
    """The assumption that moves the outcome most first; ties by name."""
    return tuple(sorted(swings, key=lambda swing: (-swing.width, swing.assumption)))
