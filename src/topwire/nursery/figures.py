"""The figures an order rests on: rates of each step, what own counts teach, the cost of one graft."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.catalogue.model import Catalogue
from topwire.notices import Faults, fault
from topwire.nursery.learning import Lot, Rate, TakeRow, learned, lot_correlation, rate_before
from topwire.nursery.prices import Price
from topwire.plan.model import Plan


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


def own_lots(catalogue: Catalogue) -> tuple[Lot, ...]:
    """The grower's own counts, from own_takes.csv.

    Raises
    ------
    Faults
        With every row whose count cannot be.
    """
    lots, faults = [], []
    for row in catalogue.rows("own_takes", TakeRow):
        try:
            lots.append(Lot(row.started, row.good))
        except ValueError as wrong:
            faults.append(fault(f"catalogue/own_takes.csv, lot {row.lot}", f"{wrong}."))
    if faults:
        raise Faults(faults)
    return tuple(lots)


def learnt_take(
    plan: Plan, figure: Mapping[str, float], lots: tuple[Lot, ...], correlation: float
) -> Rate | None:
    """Take rate after the grower's own counts; None where there is none, or the plan states the rate."""
    if not lots or plan.nursery.take_rate is not None:
        return None
    return learned(rate_before(figure[f"take bench graft {plan.nursery.skill.value}"]), lots, correlation)


def own_correlation(lots: tuple[Lot, ...], usual: float) -> float:
    """Correlation of the own lots where there are enough of them, within sensible bounds; else the usual one."""
    found = lot_correlation(lots)
    return usual if found is None else min(max(found, 0.005), 0.2)


def chain_steps(plan: Plan, figure: Mapping[str, float], learnt: Rate | None) -> dict[str, float]:
    skill = plan.nursery.skill.value
    take = plan.nursery.take_rate or (learnt.mean if learnt else figure[f"take bench graft {skill}"])
    rest = {step: figure[f"{step} {skill}"] for step in ("overwinter", "grade", "transplant")}
    return {"take": take} | rest


def graft_cost(plan: Plan, prices: Mapping[str, Price], figure: Mapping[str, float]) -> float:
    """One graft from bought stock to the lifted tree, the grower's hours at the plan's wage included."""
    skill, seasons, wage = plan.nursery.skill.value, plan.nursery.seasons, plan.money.wage
    goods = sum(prices[item].price for item in ("bench graft stock", "scion wood", "grafting goods"))
    bench = wage / figure[f"bench grafts per hour {skill}"]
    care = seasons * (prices["nursery care goods"].price + wage * figure["nursery care"] / 60)
    return goods + bench + care
