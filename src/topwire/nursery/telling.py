"""What has to be said with an order: dangers, the law, unions and viruses, what the figures rest on."""

from collections.abc import Mapping, Sequence
from math import ceil

from topwire.catalogue.unions import UnionRisk
from topwire.choice.result import Batches
from topwire.notices import Notice, assumption, caution, remark, warning
from topwire.nursery.demand import Wanted
from topwire.nursery.learning import Lot, Rate
from topwire.nursery.prices import Price, price_notices
from topwire.nursery.starts import chain_success
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


def order_notices(
    plan: Plan,
    wanted: list[Wanted],
    prices: Mapping[str, Price],
    steps: Mapping[str, float],
    lots: tuple[Lot, ...],
    learnt: Rate | None,
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
        take = f"a {plan.nursery.skill.value} grafter’s"
        if plan.nursery.take_rate:
            take = "as the plan states"
        elif learnt:
            low, high = learnt.range_80
            take = f"learnt from {len(lots)} of your own lots, between {low:.0%} and {high:.0%}"
        notices.append(
            assumption(
                WHERE,
                f"Of 100 grafts {100 * chain_success(*steps.values()):.0f} end as good trees: take "
                f"{steps['take']:.0%} ({take}), winter {steps['overwinter']:.0%}, grade {steps['grade']:.0%}, "
                f"transplant {steps['transplant']:.0%}. Grade and winter are trade rules.",
                "Count each lot in June and write it into catalogue/own_takes.csv.",
            )
        )
    return notices + price_notices(prices, _PRICES_USED, plan.money.currency, WHERE)


def batch_notices(
    batches: Batches | None, home: Sequence[Wanted], started: Mapping[str, int], seasons: int
) -> list[Notice]:
    """The order shared out among several planting autumns, by the trees of each."""
    if batches is None or not batches.planned or len(batches.autumns) < 2:
        return []
    trees = {line.cultivar: line.trees for line in home}
    parts = []
    for batch in batches.autumns:
        mine = [(name, count) for name, count in batch.trees if name in trees]
        grafts = sum(ceil(started[name] * count / trees[name]) for name, count in mine)
        number, spring = sum(count for _, count in mine), batch.autumn - seasons + 1
        parts.append(
            f"{number} trees for autumn {batch.autumn} from about {grafts} grafts in spring {spring}"
        )
    says = f"This order counts the trees of all planting autumns together. Of them: {'; '.join(parts)}."
    remedy = (
        "Order stocks and wood autumn by autumn, by the table of batches; dates here are those of the first. "
        "Small lots need a spare or two more than their share."
    )
    return [warning(WHERE, says, remedy)]
