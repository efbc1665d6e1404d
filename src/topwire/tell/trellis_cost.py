"""Words of the Trellis about what it costs, beside what has been published of others."""

from collections.abc import Mapping

from topwire.tell.ledger import by_area
from topwire.tell.words import Facts, Speech, Words
from topwire.trellis.kinds import PartOfCost, PublishedCost

PARTS: Mapping[PartOfCost, str] = {
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


WORDS: Mapping[str, Speech] = {"trellis.beside_published": _beside}
