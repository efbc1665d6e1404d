"""How the kitchen is served while the trees grow up: each need, leaf by leaf, from the crop the trees bear."""

import numpy as np

from topwire.choice.serving import serve
from topwire.growth.asked import YoungKitchen
from topwire.growth.findings import KitchenYear
from topwire.growth.trunk import Floats

_FULL = 0.95  # share of a full crop from which a tree counts as full-grown


def kitchen_by_leaf(asked: YoungKitchen, share: Floats) -> tuple[KitchenYear, ...]:
    """Share of every need served in each year after planting, until all trees are full-grown.

    Standing trees crop in full from the start; each planting autumn counts from its own.

    Parameters
    ----------
    asked : YoungKitchen
    share : ndarray
        Of a full crop, of each cultivar of the supply, shape (cultivars, leaves). [-]
    """
    wanted = np.array([need.total for need in asked.needs])
    found = []
    for at, trees in enumerate(trees_worth(asked, share)):
        served = np.zeros(wanted.size)
        if trees.any():
            _, service = serve(asked.supply, asked.needs, asked.limits, trees)
            served = service.served.sum(axis=2).mean(axis=0) / wanted
        found.append(KitchenYear(at + 1, asked.first + at + 1, tuple(float(one) for one in served)))
    return tuple(found)


def trees_worth(asked: YoungKitchen, share: Floats) -> Floats:
    """(years, cultivars) trees in full crop, or parts of them, that the trees planted are worth."""
    autumns, leaves = asked.planted.shape[0], share.shape[1]
    new = asked.planted.sum(axis=0) > 0
    grown = np.flatnonzero((share[new] >= _FULL).all(axis=0))
    last = (int(grown[0]) + 1 if grown.size else leaves) + autumns - 1
    held = np.concatenate([share, np.repeat(share[:, -1:], autumns, axis=1)], axis=1)
    worth = np.tile(asked.standing.astype(float), (last, 1))
    for autumn in range(autumns):
        worth[autumn:] += (asked.planted[autumn][:, None] * held[:, : last - autumn]).T
    return worth
