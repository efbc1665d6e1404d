"""The question put to the programme: candidates with their fruit, needs, limits and pollen donors of one plan."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from topwire.catalogue.model import Catalogue, Cultivar, Right, Susceptibility
from topwire.catalogue.unions import UnionRisk, UnionRow
from topwire.choice import reasons
from topwire.choice.needs import WeeklyNeed, weekly_needs
from topwire.choice.planting import Donors, Limits
from topwire.choice.pollination import bloom_overlap, compatibility, useful_donors
from topwire.choice.supply import Supply, candidates, supply_of
from topwire.notices import Faults
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.kitchen import Resistance
from topwire.plan.model import Plan

DISEASE_COST = 0.5  # times the cost of a tree, for each of scab and fire blight it is very susceptible to
# Further cost, times the cost of a tree. Planning figures, no source: what a bought tree costs beyond an own graft, and
# stakes and losses where the union is weak, both spread over the life of the tree.
BOUGHT_COST = 0.25
WEAK_COST = 0.25


@dataclass(frozen=True)
class Places:
    """What the choice needs to know of the ground.

    Attributes
    ----------
    capacity : tree places, those of standing trees included
    ground_per_tree : [m2] row spacing times tree spacing
    standing : trees already there, by cultivar
    """

    capacity: int
    ground_per_tree: float
    standing: Mapping[str, int]


@dataclass(frozen=True)
class Question:
    """What the programme is asked.

    Attributes
    ----------
    supply : candidates over the weather years; weighed : the same with some harder springs, for choosing
    useful : (donors, parents) dependable pollen donors
    left_out : cultivars that are no candidates, and why
    """

    supply: Supply
    weighed: Supply
    needs: tuple[WeeklyNeed, ...]
    limits: Limits
    useful: Donors
    left_out: Mapping[str, str]

    @property
    def says(self) -> str:
        years = self.supply.years.size
        return f"weighing {len(self.supply.cultivars)} cultivars over {years} weather years and {len(self.needs)} needs"


def question(plan: Plan, catalogue: Catalogue, seasons: PlaceSeasons, places: Places) -> Question:
    """The plan's question at this place, on this ground.

    Raises
    ------
    Faults
        When no cultivar is left to choose from.
    """
    needs = weekly_needs(plan.kitchen, catalogue, plan.unit_system)
    rows, left_out = candidates(
        catalogue.cultivars, seasons, wanted=plan.taste.must_have, unwanted=plan.taste.must_not_have
    )
    rows, left_out = _resistant(plan, rows, left_out)
    rows, left_out = _to_be_had(plan, rows, left_out, places.standing)
    unions = catalogue.rows("unions", UnionRow)
    rows, left_out = _united(plan, rows, left_out, places.standing, unions)
    if not rows:
        raise Faults([reasons.nothing_left(left_out)])
    supply = supply_of(
        rows,
        seasons,
        ground_per_tree=places.ground_per_tree,
        cellar=plan.kitchen.cellar.temperature,
    )
    columns = [seasons.cultivars.index(row.name) for row in rows]
    overlap = bloom_overlap(seasons.first_bloom[:, columns], seasons.petal_fall[:, columns])
    useful = useful_donors(overlap, compatibility(rows))
    weak = frozenset(row.name for row in rows if _union(plan, row.name, unions) is UnionRisk.WEAK)
    limits = limits_of(plan, rows, places, weak=weak)
    return Question(supply, supply.with_harder_springs(), needs, limits, useful, left_out)


def limits_of(
    plan: Plan, rows: Sequence[Cultivar], places: Places, *, weak: frozenset[str] = frozenset()
) -> Limits:
    """The plan's numbers as the programme takes them; `weak` are cultivars with a weak union on their stock."""
    standing = places.standing
    already = sum(standing.values())
    room = places.capacity
    if isinstance(plan.trees.total, int):
        room = min(room, already + plan.trees.total)
    taste = plan.taste
    here = {row.name for row in rows}
    others = already - sum(count for name, count in standing.items() if name in here)
    cost = np.ones(len(rows))
    if taste.disease_resistance is not Resistance.ANY:
        cost += DISEASE_COST * np.array([_very_susceptible(row) for row in rows])
    cost += BOUGHT_COST * np.array([row.propagation_right is not Right.FREE for row in rows])
    cost += WEAK_COST * np.array([row.name in weak for row in rows])
    return Limits(
        places=room - others,
        fewest_trees=taste.fewest_trees,
        most_trees=taste.most_trees,
        fewest_cultivars=taste.fewest_cultivars,
        most_cultivars=taste.most_cultivars,
        heritage_share=taste.heritage_share,
        must_have=tuple(taste.must_have),
        standing={name: count for name, count in standing.items() if name in here},
        tree_cost=cost,
        board=plan.kitchen.different_on_the_board,
        press_week=plan.kitchen.press.weekly_capacity,
        cellar=plan.kitchen.cellar.capacity,
    )


def _to_be_had(
    plan: Plan, rows: tuple[Cultivar, ...], left_out: dict[str, str], standing: Mapping[str, int]
) -> tuple[tuple[Cultivar, ...], dict[str, str]]:
    """Where only own grafts are wanted, cultivars that have to be bought are left out unless they must be there."""
    if not plan.taste.own_grafts_only:
        return rows, left_out
    stays = set(plan.taste.must_have) | set(standing)
    bought = {row.name for row in rows if row.propagation_right is not Right.FREE} - stays
    reason = (
        "its trees have to be bought (protected, or the right not known), and the plan wants own grafts only"
    )
    return tuple(row for row in rows if row.name not in bought), left_out | dict.fromkeys(bought, reason)


def _united(
    plan: Plan,
    rows: tuple[Cultivar, ...],
    left_out: dict[str, str],
    standing: Mapping[str, int],
    unions: Sequence[UnionRow],
) -> tuple[tuple[Cultivar, ...], dict[str, str]]:
    """Cultivars known to break at the union with their stock are left out, unless the plan names them.

    A stock stated for the cultivar is the grower's own word: it is kept, and the nursery warns.
    """
    stays = set(plan.taste.must_have) | set(standing) | set(plan.trees.rootstock_for)
    stock = plan.trees.rootstock
    reason = f"its union with {stock} is known to break; state another stock for it (trees, rootstock_for) to have it"
    breaks = {row.name for row in rows if _union(plan, row.name, unions) is UnionRisk.BREAK} - stays
    return tuple(row for row in rows if row.name not in breaks), left_out | dict.fromkeys(breaks, reason)


def _union(plan: Plan, cultivar: str, unions: Sequence[UnionRow]) -> UnionRisk | None:
    """What is known of the very pair. A weak stock is weak under all alike and decides nothing between cultivars."""
    stock = plan.trees.rootstock_for.get(cultivar, plan.trees.rootstock)
    risks = [row.risk for row in unions if row.rootstock == stock and row.cultivar == cultivar]
    return next((risk for risk in risks if risk is not UnionRisk.VIRUS), None)


def _very_susceptible(row: Cultivar) -> int:
    return sum(rating is Susceptibility.VERY_SUSCEPTIBLE for rating in (row.scab, row.fire_blight))


def _resistant(
    plan: Plan, rows: tuple[Cultivar, ...], left_out: dict[str, str]
) -> tuple[tuple[Cultivar, ...], dict[str, str]]:
    """Where strong resistance is wanted, cultivars known to be susceptible are left out unless they must be there."""
    if plan.taste.disease_resistance is not Resistance.STRONG:
        return rows, left_out
    weak = (Susceptibility.SUSCEPTIBLE, Susceptibility.VERY_SUSCEPTIBLE)
    kept = []
    for row in rows:
        ills = [
            name for name, rating in (("scab", row.scab), ("fire blight", row.fire_blight)) if rating in weak
        ]
        if ills and row.name not in plan.taste.must_have:
            left_out = left_out | {
                row.name: f"it is susceptible to {' and '.join(ills)}, and strong resistance is wanted"
            }
        else:
            kept.append(row)
    return tuple(kept), left_out
