"""Sheets of the Years on training: by leaf, the wires, whips beside feathered trees."""

from collections.abc import Callable

from topwire.growth.findings import CropForecast
from topwire.growth.training import TrainingRule
from topwire.growth.whip import WirePassed
from topwire.show.sheet import Column, LinkKind, Sheet, Value, setting, sheet_of
from topwire.tell.growth import STARTS, TRAINING
from topwire.tell.reader import Reader
from topwire.tell.words import in_system
from topwire.values.calendar import week_label, week_of_day
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_WIRE = setting("trellis.wire_heights", "trees.rootstock")
_CULTIVAR = Column("cultivar", "cultivar", width=1.8, leads=LinkKind.CULTIVAR)


def _leaves(rule: TrainingRule) -> str:
    first, last = rule.first_leaf, rule.last_leaf
    return str(first) if first == last else f"{first} to {last}"


def training(found: CropForecast, reader: Reader) -> Sheet:
    return sheet_of(
        "years.training",
        "Training and pruning by leaf",
        (
            Column("leaf", "leaf", width=0.6, of=_leaves),
            Column("when", "when", width=1.1, of=lambda rule: in_system(TRAINING[rule.job].when, reader)),
            Column("what", "what", width=1.2, of=lambda rule: TRAINING[rule.job].what),
            Column("how", "how", width=3, of=lambda rule: in_system(TRAINING[rule.job].how, reader)),
            Column("source", "source", width=1, leads=LinkKind.SOURCE),
        ),
        found.training,
        "Leaf 0 is the planting.",
    )


def wires(found: CropForecast, planting: int) -> Sheet:
    """When whips reach each wire of the plan."""
    whips = found.whips
    assert whips is not None

    def leaf(tree: str) -> Callable[[WirePassed], Value]:
        return lambda line: "later" if (at := getattr(line, tree).leaf) is None else int(at)

    def week(line: WirePassed) -> Value:
        day = line.middle.day
        if line.middle.leaf is None or day is None:
            return ""
        return f"{planting + line.middle.leaf}, {week_label(int(week_of_day(day)))}"

    return sheet_of(
        "years.wires",
        "When the leader is tied to each wire",
        (
            Column("wire", "wire", Kind.LENGTH, 2, links=_WIRE[:1]),
            Column("strong", "leaf, strong tree", of=leaf("strong")),
            Column("middle", "middle", of=leaf("middle")),
            Column("weak", "weak tree", of=leaf("weak")),
            Column("week", "week of the middle tree", of=week),
        ),
        whips.wires,
        "Whips, all cultivars together: the year in ten that grows least, the middle and the best. A wire is tied when "
        "the leader stands a hand above it; until then the cane carries the tree.",
    )


def whip_heights(found: CropForecast) -> Sheet:
    whips = found.whips
    assert whips is not None
    return Sheet(
        "years.whips",
        "A whip after each leaf",
        (
            Column("leaf", "leaf"),
            Column("weak", "height, weak tree", Kind.LENGTH, 2),
            Column("middle", "middle", Kind.LENGTH, 2),
            Column("strong", "strong tree", Kind.LENGTH, 2),
            Column("july", "middle tree grown by 1 July", Kind.LENGTH, 2),
            Column("august", "by 1 August", Kind.LENGTH, 2),
        ),
        tuple(
            (leaf, *map(float, row), *((None, None) if leaf == 0 else map(float, whips.made[leaf - 1])))
            for leaf, row in enumerate(whips.heights)
        ),
        f"Leaf 0 is the planting. About {whips.lagging:.0%} of trees lag in their first leaf and {whips.replaced:.0%} "
        f"in both of the first two: that many spare trees are worth raising. Heights as it grows; at the top "
        "wire the leader is cut or bent.",
    )


def starts(found: CropForecast, planting: int) -> Sheet:
    whips = found.whips
    assert whips is not None
    return sheet_of(
        "years.starts",
        "Whip or feathered tree",
        (
            Column("start", "planted as", words=STARTS, links=setting("nursery.seasons")),
            Column("height", "height", Kind.LENGTH, 2),
            Column("nursery", "seasons in the nursery"),
            Column("seasons", "leaves to the top wire"),
            Column(
                "at_wire", "at the wire", Plain.YEAR, of=lambda way: planting + way.seasons + way.nursery - 1
            ),
        ),
        whips.starts,
        "Both grafted in the same spring and growing as the middle whip does in its first leaves.",
    )


def feathers(found: CropForecast) -> Sheet:
    whips = found.whips
    assert whips is not None
    return sheet_of(
        "years.feathers",
        "How far feathers are bent from upright",
        (_CULTIVAR, Column("least", "from", Plain.ANGLE, 0), Column("most", "to", Plain.ANGLE, 0)),
        whips.angles,
        "By vigour; level is 90°. Angles are from memory.",
    )
