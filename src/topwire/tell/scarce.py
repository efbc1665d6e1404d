"""Words of what is scarce: what limits a need, what would help, what more of it would bring."""

from collections.abc import Mapping

from topwire.choice.scarce import More, Pinch, Pinched, Worth
from topwire.tell.reader import UNKNOWN, Reader, counted
from topwire.tell.words import Facts
from topwire.values.units import Kind

LIMITS: Mapping[Pinch, str] = {
    Pinch.ROOM: "fruit, and the ground is full",
    Pinch.TOTAL: "fruit, and the trees are as many as the plan asks for",
    Pinch.MOST: "fruit, and a cultivar that serves it has as many trees as the plan allows",
    Pinch.WORTH: "fruit: for this need another tree would bring less than its place and care cost",
    Pinch.CELLAR: "the cellar is full",
    Pinch.PRESS: "the press takes no more in a week",
    Pinch.PAN: "the kitchen makes no more of it in a week",
    Pinch.BLEND: "the bounds of its blend",
    Pinch.SHELF: "what is made does not keep that long",
    Pinch.COLD: "fruit does not keep that long in this cellar",
    Pinch.OTHERS: "no chosen cultivar has fruit then",
    Pinch.SEASON: "no cultivar has fruit then",
}
REMEDIES: Mapping[Pinch, str] = {
    Pinch.ROOM: "more ground",
    Pinch.TOTAL: "more trees (trees, total)",
    Pinch.MOST: "more trees of one cultivar (taste, most_trees)",
    Pinch.WORTH: "a larger weight of this need, if it matters more to you than a tree",
    Pinch.CELLAR: "a larger cellar",
    Pinch.PRESS: "more pressing a week",
    Pinch.PAN: "more made in a week (weekly_capacity)",
    Pinch.BLEND: "wider bounds (blend)",
    Pinch.SHELF: "a product that keeps longer (keeps), made later or eaten sooner",
    Pinch.COLD: "a colder cellar",
    Pinch.OTHERS: "a cultivar that was left out",
    Pinch.SEASON: "no planting: want it in other weeks, or put by for them",
}


def remedy(limit: Pinch, other: str = "") -> str:
    """What would help against it; `other` is a cultivar that would."""
    return (
        f"{other}, which was left out (taste, must_have)"
        if limit is Pinch.OTHERS and other
        else REMEDIES[limit]
    )


def limited_by(line: Pinched) -> str:
    """“the cellar is full (70 %); no cultivar has fruit then (30 %)”."""
    return "; ".join(f"{LIMITS[limit]} ({share:.0%})" for limit, share in line.by) or UNKNOWN


def remedies(line: Pinched) -> str:
    """What would help, the limit that matters most first."""
    return "; ".join(remedy(limit, line.other) for limit, _ in line.by) or UNKNOWN


def remedies_told(facts: Facts) -> str:
    if "limits" not in facts:
        return "Want less, or give it more weight."
    limits = facts["limits"]
    assert isinstance(limits, tuple)
    said = [Pinch(str(limit)) for limit in limits]
    helps = [remedy(limit, str(facts["other"])) for limit in said if limit is not Pinch.SEASON]
    told = f"What limits it: {LIMITS[said[0]]}."
    if helps:
        told += f" What would help: {', then '.join(helps)}."
    if Pinch.SEASON in said:
        some = "In some of its weeks no" if helps else "No"
        told += f" {some} cultivar has fruit: want it in others, or put by for them."
    return told


def more(line: Worth, reader: Reader) -> str:
    """Of what there would be more."""
    return {
        More.TREES: f"room for {counted(line.by, 'more tree')}",
        More.CELLAR: f"{line.by:.0%} more cellar",
        More.CELLAR_FLOOR: f"another {reader.text(line.by, Kind.GROUND)} of cellar",
        More.MOST: f"{counted(line.by, 'more tree')} allowed of one cultivar (taste, most_trees)",
        More.HANDS: f"{line.by:.0%} more hands in the picking weeks (taste, most_picked)",
        More.PRESS: f"{line.by:.0%} more pressing a week (one more day of five)",
    }[line.more]
