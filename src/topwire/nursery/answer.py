"""From the layout's numbers to the nursery's orders."""

from collections import Counter
from collections.abc import Mapping, Sequence
from math import ceil

import numpy as np

from topwire.choice.wood import least_winters
from topwire.nursery.asked import NurseryQuestion, PropagationRates, StandingTrees, TreesWanted
from topwire.nursery.findings import (
    ChainSteps,
    GraftLine,
    NurseryFindings,
    Policy,
    StockLine,
    TopworkLine,
    Way,
    WoodLine,
)
from topwire.nursery.learning import Rate, learned, lot_correlation, rate_before
from topwire.nursery.rows import nursery_ground
from topwire.nursery.schedule import nursery_dates
from topwire.nursery.starts import OutOfReach, chain_success
from topwire.nursery.telling import order_notices
from topwire.nursery.topwork import crop_lost, topwork
from topwire.nursery.ways import Order, Raised, order_of
from topwire.nursery.wood import scion_sticks, stocks_to_order
from topwire.values.notice import CannotAnswer, refusal
from topwire.values.traits import Right, UnionRisk

# A standing tree grafted over: three stubs of 6 cm; crop by season after the nurse limb is gone (common practice).
_STUBS, _STUB = 3, 0.06
_GRAFTED_OVER = np.array([0.1, 0.5, 0.85])
_REPLANTED = np.array([0.0, 0.1, 0.3, 0.6, 0.8, 0.9])
FEW = 50  # trees up to which a buyer pays for them one by one: common practice, no source
_BUNDLE = 25  # sticks tied together under one label


def answer(asked: NurseryQuestion) -> NurseryFindings:
    """Grafts, stocks, wood, rows, dates and cost for the new trees.

    Trees of protected cultivars, and of those whose right is not known, are bought. Where no tree is to be raised at
    home the order only lists what is bought.

    Raises
    ------
    CannotAnswer
        When no number of grafts reaches the chance wanted.
    """
    rates = asked.rates
    correlation = _correlation(asked)
    learnt = _learnt_take(asked)
    take = asked.own_take_rate or (learnt.mean if learnt else rates.take)
    steps = ChainSteps(take, rates.overwinter, rates.grade, rates.transplant)
    home = [
        _raised(line, steps, rates) for line in asked.wanted if line.right is Right.FREE and not asked.buy
    ]
    each = graft_cost(asked)
    try:
        order = order_of(asked, home, steps, correlation, each, _care_cost(asked))
    except OutOfReach:
        lowest = min(line.success for line in home)
        raise CannotAnswer(
            [refusal("nursery.out_of_reach", setting="nursery.chance", chance=asked.chance, success=lowest)]
        ) from None
    started, chosen = order.started, order.chosen
    grafts = sum(started.values())
    total = grafts + order.spares
    buds = chosen.august_buds if chosen else 0.0
    ground = nursery_ground(total, tree_spacing=asked.tree_spacing, row_spacing=asked.row_spacing)
    lines = _lines(asked, home, order)
    licensed = sum(line.bought_trees for line in lines if line.right is Right.LICENSED)
    bought = sum(line.bought_trees for line in lines)
    wood = wood_lines(asked, started)
    mothers = sum(line.mothers for line in wood)
    prices = asked.prices
    return NurseryFindings(
        lines=lines,
        stocks=_stocks(home, order, rates.stock_culls),
        steps=steps,
        chain=chain_success(steps.take, steps.overwinter, steps.grade, steps.transplant),
        take_range=learnt.range_80 if learnt else None,
        joint_chance=chosen.joint_chance if chosen else 1.0,
        policies=(*order.policies, *(_bought_way(asked) if chosen else ())),
        troubles=order.troubles,
        spare_stocks=order.spares,
        spare_stock=order.spare_stock,
        lot_correlation=correlation,
        nursery_rows=ground.rows,
        nursery_area=ground.area,
        nursery_row_length=ground.row_metres,
        bench_hours=(grafts + mothers) / rates.bench_grafts_per_hour + buds / rates.buds_per_hour,
        care_hours=total * rates.care_minutes / 60 * asked.seasons,
        cost=(chosen.cost if chosen else 0.0)
        + bought * tree_price(asked, bought)
        + mothers * each
        + licensed * prices.royalty.price,
        currency=asked.currency,
        dates=nursery_dates(
            asked.planting_year, asked.seasons, asked.spring_shift, _mother_winters(asked, wood)
        )
        if total
        else (),
        wood=wood,
        topworking=tuple(_topwork(line, rates) for line in asked.standing),
        notices=tuple(order_notices(asked, steps, learnt, order, lines, wood)),
    )


def tree_price(asked: NurseryQuestion, trees: int) -> float:
    """Of one bought tree where so many are ordered."""
    return (asked.prices.bought_few if trees <= FEW else asked.prices.bought_tree).price


def _bought_way(asked: NurseryQuestion) -> tuple[Policy, ...]:
    """All new trees bought, beside grafting them."""
    trees = sum(line.trees for line in asked.wanted)
    licensed = sum(line.trees for line in asked.wanted if line.right is Right.LICENSED)
    cost = trees * tree_price(asked, trees) + licensed * asked.prices.royalty.price
    return (Policy(Way.BOUGHT, 0, 0, 0.0, 1.0, 0.0, 0.0, cost, chosen=False),)


def wood_lines(asked: NurseryQuestion, started: Mapping[str, int]) -> tuple[WoodLine, ...]:
    """Winter by winter, how the wood of the cultivars whose wood is scarce becomes the grafts started."""
    last = asked.planting_year - asked.seasons + 1
    lines = []
    for cultivar, sticks in asked.wood.items():
        wanted = started.get(cultivar, 0)
        if not wanted:
            continue
        for winter in least_winters(wanted, sticks, asked.wood_winters, asked.wood_rates):
            mothers = winter.grafts if winter.before else 0
            lines.append(
                WoodLine(
                    cultivar, last - winter.before, winter.fetched, winter.own, winter.grafts, mothers,
                    0 if winter.before else wanted,
                )
            )  # fmt: skip
    return tuple(lines)


def _mother_winters(asked: NurseryQuestion, wood: Sequence[WoodLine]) -> int:
    """Winters before that of grafting in which the first mother tree is grafted."""
    last = asked.planting_year - asked.seasons + 1
    return max((last - line.year for line in wood if line.mothers), default=0)


def _correlation(asked: NurseryQuestion) -> float:
    """Of the fates of grafts in one lot: the own lots' where there are enough of them, within sensible bounds."""
    usual = asked.rates.lot_correlation
    found = lot_correlation(asked.lots) if asked.own_take_rate is None else None
    return usual if found is None else min(max(found, 0.005), 0.2)


def _learnt_take(asked: NurseryQuestion) -> Rate | None:
    """Take rate after the grower's own counts; None where there is none, or the plan states the rate."""
    if not asked.lots or asked.own_take_rate is not None:
        return None
    return learned(rate_before(asked.rates.take), asked.lots, asked.rates.lot_correlation)


def _raised(line: TreesWanted, steps: ChainSteps, rates: PropagationRates) -> Raised:
    penalty = rates.weak_union_penalty if line.union is UnionRisk.BREAK else 0.0
    take = max(0.05, steps.take - penalty)
    return Raised(line, take, take * steps.overwinter * steps.grade * steps.transplant)


def graft_cost(asked: NurseryQuestion) -> float:
    """One graft from bought stock to the lifted tree, the grower's hours at the plan's wage included."""
    prices, rates = asked.prices, asked.rates
    goods = prices.graft_stock.price + prices.scion_wood.price + prices.grafting_goods.price
    return goods + asked.wage / rates.bench_grafts_per_hour + _care_cost(asked)


def _care_cost(asked: NurseryQuestion) -> float:
    """One young tree in the nursery row, all its seasons."""
    return asked.seasons * (asked.prices.care_goods.price + asked.wage * asked.rates.care_minutes / 60)


def _lines(asked: NurseryQuestion, home: Sequence[Raised], order: Order) -> tuple[GraftLine, ...]:
    rates = asked.rates
    raised = {line.wanted.cultivar: line for line in home}
    lines = []
    metre = 0.0
    for want in asked.wanted:
        line = raised.get(want.cultivar)
        if line is None:
            lines.append(
                GraftLine(
                    want.cultivar, want.rootstock, want.trees, want.right, 0, want.trees, 1.0, 0, None, None,
                    want.union_remarks, 1.0, 0, 0, want.trade_marks,
                )
            )  # fmt: skip
            continue
        grafts = order.started[want.cultivar]
        sticks = scion_sticks(
            grafts,
            buds_per_graft=rates.buds_per_graft,
            usable_buds_per_stick=rates.usable_buds_per_stick,
            margin=rates.wood_margin,
        )
        end = metre + grafts * asked.tree_spacing
        lines.append(
            GraftLine(
                want.cultivar,
                want.rootstock,
                want.trees,
                want.right,
                grafts,
                0,
                order.chances[want.cultivar],
                sticks,
                metre,
                end,
                want.union_remarks,
                line.success,
                round(grafts * rates.buds_per_graft),
                want.trees + ceil(sticks / _BUNDLE) + 2,  # each tree, each bundle, both ends of its row
                want.trade_marks,
            )
        )
        metre = end
    return tuple(lines)


def _stocks(home: Sequence[Raised], order: Order, culls: float) -> tuple[StockLine, ...]:
    numbers: Counter[str] = Counter()
    for line in home:
        numbers[line.wanted.rootstock] += order.started[line.wanted.cultivar]
    if order.spares:
        numbers[order.spare_stock] += order.spares
    protected = {line.wanted.rootstock for line in home if line.wanted.stock_protected}
    return tuple(
        StockLine(stock, ordered, stock in protected, ordered - number)
        for stock, number in sorted(numbers.items())
        for ordered in (stocks_to_order(number, culls=culls),)
    )


def _topwork(line: StandingTrees, rates: PropagationRates) -> TopworkLine:
    """What grafting the standing trees over would take, beside planting new ones in their place."""
    work = topwork(line.trees, stubs_per_tree=_STUBS, stub_diameter=_STUB, take=rates.bark_graft_take)
    return TopworkLine(
        line.cultivar,
        line.rootstock,
        line.trees,
        work.scions,
        work.hours,
        work.chance_per_tree,
        crop_lost(_GRAFTED_OVER, line.full_crop, delay=1, years=10),
        crop_lost(_REPLANTED, line.full_crop, delay=1, years=10),
    )
