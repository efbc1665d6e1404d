"""Money over the years: present value, rate of return, payback."""

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from topwire.ledger.findings import Sensitivity
from topwire.values.arrays import Floats

_HALVINGS = 60  # of a bracket a fortieth wide: to the last digit


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
    flow = np.asarray(cash_flow, dtype=float)
    if not (np.any(flow > 0) and np.any(flow < 0)):
        return None
    growth = np.geomspace(0.05, 1e6, 700)
    years = np.arange(flow.shape[-1])
    signs = np.sign((flow / growth[:, None] ** years).sum(axis=-1))
    change = np.flatnonzero(signs[:-1] * signs[1:] <= 0)
    if change.size == 0:
        return None
    low, high = growth[change[0]], growth[change[0] + 1]
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if np.sign((flow / middle**years).sum()) * signs[change[0]] > 0:
            low = middle
        else:
            high = middle
    return float((low + high) / 2) - 1


def payback_year(cash_flow: npt.ArrayLike, interest: float = 0.0) -> int | None:
    """First year by whose end what was spent is back, the planting year being 0; None where it never is."""
    flow = np.asarray(cash_flow, dtype=float)
    sums = np.cumsum(flow / (1 + interest) ** np.arange(len(flow)))
    back = np.flatnonzero(sums >= 0)
    later = back[back > 0] if sums[0] < 0 else back
    return int(later[0]) if later.size else None


def break_even_price(amount: float, *, fixed: float, per_unit: float) -> float:
    """Worth of a unit at which a crop of that many leaves nothing over: (fixed + per_unit Y) / Y."""
    return (fixed + per_unit * amount) / amount


def break_even_amount(price: float, *, fixed: float, per_unit: float) -> float | None:
    """Crop at which nothing is left over; None where every further unit loses money."""
    return fixed / (price - per_unit) if price > per_unit else None


def widest_first(swings: Iterable[Sensitivity]) -> tuple[Sensitivity, ...]:
    """The figure that moves the outcome most first; ties by name."""
    return tuple(sorted(swings, key=lambda swing: (-abs(swing.high - swing.low), swing.moved)))
