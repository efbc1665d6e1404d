"""From what is known of stock, scion and soil to the trees that are grown."""

from math import log

import numpy as np

from topwire.growth.asked import NewTrees, YearsQuestion
from topwire.growth.bearing import habit_of
from topwire.growth.leader import START_FEATHERED, START_WHIP, soil_vigour
from topwire.growth.load import USUAL_MASS, small_fruit
from topwire.growth.orchard import LEAVES, Stand
from topwire.growth.trunk import Floats
from topwire.values.traits import Grade, StockPrecocity
from topwire.values.vigour import SCION_VIGOUR, replant_vigour

# First leaf with flowers worth counting on a stock of that precocity (memory).
_FIRST_LEAF = {
    StockPrecocity.VERY_EARLY: 2,
    StockPrecocity.EARLY: 2,
    StockPrecocity.MEDIUM: 4,
    StockPrecocity.LATE_MEDIUM: 5,
    StockPrecocity.LATE: 8,
}
_SCION_DELAY = {Grade.HIGH: -1, Grade.MEDIUM: 0, Grade.LOW: 1}
_KITCHEN_SPREAD = 5  # the table's range of mature yields holds nearly all orchards: so many log spreads wide
_DECILES = 2.56  # log spreads between the 10th and the 90th percentile


def stand_of(asked: YearsQuestion) -> Stand:
    """The trees of the question, ready to grow."""
    trees = asked.trees
    stocks = sorted({line.rootstock for line in trees})
    habits = [habit_of(line.biennial) for line in trees]
    mass = np.array([USUAL_MASS if line.fruit_mass is None else 1000 * line.fruit_mass for line in trees])
    load = np.array([line.load for line in trees])
    mature = asked.mature
    return Stand(
        vigour=np.array([_vigour(line, asked) for line in trees]),
        vigour_spread=np.array([_spread(line) for line in trees]),
        stock=np.array([stocks.index(line.rootstock) for line in trees], dtype=np.int64),
        start=np.array([START_WHIP if asked.whips and line.own_graft else START_FEATHERED for line in trees]),
        wire=asked.wire,
        load=load,
        # A cultivar that may carry more turns at as much more.
        turning=np.array([habit.turning / habit.load for habit in habits]) * load,
        late_share=np.array([habit.late_share for habit in habits]),
        small=small_fruit(mass, load),
        mass=mass,
        first_leaf=np.array(
            [first_flowering_leaf(line.stock_precocity, line.scion_precocity) for line in trees], dtype=float
        ),
        full_crop=np.array(
            [
                mature.middle * line.ground_per_tree if line.kitchen_crop is None else line.kitchen_crop
                for line in trees
            ]
        ),
        full_crop_spread=log(mature.high / mature.low) / _KITCHEN_SPREAD,
        curve=curve_of(asked.share_by_leaf),
    )


def curve_of(shares: tuple[float, ...]) -> Floats:
    """Share of a full crop by leaf since the first with flowers; full after the table's end."""
    return np.array([*shares, *[1.0] * LEAVES])[:LEAVES]


def first_flowering_leaf(stock: StockPrecocity | None, scion: Grade | None) -> int:
    """First leaf with flowers worth counting: the stock's, a leaf earlier or later by the scion; never before 2."""
    first = _FIRST_LEAF[stock or StockPrecocity.EARLY]
    if first > 2:
        first += _SCION_DELAY[scion or Grade.MEDIUM]
    elif scion is Grade.LOW:
        first += 1
    return max(2, first)


def _vigour(line: NewTrees, asked: YearsQuestion) -> float:
    soil = asked.soil
    ground = soil_vigour(fertility=soil.fertility, depth=soil.depth, texture=soil.texture)
    scion = SCION_VIGOUR[line.scion_vigour]
    return (line.stock_vigour or 1.0) * scion * ground * replant_vigour(line.replant, soil.replanted)


def _spread(line: NewTrees) -> float:
    """Log spread of a stock's vigour from site to site; its low and high are taken as 10th and 90th percentile."""
    middle = line.stock_vigour or 1.0
    low = line.stock_vigour_low or middle * 0.85
    high = line.stock_vigour_high or middle * 1.15
    return max(log(high / low) / _DECILES, 0.08)
