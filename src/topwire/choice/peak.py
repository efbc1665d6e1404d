"""How the picking falls over the weeks, what a flatter harvest would cost, and what more hands would bring."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from topwire.choice.hands import Picking, picked_by_week
from topwire.choice.model import Index
from topwire.choice.reasons import Nearby
from topwire.choice.scarce import More, PickingWeeks, Worth
from topwire.choice.supply import Supply

LOWER = 0.75  # of the heaviest week, of which the cost is told
MORE_HANDS = 0.2  # share


def picking_weeks(near: Nearby, supply: Supply, trees: Index) -> tuple[PickingWeeks, Worth | None]:
    """Fruit picked by week, and the worth of more hands where they are a limit.

    Parameters
    ----------
    supply : the weather years, those with harder frost not among them; trees : (cultivars,) of the plan
    """
    keep = np.flatnonzero(trees)
    by_year = np.einsum("ycw,c->yw", picked_by_week(supply.chosen(keep)), trees[keep].astype(float))
    mean = by_year.mean(axis=0)
    members = frozenset(np.flatnonzero(trees[near.keep]).tolist())
    own = near.limits

    def cost(picking: Picking | None, beside: float | None = None) -> float | None:
        limits = replace(own, picking=picking, must_have=(), held=())
        return near.cost_of_set(near.master(limits, near.useful), limits, members, beside=beside)

    today = cost(own.picking)
    flatter, worth = None, None
    if today is not None and mean.max() > 0:
        ease: Mapping[str, float] = {} if own.picking is None else own.picking.ease
        lower = cost(Picking(LOWER * _heaviest(near, trees, ease), ease), today)
        flatter = None if lower is None else max(0.0, lower - today)
        if own.picking is not None:
            wider = cost(replace(own.picking, most=(1 + MORE_HANDS) * own.picking.most))
            worth = None if wider is None else Worth(More.HANDS, MORE_HANDS, max(0.0, today - wider))
    most = None if own.picking is None else own.picking.most
    return PickingWeeks(mean, np.quantile(by_year, 0.9, axis=0), most, flatter), worth


def _heaviest(near: Nearby, trees: Index, ease: Mapping[str, float]) -> float:
    """Of the weeks, as the limit reckons it. [kg]"""
    rate = np.array([ease.get(row.name, 1.0) for row in near.supply.cultivars])
    picked = picked_by_week(near.supply).mean(axis=0) / rate[:, None]
    return float((trees[near.keep] @ picked).max())
