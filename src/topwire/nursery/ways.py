"""The ways to be sure of the trees, beside one another, and which of them is the order: the cheapest that is sure."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import prod

import numpy as np

from topwire.nursery.asked import NurseryQuestion, TreesWanted
from topwire.nursery.findings import BatchTrouble, ChainSteps, Policy, Trouble, Way
from topwire.nursery.spares import Rates, SparePlan, cheapest_spare_plan, outcome, without_pool
from topwire.nursery.starts import (
    Floats,
    Integers,
    chance_of_enough,
    least_cost_joint_start,
    smallest_start,
)

_TROUBLED = 5_000  # nurseries drawn for bad lots of wood
_FEW_TO_SPARE = 0.1  # of the risk goes to the cultivars outside the pool
# Sizes of the troubles: proposals.
_BAD_WEEK, _LATE_FROST, _BAD_LOT, _BAD_LOTS = 0.9, 0.8, 0.5, 0.1


@dataclass(frozen=True)
class Raised:
    """A cultivar raised at home: what is wanted and how its grafts fare."""

    wanted: TreesWanted
    take: float
    success: float


@dataclass(frozen=True)
class Order:
    """What is started.

    Attributes
    ----------
    started, chances : grafts, and chance of enough trees, by cultivar
    spares : stocks without a graft, of `spare_stock`
    policies : every way, the chosen one marked
    troubles : what the order comes to when a whole batch has bad luck
    """

    started: Mapping[str, int]
    chances: Mapping[str, float]
    spares: int
    spare_stock: str
    policies: tuple[Policy, ...]
    troubles: tuple[BatchTrouble, ...]

    @property
    def chosen(self) -> Policy | None:
        return next((line for line in self.policies if line.chosen), None)


NOTHING = Order({}, {}, 0, "", (), ())


def order_of(
    asked: NurseryQuestion,
    home: Sequence[Raised],
    steps: ChainSteps,
    correlation: float,
    graft: float,
    care: float,
) -> Order:
    """The order: where the chance is wanted for all together, the cheapest way that reaches it.

    Parameters
    ----------
    graft, care : float
        Cost of one graft from stock to lifted tree, and of one young tree in the nursery row.

    Raises
    ------
    OutOfReach
        When no number of grafts reaches the chance.
    """
    if not home:
        return NOTHING
    wanted = np.array([line.wanted.trees for line in home], dtype=np.int64)
    success = np.array([line.success for line in home])
    rates = _rates(asked, home, steps, correlation, graft, care)
    alone = np.array(
        [smallest_start(line.wanted.trees, line.success, asked.chance, correlation) for line in home]
    )
    joint = least_cost_joint_start(
        wanted, success, rates.graft_cost, chance=asked.chance, correlation=correlation
    )
    together = np.array(joint.started)
    stock = Counter({line.wanted.rootstock: 0 for line in home})
    for line in home:
        stock[line.wanted.rootstock] += line.wanted.trees
    main = stock.most_common(1)[0][0]
    pooled = _pooled(wanted, success, rates, [line.wanted.rootstock == main for line in home], asked.chance)
    exact = {
        Way.ALONE: prod(
            chance_of_enough(int(n), int(s), float(p), correlation)
            for n, s, p in zip(wanted, alone, success, strict=True)
        ),
        Way.TOGETHER: joint.chance,
    }
    plain = replace(rates, stock_lives=0.0)
    runs = {
        Way.ALONE: without_pool(wanted, alone, rates),
        Way.TOGETHER: without_pool(wanted, together, rates),
    }
    if pooled is not None:
        runs[Way.POOLED] = pooled
        exact[Way.POOLED] = pooled.chance
    sure = [way for way in runs if way is not Way.ALONE and exact[way] >= asked.chance - 1e-9]
    chosen = min(sure, key=lambda way: runs[way].cost) if asked.jointly else Way.ALONE
    order = runs[chosen]
    names = [line.wanted.cultivar for line in home]
    each = order.each
    if chosen is not Way.POOLED:
        each = tuple(
            chance_of_enough(int(n), int(s), float(p), correlation)
            for n, s, p in zip(wanted, order.started, success, strict=True)
        )
    return Order(
        dict(zip(names, order.started, strict=True)),
        dict(zip(names, each, strict=True)),
        order.spares,
        main,
        tuple(
            Policy(
                way, sum(run.started), run.spares, run.buds, exact[way], run.late_trees, run.missing, run.cost,
                way is chosen,
            )
            for way, run in runs.items()
        ),
        _troubles(wanted, order, rates if chosen is Way.POOLED else plain, asked.chance),
    )  # fmt: skip


def _rates(
    asked: NurseryQuestion,
    home: Sequence[Raised],
    steps: ChainSteps,
    correlation: float,
    graft: float,
    care: float,
) -> Rates:
    rates, prices = asked.rates, asked.prices
    return Rates(
        take=np.array([line.take for line in home]),
        bud_take=rates.chip_bud_take,
        rest=steps.overwinter * steps.grade * steps.transplant,
        stock_lives=rates.stock_lives_after_failure,
        correlation=correlation,
        graft_cost=np.full(len(home), graft),
        spare_cost=prices.graft_stock.price + care,
        bud_cost=prices.scion_wood.price + prices.grafting_goods.price + asked.wage / rates.buds_per_hour,
    )


def _pooled(
    wanted: Integers, success: Floats, rates: Rates, pool: Sequence[bool], chance: float
) -> SparePlan | None:
    """Spares and August buds for the cultivars on the commonest stock; the others each have spare grafts."""
    inside = np.array(pool)
    if inside.all():
        return cheapest_spare_plan(wanted, rates, chance=chance)
    rest = 1 - (1 - chance) * _FEW_TO_SPARE
    others = least_cost_joint_start(
        wanted[~inside],
        success[~inside],
        rates.graft_cost[~inside],
        chance=rest,
        correlation=rates.correlation,
    )
    mine = replace(rates, take=rates.take[inside], graft_cost=rates.graft_cost[inside])
    found = cheapest_spare_plan(wanted[inside], mine, chance=chance / others.chance)
    if found is None:
        return None
    started, each = np.zeros(len(wanted), dtype=np.int64), np.zeros(len(wanted))
    started[inside], started[~inside] = found.started, others.started
    each[inside], each[~inside] = found.each, others.chance_each
    return replace(
        found,
        started=tuple(int(n) for n in started),
        each=tuple(float(share) for share in each),
        chance=found.chance * others.chance,
        cost=found.cost + others.cost,
    )


def _troubles(wanted: Integers, order: SparePlan, rates: Rates, chance: float) -> tuple[BatchTrouble, ...]:
    """The order once more with bad luck that strikes a whole batch."""
    started = np.array(order.started)
    random = np.random.default_rng(23)
    lots = np.where(random.random((_TROUBLED, len(wanted))) < _BAD_LOTS, _BAD_LOT, 1.0)
    cases: tuple[tuple[Trouble, float | Floats], ...] = (
        (Trouble.BAD_WEEK, _BAD_WEEK),
        (Trouble.LATE_FROST, _LATE_FROST),
        (Trouble.BAD_WOOD, lots),
    )
    found = []
    for trouble, hit in cases:
        run = outcome(wanted, started, order.spares, rates, chance, 7, np.broadcast_to(hit, lots.shape))
        found.append(BatchTrouble(trouble, run.chance, run.missing))
    return tuple(found)
