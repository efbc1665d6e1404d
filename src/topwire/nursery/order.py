"""From the layout's numbers to the nursery's orders."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from math import prod

import numpy as np

from topwire.catalogue.model import Catalogue, Right
from topwire.choice.result import Choice
from topwire.layout.result import Layout
from topwire.notices import Faults, Notice, assumption, caution, fault, remark, warning
from topwire.nursery.prices import Price, price_notices, read_prices
from topwire.nursery.result import GraftLine, NurseryOrder, Policy, StockLine
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
from topwire.nursery.unions import Union, UnionRisk, UnionRow, may_graft_at_home, union_of
from topwire.nursery.wood import scion_sticks, stocks_to_order
from topwire.plan.model import Plan

WHERE = "nursery"
_PRICES_USED = (
    "bench graft stock",
    "scion wood",
    "grafting goods",
    "nursery care goods",
    "bought tree",
    "royalty",
)


@dataclass(frozen=True)
class PropagationRow:
    """One row of propagation.csv."""

    item: str
    low: float
    middle: float
    high: float
    unit: str
    source: str | None
    mark: str
    remark: str | None


@dataclass(frozen=True)
class _Wanted:
    """New trees of one cultivar on one stock."""

    cultivar: str
    rootstock: str
    trees: int
    at_home: bool
    reason: str
    union: Union
    success: float
    take: float


def order_trees(plan: Plan, catalogue: Catalogue, choice: Choice, layout: Layout) -> NurseryOrder:
    """Grafts, stocks, wood, rows, dates and cost for the new trees of the layout.

    Trees of protected cultivars, and of those whose right is not known, are bought. Where no tree is to be raised at
    home the order only lists what is bought.
    """
    figure = {row.item: row.middle for row in catalogue.rows("propagation", PropagationRow)}
    prices = read_prices(catalogue)
    steps = _chain_steps(plan, figure)
    chain = chain_success(*steps.values())
    wanted = _wanted(catalogue, layout, steps, figure["weak union penalty"])
    home = [line for line in wanted if line.at_home]
    correlation = figure["lot correlation"]
    graft_cost = _graft_cost(plan, prices, figure)
    try:
        started, policies = _starts(plan, home, steps, correlation, graft_cost, figure, prices)
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
    lines = _lines(wanted, started, correlation, figure, plan.nursery.tree_spacing)
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
        spares_policy=_compared(policies),
        nursery_area=ground.area,
        nursery_row_metres=ground.row_metres,
        cost=total * graft_cost + bought * prices["bought tree"].price + licensed * prices["royalty"].price,
        dates=nursery_dates(
            NurseryClock(
                plan.years.planting,
                plan.nursery.seasons,
                spring_shift(plan.place.latitude, plan.place.elevation),
            )
        )
        if total
        else (),
        notices=tuple(_notices(plan, catalogue, wanted, prices, steps)),
        policies=policies,
        chain_steps=tuple(steps.items()),
        lot_correlation=correlation,
        nursery_rows=ground.rows,
        bench_hours=total / figure[f"bench grafts per hour {skill}"],
        care_hours=total * figure["nursery care"] / 60 * plan.nursery.seasons,
    )


def _chain_steps(plan: Plan, figure: Mapping[str, float]) -> dict[str, float]:
    skill = plan.nursery.skill.value
    take = plan.nursery.take_rate or figure[f"take bench graft {skill}"]
    rest = {step: figure[f"{step} {skill}"] for step in ("overwinter", "grade", "transplant")}
    return {"take": take} | rest


def _wanted(
    catalogue: Catalogue, layout: Layout, steps: Mapping[str, float], penalty: float
) -> list[_Wanted]:
    unions = catalogue.rows("unions", UnionRow)
    rest = steps["overwinter"] * steps["grade"] * steps["transplant"]
    found = []
    for index, (name, stock) in enumerate(zip(layout.cultivars, layout.rootstock, strict=True)):
        trees = int(((layout.cultivar == index) & ~layout.standing).sum())
        if trees == 0:
            continue
        at_home, reason = may_graft_at_home(catalogue.cultivar[name].propagation_right)
        union = union_of(stock, name, unions)
        take = max(0.05, steps["take"] - (penalty if union.takes_worse else 0.0))
        found.append(_Wanted(name, stock, trees, at_home, reason, union, take * rest, take))
    return found


def _graft_cost(plan: Plan, prices: Mapping[str, Price], figure: Mapping[str, float]) -> float:
    """One graft from bought stock to the lifted tree, the grower's hours at the plan's wage included."""
    skill, seasons, wage = plan.nursery.skill.value, plan.nursery.seasons, plan.money.wage
    goods = sum(prices[item].price for item in ("bench graft stock", "scion wood", "grafting goods"))
    bench = wage / figure[f"bench grafts per hour {skill}"]
    care = seasons * (prices["nursery care goods"].price + wage * figure["nursery care"] / 60)
    return goods + bench + care


def _starts(
    plan: Plan,
    home: list[_Wanted],
    steps: Mapping[str, float],
    correlation: float,
    graft_cost: float,
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
        trees, success, np.full(len(home), graft_cost), chance=chance, correlation=correlation
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
            graft_cost=np.full(len(home), graft_cost),
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
            sum(alone) * graft_cost,
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


def _compared(policies: tuple[Policy, ...]) -> str:
    if len(policies) < 3:
        return "No spare plan reaches the chance asked for." if policies else "No tree is grafted at home."
    alone, joint, spare = policies
    return (
        f"{alone.grafts} grafts, each cultivar for itself, bring all of them through with a chance of "
        f"{alone.joint_chance:.0%}. To be {joint.joint_chance:.0%} sure of all takes {joint.grafts} grafts "
        f"({joint.cost:,.0f}). Cheaper: {spare.grafts} grafts, {spare.spare_stocks} spare stocks in one pool and "
        f"about {spare.august_buds:.0f} August buds on spares and failures give {spare.joint_chance:.0%} for "
        f"{spare.cost:,.0f}, with about {spare.late_trees:.0f} trees a season younger than the rest."
    )


def _lines(
    wanted: list[_Wanted],
    started: Mapping[str, int],
    correlation: float,
    figure: Mapping[str, float],
    tree_spacing: float,
) -> list[GraftLine]:
    lines = []
    metre = 0.0
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
        end = metre + grafts * tree_spacing
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
                f"nursery row metre {metre:.1f} to {end:.1f}",
                watch,
                line.success,
                round(grafts * figure["buds per bench graft"]),
                2
                + -(-sticks // 25)
                + line.trees,  # both ends of its stretch, bundles of 25, one for each tree
            )
        )
        metre = end
    return lines


def _stocks(
    catalogue: Catalogue, home: list[_Wanted], started: Mapping[str, int], culls: float
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


def _notices(
    plan: Plan,
    catalogue: Catalogue,
    wanted: list[_Wanted],
    prices: Mapping[str, Price],
    steps: Mapping[str, float],
) -> list[Notice]:
    notices: list[Notice] = []
    home = [line for line in wanted if line.at_home]
    if home:
        notices.append(
            caution(
                WHERE,
                "Grafting knives cause deep cuts, most often in the hand that holds the stock.",
                "Cut-resistant glove, blade away from the body, first aid on the bench.",
            )
        )
        notices.append(
            caution(
                WHERE,
                "Wood carries viruses and fire blight from tree to tree.",
                "Certified or tested wood; none from trees with fire blight; wipe blades with 70 % alcohol.",
            )
        )
        notices.append(
            caution(
                WHERE,
                "“Free” means no plant patent known to be in force. It is no legal advice, and sports of a free "
                "cultivar may be protected on their own.",
                "Ask where in doubt.",
                "PPATENT",
            )
        )
    protected = [line.cultivar for line in wanted if "protected" in line.reason]
    unknown = [line.cultivar for line in wanted if not line.at_home and "protected" not in line.reason]
    if protected:
        notices.append(
            caution(
                WHERE,
                f"Protected, so bought and never grafted at home: {', '.join(protected)}.",
                "Order finished trees from a licensed nursery, often two years ahead.",
                "PPATENT",
            )
        )
    if unknown:
        notices.append(
            warning(
                WHERE,
                f"The right to propagate is not known for {', '.join(unknown)}; their trees stand here as bought.",
                "Ask the breeder or a nursery; set propagation_right in catalogue/cultivars.csv to free or licensed.",
            )
        )
    breaks = [line for line in wanted if line.union.risk is UnionRisk.BREAK]
    if breaks:
        pairs = ", ".join(f"{line.cultivar} on {line.rootstock}" for line in breaks)
        notices.append(
            warning(
                WHERE,
                f"Unions known to break in wind or under crop: {pairs}.",
                "Take another stock (trees.rootstock_for), or stake before leaf-out and tie to every wire.",
                "ROOT-S7",
            )
        )
    weak = sorted({line.rootstock for line in wanted if line.union.risk in (UnionRisk.WEAK, UnionRisk.BREAK)})
    if weak:
        notices.append(
            caution(
                WHERE,
                f"Trees on {', '.join(weak)} can snap at the union when young.",
                "Stake at planting, before leaf-out; never pull a tree upright by its top.",
                "ROOT-S7",
            )
        )
    virus = sorted({line.rootstock for line in wanted if line.union.virus_sensitive})
    if virus:
        notices.append(
            warning(
                WHERE,
                f"{', '.join(virus)} dies or stalls from viruses that other stocks carry unseen; old trees of "
                "heritage cultivars often have them.",
                "Use only wood tested free of viruses on it.",
            )
        )
    whips = plan.nursery.seasons == 1
    notices.append(
        remark(
            WHERE,
            f"Bench grafts made in spring {plan.years.planting - plan.nursery.seasons + 1} are planted as "
            + ("whips" if whips else "feathered trees")
            + f" in autumn {plan.years.planting}.",
            "",
            "GFTREES",
        )
    )
    if home:
        take = "your own count" if plan.nursery.take_rate else f"a {plan.nursery.skill.value} grafter’s"
        notices.append(
            assumption(
                WHERE,
                f"Of 100 grafts {100 * chain_success(*steps.values()):.0f} end as good trees: take "
                f"{steps['take']:.0%} ({take}), winter {steps['overwinter']:.0%}, grade {steps['grade']:.0%}, "
                f"transplant {steps['transplant']:.0%}. Grade and winter are trade rules.",
                "Count your own lots and set nursery.take_rate.",
            )
        )
    return notices + price_notices(prices, _PRICES_USED, plan.money.currency, WHERE)
