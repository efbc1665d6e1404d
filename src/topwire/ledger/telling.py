"""What has to be said with the account: missing bills, weeks short of hands, dangers, what the figures rest on."""

from collections.abc import Mapping

from topwire.choice.result import Batches
from topwire.growth.wording import hours_words
from topwire.ledger.work import WorkLoad
from topwire.notices import Notice, assumption, caution, remark, warning
from topwire.plan.model import Plan
from topwire.trellis.result import TrellisDesign
from topwire.water.findings import WaterPlan

WHERE = "ledger"


def account_notices(
    plan: Plan,
    load: WorkLoad,
    trellis: TrellisDesign | None,
    water: WaterPlan | None,
    short: tuple[tuple[int, int, float], ...],
    per_hectare: float,
    establishment: Mapping[str, float],
) -> list[Notice]:
    notices: list[Notice] = []
    units = plan.unit_system
    for name, result in (("trellis", trellis), ("irrigation", water)):
        if result is None:
            notices.append(
                warning(
                    WHERE,
                    f"The {name} could not be sized, so its bill and hours are missing from every sum here.",
                )
            )
    if short:
        worst = max(short, key=lambda item: item[2])
        notices.append(
            warning(
                WHERE,
                f"{len(short)} weeks of the {plan.years.horizon} years need more hours than {plan.money.hands:g} "
                f"people give; the worst is week {worst[1]} of {plan.years.planting + worst[0]}, "
                f"{worst[2]:.0f} hours beyond.",
                "Hire for these weeks, choose cultivars that ripen apart, or spread planting over two autumns.",
            )
        )
    notices.append(
        caution(
            WHERE,
            "Ladders, wire under tension, pruning tools and tractors on a slope cause most injuries in orchards.",
            "See the cautions in the calendar; never work alone with the auger, the chain saw or the tractor.",
        )
    )
    notices.append(
        remark(
            WHERE,
            f"A full-grown year takes {hours_words(per_hectare, units)} without pressing and preserving, against "
            f"{hours_words(1334, units)} on a small hands-on farm and about {hours_words(300, units)} in commercial "
            "blocks.",
            "",
            "TRAIN-GOA",
        )
    )
    notices.append(
        assumption(
            WHERE,
            "Fruit is valued at what it would cost to buy, not at the price on the menu; own hours are paid the wage "
            "of the plan; no tax, grant or land price is in it; money is of one year, without inflation.",
        )
    )
    per_tree = sum(establishment.values()) / max(load.trees, 1)
    notices.append(
        remark(
            WHERE,
            f"Establishment comes to {per_tree:,.2f} {plan.money.currency} a tree; published budgets of 2005 ran from "
            "8.83 to 21.94 USD a tree in the money of that year.",
            "",
            "MON-ROB05",
        )
    )
    return notices


def batch_notices(batches: Batches | None) -> list[Notice]:
    """The account knows one planting autumn only."""
    if batches is None or not batches.planned or len(batches.autumns) < 2:
        return []
    first, last = batches.autumns[0].autumn, batches.autumns[-1].autumn
    says = f"Trees are planted in {len(batches.autumns)} autumns, {first} to {last}; all sums and hours here take them "
    late = f"{last - first} year{'s' if last - first > 1 else ''}"
    remedy = f"Cost, work and crops of the last batch come {late} later than shown here."
    return [warning(WHERE, f"{says}as planted in {first}.", remedy)]
