"""What has to be said with a forecast: pairs that stall, trees that alternate, what the figures rest on."""

from collections.abc import Mapping

import numpy as np

from topwire.catalogue.model import Catalogue, Grade
from topwire.growth.leader import LEADER_GROWTH, START_WHIP
from topwire.growth.load import USUAL_MASS
from topwire.growth.orchard import Stand
from topwire.growth.result import SugarYear, TrialLine
from topwire.growth.rows import LoadRow
from topwire.growth.trunk import Floats, Integers
from topwire.growth.wording import yield_words
from topwire.layout.findings import Layout
from topwire.notices import Notice, assumption, remark, warning
from topwire.plan.model import Plan
from topwire.values.units import Kind, shown

WHERE = "years"


def sugar_notices(sugar: tuple[SugarYear, ...]) -> list[Notice]:
    """How often sugar is short when the fruit is thinned, and what the index is not."""
    if not sugar:
        return []
    short = sum(year.index < 0 for year in sugar)
    return [
        remark(
            WHERE,
            f"In {short} of {len(sugar)} weather years the main thinning window falls in days with less sugar than "
            "ordinary: fruit drops more easily then. The index is relative; the published table of grams a day belongs "
            "to another model's tree and must not be used with it.",
            "Watch the forecast from bloom on; thin less when it turns warm and dim.",
            "THIN-PSU",
        )
    ]


def forecast_notices(
    plan: Plan,
    catalogue: Catalogue,
    layout: Layout,
    stand: Stand,
    reaches: Floats,
    trees: Integers,
    mature: Floats,
    loads: Mapping[str, LoadRow],
    trials: tuple[TrialLine, ...],
) -> list[Notice]:
    notices: list[Notice] = []
    units = plan.unit_system
    planted = [index for index in range(len(layout.cultivars)) if trees[index] > 0]
    never = [index for index in planted if np.isnan(reaches[index, 1])]
    slow = [index for index in planted if index not in never and not reaches[index, 1] <= 6]
    for which, says in (
        (never, "More often than not the leader never reaches the top wire"),
        (slow, "The leader needs seven leaves or more to the top wire"),
    ):
        if which:
            pairs = ", ".join(f"{layout.cultivars[index]} on {layout.rootstock[index]}" for index in which)
            notices.append(
                warning(
                    WHERE,
                    f"{says}: {pairs}.",
                    "Take a stronger stock for them (trees.rootstock_for), feathered trees (nursery.seasons: 2), or a "
                    "lower top wire in their row; strip their flowers a leaf longer.",
                    "ROOT-S1",
                )
            )
    late = [index for index in planted if stand.first_leaf[index] > 4]
    if late:
        names = ", ".join(layout.cultivars[index] for index in late)
        notices.append(
            remark(WHERE, f"First flowers worth counting come after leaf 4 on their stock: {names}.")
        )
    biennial = [
        layout.cultivars[i] for i in planted if catalogue.cultivar[layout.cultivars[i]].biennial is Grade.HIGH
    ]
    if biennial:
        notices.append(
            warning(
                WHERE,
                f"Bear every other year unless thinned by a week after bloom: {', '.join(biennial)}.",
                "Thin them first, to four fruits per cm2 of trunk.",
                "LOAD-YORK",
            )
        )
    unknown = [
        layout.cultivars[i] for i in planted if catalogue.cultivar[layout.cultivars[i]].fruit_mass_g is None
    ]
    if unknown:
        notices.append(
            assumption(
                WHERE, f"Fruit of {', '.join(unknown)} is taken as {USUAL_MASS:.0f} g: its mass is not known."
            )
        )
    limits = loads["mature yield"]
    if planted and not limits.low <= mature[1] <= limits.high:
        notices.append(
            warning(
                WHERE,
                f"Full-grown the orchard would carry {yield_words(mature[1], units)}, outside the "
                f"{yield_words(limits.low, units)} to {yield_words(limits.high, units)} of mixed kitchen orchards.",
                "Check spacing and stocks before relying on it.",
            )
        )
    kilograms = [line for line in trials if line.quantity == "crop of leaves 2 to 5"]
    if kilograms:
        rule = np.mean([line.thinned_to_rule / line.published for line in kilograms])
        cropped = np.mean([line.as_cropped / line.published for line in kilograms])
        notices.append(
            remark(
                WHERE,
                f"For the trees of {len(kilograms)} trial stocks this forecast gives {rule:.0%} of the crop weighed to "
                f"leaf 5 when thinned as advised, {cropped:.0%} when cropped as they were.",
                "",
                "ROOT-S1",
            )
        )
    notices.append(
        assumption(
            WHERE,
            f"The lower of the two published worlds is planned on: about {yield_words(limits.load, units)} full-grown. "
            "Specialists aim at twice that (goal curve). Share by leaf, leader growth of "
            f"{shown(LEADER_GROWTH, Kind.LENGTH, units, digits=1)} a season and its spread are proposals fitted to one "
            "ten-site trial.",
            "Measure leaders and trunks each autumn.",
            "YIELD-GFG13",
        )
    )
    notices.append(
        assumption(WHERE, "Trees are taken to be watered, fed and weeded so that none of it holds them back.")
    )
    whip = shown(START_WHIP, Kind.LENGTH, units, digits=2)
    if plan.nursery.seasons == 1:
        notices.append(assumption(WHERE, f"Home-grafted whips are taken as {whip} tall when planted."))
    if bool(layout.standing.any()):
        notices.append(remark(WHERE, "Trees that already stand are not in these figures."))
    return notices
