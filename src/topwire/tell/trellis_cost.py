"""Words of the Trellis about money: what it costs, beside what has been published of others and what a budget buys."""

from collections.abc import Mapping

from topwire.tell.ledger import by_area
from topwire.tell.trellis import PARTS
from topwire.tell.words import Facts, Speech, Words
from topwire.trellis.kinds import PartOfCost, PublishedCost, TrellisPart

COSTS: Mapping[PartOfCost, str] = {
    PartOfCost.LINE_POSTS: "line posts, with hire, freight and staples",
    PartOfCost.ENDS: "ends: posts, anchors, guys or braces",
    PartOfCost.WIRES: "wire, strainers, sleeves, clips, hangers",
    PartOfCost.TOOLS: "tools, once",
    PartOfCost.WORK: "work, at the plan’s wage",
}
PUBLISHED: Mapping[PublishedCost, str] = {
    PublishedCost.METAL_BY_AREA: "trellis of metal posts in a V, Washington, [a hectare|an acre]",
    PublishedCost.METAL_BY_TREE: "the same, a tree",
    PublishedCost.VINE_WOOD: "vine trellis, wood, a supplier’s figure, [a hectare|an acre]",
    PublishedCost.VINE_METAL: "vine trellis, metal, a supplier’s figure, [a hectare|an acre]",
    PublishedCost.BRACED_END: "one braced end of a row",
}


def _beside(facts: Facts) -> Words:
    ours, least, most, stretched = (
        by_area(float(str(facts[name])), facts.reader) for name in ("ours", "least", "most", "stretched")
    )
    where = "within" if facts["within"] else "above" if facts["dearer"] else "below"
    says = (
        f"with work the trellis comes to {ours} [a hectare|an acre] of its rows’ ground in the plan’s money, {where} "
        f"the {least} to {most} published of vine and apple trellises (prices of their year brought to the plan’s)."
    )
    why = (
        "Each row has two ends, {ends:.0%} of the sum, and rows here run {length}; the same build in rows of {long} "
        f"would come to {stretched}."
    )
    if facts["within"]:
        return Words(says, why)
    reasons = " Published figures are for large fields, bought by the lorry." if facts["dearer"] else ""
    return Words(
        says,
        why + reasons + " The table of its parts says where the money goes: ask for quotations there first.",
    )


def _budget_kept(rest: str, remedy: str) -> Words:
    return Words(
        "the trellis for the design gust of {gust} comes to {cost} a tree in materials and the budget is {budget}; it "
        "is shown, billed and drawn all the same. " + rest,
        remedy,
    )


def _buys_nothing(facts: Facts) -> Words:
    least = (
        "the least that can be offered, for the gust of ten years, costs {least} a tree"
        if "least" in facts
        else "even that cannot be built from the catalogue"
    )
    return _budget_kept(
        f"No trellis can be bought for the budget: {least}.",
        "Raise the budget, plant fewer and shorter rows, or plant where the wind is broken.",
    )


def _buys_less(facts: Facts) -> Words:
    return _budget_kept(
        "The safest that the budget buys stands in {less} instead, {force:.0%} of the wind’s force "
        f"({PARTS[TrellisPart(str(facts['part']))]} first, at {{first}}); it is set beside the design under "
        "“What the budget buys”.",
        "Building it gives up that much of the storm you asked for: harvest before storms, or raise the budget.",
    )


WORDS: Mapping[str, Speech] = {
    "trellis.prices_foreign": Words(
        "prices are in {concerns} and the plan counts in {currency}: they are added as they stand, never converted.",
        "Put your own prices in catalogue/posts.csv, wires.csv, anchors.csv and trellis_fittings.csv.",
    ),
    "trellis.prices_proposed": Words(
        "nobody has quoted {proposed} of {of:price|prices} of posts, wire, anchors and fittings: planning figures.",
        "Replace them with quotations in your own catalogue before comparing choices.",
    ),
    "trellis.over_budget": Words("materials come to {cost} a tree, above the {budget} allowed."),
    "trellis.budget_buys_more": Words(
        "the money allowed would also buy a trellis that stands in {more} instead of {gust}.",
        "State a longer trellis.return_period to have it.",
    ),
    "trellis.budget_buys_nothing": _buys_nothing,
    "trellis.budget_buys_less": _buys_less,
    "trellis.beside_published": _beside,
}
