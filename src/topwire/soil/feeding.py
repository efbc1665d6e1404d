"""Nitrogen by leaf, by shoots and by leaf test; what a leaf test should show."""

from dataclasses import dataclass
from enum import StrEnum

from topwire.soil.nutrients import Level, Range, verdict_of
from topwire.values.quantities import Count, Kilograms, Share

_POUND = 0.45359237  # [kg]
NITROGEN_A_LEAF = 0.02 * _POUND  # [kg] a tree for each leaf of the first three (FEED-TFPG)
LEAVES_BY_RULE = 3
UREA = 0.46  # share of nitrogen
NOT_BEARING, BEARING = (0.38, 0.76), (0.30, 0.36)  # [m] shoots a year (FEED-UT)
RESPONSE = 0.1  # per cent of leaf nitrogen for a tenth more or less given (LEAF-GFG14)


class Leaf(StrEnum):
    """What a leaf laboratory reports: shares of dry matter, or parts in a million."""

    NITROGEN = "nitrogen"
    PHOSPHORUS = "phosphorus"
    POTASSIUM = "potassium"
    CALCIUM = "calcium"
    MAGNESIUM = "magnesium"
    BORON = "boron"
    ZINC = "zinc"
    MANGANESE = "manganese"


# Per cent, and parts in a million from boron on (LEAF-WSU).
LEAF_RANGES: dict[Leaf, Range] = {
    Leaf.PHOSPHORUS: Range(0.11, 0.30, "LEAF-WSU"),
    Leaf.POTASSIUM: Range(1.2, 2.0, "LEAF-WSU"),
    Leaf.CALCIUM: Range(1.5, 2.0, "LEAF-WSU"),
    Leaf.MAGNESIUM: Range(0.20, 0.35, "LEAF-WSU"),
    Leaf.BORON: Range(20.0, 50.0, "LEAF-WSU"),
    Leaf.ZINC: Range(15.0, 200.0, "LEAF-WSU"),
    Leaf.MANGANESE: Range(25.0, 150.0, "LEAF-WSU"),
}


class Age(StrEnum):
    YOUNG = "not bearing"
    FIRST_CROPS = "first crops"
    SOFT = "full grown, soft kinds"
    HARD = "full grown, hard kinds"


NITROGEN: dict[Age, Range] = {
    Age.YOUNG: Range(2.4, 2.6, "LEAF-WSU"),
    Age.FIRST_CROPS: Range(2.2, 2.4, "LEAF-WSU"),
    Age.SOFT: Range(1.8, 2.2, "LEAF-WSU"),
    Age.HARD: Range(2.2, 2.4, "LEAF-WSU"),
}


@dataclass(frozen=True)
class FeedLine:
    """Nitrogen of one leaf."""

    leaf: int
    tree: Kilograms
    orchard: Kilograms
    product: Kilograms  # of urea-type fertiliser, a tree


@dataclass(frozen=True)
class LeafLine:
    """One figure of a leaf test beside its range; `value` None: no test yet."""

    leaf: Leaf
    age: Age | None  # of nitrogen
    least: Count
    most: Count
    value: Count | None
    verdict: Level | None
    source: str


class NitrogenAdvice(StrEnum):
    MORE = "more"
    AS_NOW = "as now"
    LESS = "less"
    NONE = "none"


def nitrogen_of_leaf(leaf: int) -> float:
    """Nitrogen a tree in its first three leaves: 9, 18, 27 g (FEED-TFPG). [kg]

    Raises
    ------
    ValueError
        Beyond the third leaf: shoots and leaf test decide.
    """
    if not 1 <= leaf <= LEAVES_BY_RULE:
        raise ValueError(f"leaf {leaf} is fed by its shoots and its leaf test, not by rule")
    return NITROGEN_A_LEAF * leaf


def product(nitrogen: float, share: float = UREA) -> float:
    """Fertiliser with that share of nitrogen. [kg]"""
    return nitrogen / share


def feed_lines(trees: int) -> tuple[FeedLine, ...]:
    """The first three leaves of that many trees."""
    lines = []
    for leaf in range(1, LEAVES_BY_RULE + 1):
        each = nitrogen_of_leaf(leaf)
        lines.append(FeedLine(leaf, each, each * trees, product(each)))
    return tuple(lines)


def nitrogen_advice(shoots: float, bearing: bool, leaf_nitrogen: float | None, age: Age) -> NitrogenAdvice:
    """What shoots and leaf test say together; where they disagree the shoots decide.

    Parameters
    ----------
    shoots : float
        Length of this year's shoots, mean. [m]
    leaf_nitrogen : float or None
        [% of dry matter]
    """
    least, most = BEARING if bearing else NOT_BEARING
    if shoots > NOT_BEARING[1]:
        return NitrogenAdvice.NONE
    if shoots > most:
        return NitrogenAdvice.LESS
    low = leaf_nitrogen is not None and verdict_of(leaf_nitrogen, NITROGEN[age]) is Level.LOW
    high = leaf_nitrogen is not None and verdict_of(leaf_nitrogen, NITROGEN[age]) is Level.HIGH
    if shoots < least:
        return NitrogenAdvice.AS_NOW if high else NitrogenAdvice.MORE
    return NitrogenAdvice.LESS if high else NitrogenAdvice.MORE if low else NitrogenAdvice.AS_NOW


def rate_change(leaf_nitrogen: float, wanted: float) -> Share:
    """Change of the yearly rate that moves leaf nitrogen from one to the other: a tenth for 0.1 %."""
    return (wanted - leaf_nitrogen) / RESPONSE * 0.1


def leaf_lines(test: dict[Leaf, float], age: Age) -> tuple[LeafLine, ...]:
    """Every figure with its range, and what a test says of it."""
    limits = {Leaf.NITROGEN: NITROGEN[age], **LEAF_RANGES}
    found = []
    for leaf, limit in limits.items():
        value = test.get(leaf)
        assert limit.least is not None
        assert limit.most is not None
        found.append(
            LeafLine(
                leaf,
                age if leaf is Leaf.NITROGEN else None,
                limit.least,
                limit.most,
                value,
                None if value is None else verdict_of(value, limit),
                limit.source,
            )
        )
    return tuple(found)
