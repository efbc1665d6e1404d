"""What comes of one cultivar's young trees, worked out: given its living grafts in June and its buds in August.

Once these two are known every cultivar fares for itself, and the chance that its trees are there, and how many are
missing, are sums over two distributions. What hangs together over all cultivars, the pool of stocks, is drawn in
`spares`.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import betaln, gammaln, xlog1py, xlogy

from topwire.nursery.starts import Floats, Integers, lot_parameters


@dataclass(frozen=True)
class Fates:
    """By living grafts in June (rows) and buds set in August (columns).

    Attributes
    ----------
    enough : chance that the trees wanted are there, the late ones counted [-]
    missing : mean number of trees missing
    late : mean number of trees used that are a season younger
    """

    enough: Floats
    missing: Floats
    late: Floats


def lots_of_buds(most: int, take: float, rest: float, correlation: float) -> Floats:
    """Chance of 0, 1, ... late trees (columns) of 0, 1, ... `most` August buds of one lot (rows). [-]

    Parameters
    ----------
    take, rest : share of buds that take, and of those the share that come through to the orchard [-]
    correlation : between two buds of one lot [-]
    """
    each = np.arange(most + 1)
    return np.asarray(by_lot(each, most, take, correlation) @ by_lot(each, most, rest, 0.0))


def fates(wanted: int, live: Integers, late: Floats, rest: float) -> Fates:
    """Fates of a cultivar of which `wanted` trees are wanted.

    Parameters
    ----------
    live : living grafts in June, one for each row
    late : of :func:`lots_of_buds`, shape (buds + 1, trees + 1)
    rest : share of the living grafts that come through to the orchard [-]
    """
    early = by_lot(live, int(live.max(initial=0)), rest, 0.0)
    short = early[:, :wanted][:, ::-1]  # chance of 1, 2, ... trees still wanted
    if short.shape[1] < wanted:  # more are wanted than there are grafts
        short = np.hstack([np.zeros((len(live), wanted - short.shape[1])), short])
    upto = np.cumsum(late, axis=1)[:, :wanted]
    if upto.shape[1] < wanted:
        upto = np.hstack([upto, np.ones((len(late), wanted - upto.shape[1]))])
    still = np.arange(1, wanted + 1)
    missing = short @ np.cumsum(upto, axis=1).T
    return Fates(enough=1 - short @ upto.T, missing=missing, late=(short @ still)[:, None] - missing)


def by_lot(started: Integers, most: int, share: float, correlation: float) -> Floats:
    """Chance of 0, 1, ... `most` successes (columns) of so many `started` in one lot (rows). [-]

    The beta-binomial of `starts`; the binomial without correlation, or where all succeed.
    """
    n = np.asarray(started, dtype=float)[:, None]
    k = np.arange(most + 1, dtype=float)[None]
    fails = np.maximum(n - k, 0.0)
    ways = gammaln(n + 1) - gammaln(k + 1) - gammaln(fails + 1)
    if correlation == 0 or share >= 1:
        log = ways + xlogy(k, share) + xlog1py(fails, -share)
    else:
        alpha, beta = lot_parameters(share, correlation)
        log = ways + betaln(k + alpha, fails + beta) - betaln(alpha, beta)
    return np.where(k <= n, np.exp(log), 0.0)
