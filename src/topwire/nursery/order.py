"""From the layout's numbers to the nursery's orders."""

from collections import Counter
from collections.abc import Mapping
from math import ceil, prod

import numpy as np

from topwire.catalogue.model import Catalogue, Right
from topwire.choice.result import Choice
from topwire.layout.result import Layout
from topwire.notices import Faults, fault
from topwire.nursery.demand import Wanted, trees_wanted
from topwire.nursery.figures import (
    PropagationRow,
    chain_steps,
    graft_cost,
    learnt_take,
    own_correlation,
    own_lots,
)
from topwire.nursery.prices import Price, read_prices
from topwire.nursery.result import GraftLine, NurseryOrder, Policy, StockLine, TopworkLine
from topwire.nursery.rows import nursery_ground
from topwire.nursery.schedule import NurseryClock, nursery_dates, spring_shift
from topwire.nursery.spares import Rates, cheapest_spare_plan
from topwire.nursery.starts import (
    OutOfReach,
    chain_success,
    chance_of_enough,
    least_cost_joint_start,
    smallest_start,
)
from topwire.nursery.telling import batch_notices, order_notices
from topwire.nursery.topwork import crop_lost, topwork
from topwire.nursery.wood import scion_sticks, stocks_to_order
from topwire.plan.model import Plan
from topwire.units import Kind, shown

# A standing tree grafted over: three stubs of 6 cm; crop by season after the nurse limb is gone (common practice).
_STUBS, _STUB = 3, 0.06
_GRAFTED_OVER = np.array([0.1, 0.5, 0.85])
_REPLANTED = np.array([0.0, 0.1, 0.3, 0.6, 0.8, 0.9])


def order_trees(plan: Plan, catalogue: Catalogue, choice: Choice, layout: Layout) -> NurseryOrder:
    """Grafts, stocks, wood, rows, dates and cost for the new trees of the layout.

    Trees of protected cultivars, and of those whose right is not known, are bought. Where no tree is to be raised at
    home the order only lists what is bought.
    """
    figure = {row.item: row.middle for row in catalogue.rows("propagation", PropagationRow)}
    prices = read_prices(catalogue)
    lots = own_lots(catalogue)
    correlation = figure["lot correlation"]
    learnt = learnt_take(plan, figure, lots, correlation)
    if lots and plan.nursery.take_rate is None:
        correlation = own_correlation(lots, correlation)
    steps = chain_steps(plan, figure, learnt)
    chain = chain_success(*steps.values())
    wanted = trees_wanted(catalogue, layout, steps, figure["weak union penalty"])
    home = [line for line in wanted if line.at_home]
    each = graft_cost(plan, prices, figure)
    try:
        started, policies = _starts(plan, home, steps, correlation, each, figure, prices)
    except OutOfReach as none:
        raise Faults(
            [
                fault(
                    "plan.yaml, nursery",
                    f"{none}.",
                    "Check take_rate and chance; a take rate is a share, 0.9 for nine grafts of ten.",
                )
            ]
        ) from none
    total = sum(started.values())
    ground = nursery_ground(
        total, tree_spacing=plan.nursery.tree_spacing, row_spacing=plan.nursery.row_spacing
    )
    lines = _lines(plan, wanted, started, correlation, figure)
    bought = sum(line.bought_trees for line in lines)
    licensed = sum(
        line.bought_trees
        for line in lines
        if catalogue.cultivar[line.cultivar].propagation_right is Right.LICENSED
    )
    skill = plan.nursery.skill.value
    return NurseryOrder(
        lines=tuple(lines),
        stocks=_stocks(catalogue, home, started, figure["stock culls"]),
        chain=chain,
        joint_chance=prod(line.chance for line in lines),
        spares_policy=_compared(policies, plan.money.currency),
        nursery_area=ground.area,
        nursery_row_metres=ground.row_metres,
        cost=total * each + bought * prices["bought tree"].price + licensed * prices["royalty"].price,
        dates=nursery_dates(
            NurseryClock(
                plan.years.planting,
                plan.nursery.seasons,
                spring_shift(plan.place.latitude, plan.place.elevation),
                plan.unit_system,
            )
        )
        if total
        else (),
        notices=(
            *order_notices(plan, wanted, prices, steps, lots, learnt),
            *batch_notices(choice.batches, home, started, plan.nursery.seasons),
        ),
        policies=policies,
        chain_steps=tuple(steps.items()),
        lot_correlation=correlation,
        nursery_rows=ground.rows,
        bench_hours=total / figure[f"bench grafts per hour {skill}"],
        care_hours=total * figure["nursery care"] / 60 * plan.nursery.seasons,
        take_range=learnt.range_80 if learnt else None,
        topworking=_topworking(layout, choice, figure, skill),
    )


def _starts(
    plan: Plan,
    home: list[Wanted],
    steps: Mapping[str, float],
    correlation: float,
    each: float,
    figure: Mapping[str, float],
    prices: Mapping[str, Price],
) -> tuple[dict[str, int], tuple[Policy, ...]]:
    """Grafts started by cultivar, and the three ways to be sure of them beside one another."""
    if not home:
        return {}, ()
    chance, jointly = plan.nursery.chance, plan.nursery.jointly
    trees = np.array([line.trees for line in home], dtype=np.int64)
    success = np.array([line.success for line in home])
    alone = [smallest_start(line.trees, line.success, chance, correlation) for line in home]
    alone_chance = prod(
        chance_of_enough(line.trees, n, line.success, correlation)
        for line, n in zip(home, alone, strict=True)
    )
    joint = least_cost_joint_start(
        trees, success, np.full(len(home), each), chance=chance, correlation=correlation
    )
    skill, wage = plan.nursery.skill.value, plan.money.wage
    care = plan.nursery.seasons * (prices["nursery care goods"].price + wage * figure["nursery care"] / 60)
    spare = cheapest_spare_plan(
        trees,
        Rates(
            take=np.array([line.take for line in home]),
            bud_take=figure[f"take chip bud {skill}"],
            rest=steps["overwinter"] * steps["grade"] * steps["transplant"],
            stock_lives=figure["stock lives after failed graft"],
            correlation=correlation,
            graft_cost=np.full(len(home), each),
            spare_cost=prices["bench graft stock"].price + care,
            bud_cost=prices["scion wood"].price
            + prices["grafting goods"].price
            + wage / figure[f"buds per hour {skill}"],
        ),
        chance=chance,
    )
    policies = [
        Policy(
            "each cultivar for itself",
            sum(alone),
            0,
            0.0,
            alone_chance,
            0.0,
            sum(alone) * each,
            not jointly,
        ),
        Policy("all cultivars together", sum(joint.started), 0, 0.0, joint.chance, 0.0, joint.cost, jointly),
    ]
    if spare is not None:
        policies.append(
            Policy(
                "pooled spares and August buds",
                sum(spare.started),
                spare.spares,
                spare.buds,
                spare.chance,
                spare.late_trees,
                spare.cost,
                False,
            )
        )
    chosen = joint.started if jointly else tuple(alone)
    return {line.cultivar: n for line, n in zip(home, chosen, strict=True)}, tuple(policies)


def _compared(policies: tuple[Policy, ...], currency: str) -> str:
    if not policies:
        return "No tree is grafted at home."
    alone, joint = policies[:2]
    said = (
        f"{alone.grafts} grafts, each cultivar for itself, bring all of them through with a chance of "
        f"{alone.joint_chance:.0%}. To be {joint.joint_chance:.0%} sure of all takes {joint.grafts} grafts "
        f"({joint.cost:,.0f} {currency}). "
    )
    if len(policies) < 3:
        return said + "No pool of spares reaches that chance."
    spare = policies[2]
    word = "Cheaper" if spare.cost < joint.cost else "No cheaper here"
    return said + (
        f"{word}: {spare.grafts} grafts, {spare.spare_stocks} spare stocks in one pool and about "
        f"{spare.august_buds:.0f} August buds on spares and failures give {spare.joint_chance:.0%} for "
        f"{spare.cost:,.0f} {currency}, with about {spare.late_trees:.0f} trees a season younger than the rest."
    )


def _lines(
    plan: Plan,
    wanted: list[Wanted],
    started: Mapping[str, int],
    correlation: float,
    figure: Mapping[str, float],
) -> list[GraftLine]:
    lines = []
    metre = 0.0

    def along(metres: float) -> str:
        return shown(metres, Kind.LENGTH, plan.unit_system)

    for line in wanted:
        grafts = started.get(line.cultivar, 0)
        watch = "; ".join(line.union.remarks)
        if not line.at_home:
            reason = line.reason + (f"; {watch}" if watch else "")
            lines.append(
                GraftLine(line.cultivar, line.rootstock, line.trees, False, 0, line.trees, 1.0, 0, "", reason)
            )
            continue
        sticks = scion_sticks(
            grafts,
            buds_per_graft=figure["buds per bench graft"],
            usable_buds_per_stick=figure["usable buds per dormant stick"],
            margin=figure["wood margin"],
        )
        end = metre + grafts * plan.nursery.tree_spacing
        lines.append(
            GraftLine(
                line.cultivar,
                line.rootstock,
                line.trees,
                True,
                grafts,
                0,
                chance_of_enough(line.trees, grafts, line.success, correlation),
                sticks,
                f"from {along(metre)} to {along(end)}",
                watch,
                line.success,
                round(grafts * figure["buds per bench graft"]),
                line.trees + ceil(sticks / 25) + 2,  # each tree, each bundle of 25, both ends of its row
            )
        )
        metre = end
    return lines


def _stocks(
    catalogue: Catalogue, home: list[Wanted], started: Mapping[str, int], culls: float
) -> tuple[StockLine, ...]:
    numbers: Counter[str] = Counter()
    for line in home:
        numbers[line.rootstock] += started[line.cultivar]
    lines = []
    for stock, number in sorted(numbers.items()):
        row = catalogue.rootstock.get(stock)
        protected = row is not None and row.propagation_right is not Right.FREE
        note = (
            "buy from a licensed nursery; may be grafted, not stooled or layered at home" if protected else ""
        )
        lines.append(StockLine(stock, stocks_to_order(number, culls=culls), note))
    return tuple(lines)


def _topworking(
    layout: Layout, choice: Choice, figure: Mapping[str, float], skill: str
) -> tuple[TopworkLine, ...]:
    """What grafting the standing trees over would take, by cultivar, beside planting new ones in their place."""
    full = {chosen.name: kg for chosen, kg in zip(choice.chosen, choice.yield_per_tree, strict=True)}
    lines = []
    for index, (name, stock) in enumerate(zip(layout.cultivars, layout.rootstock, strict=True)):
        trees = int(((layout.cultivar == index) & layout.standing).sum())
        if trees:
            work = topwork(
                trees, stubs_per_tree=_STUBS, stub_diameter=_STUB, take=figure[f"take bark graft {skill}"]
            )
            kilograms = float(full.get(name, 0.0))
            lines.append(
                TopworkLine(
                    name, stock, trees, work.scions, work.hours, work.chance_per_tree,
                    crop_lost(_GRAFTED_OVER, kilograms, delay=1, years=10),
                    crop_lost(_REPLANTED, kilograms, delay=1, years=10),
                )
            )  # fmt: skip
    return tuple(lines)
