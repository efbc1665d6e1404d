"""Training and pruning by the tree's age: which job falls in which leaf."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from topwire.values.terms import Training


class TrainingJob(StrEnum):
    SET = "set the tree"
    SET_WHIP = "set the whip"
    CANE = "cane the whip"
    CHOOSE_LEADER = "choose the leader"
    LOW_SHOOTS = "take low shoots off"
    TIE_TO_WIRES = "tie to each wire"
    NOTCH = "notch above buds"
    BEND_FEATHERS = "bend feathers"
    LAGGARDS = "trees that lag"
    FREE_LEADER = "free the leader"
    TIE_FEATHERS = "tie feathers down"
    STRIP_FLOWERS = "strip flowers"
    STRIP_BELOW_WIRE = "strip below the wire"
    KEEP_GROWING = "keep the leader growing"
    PINCH = "pinch laterals"
    LEAVE_KNIFE = "leave the knife away"
    FIRST_RENEWAL = "first renewal cut"
    RENEWAL = "renewal cuts"
    HOLD_HEIGHT = "hold the height"
    TWO_LIMBS = "two limbs a year"
    SET_FLAT = "set the tree on the wires"
    SET_SLANTED = "set the tree slanting"
    FIRST_ARMS = "first arms"
    NEXT_TIER = "next tier"
    LAST_TIER = "last tier"
    LOWER_ARMS = "lower the arms"
    LENGTHEN_ARMS = "lengthen the arms"
    FIRST_RIBS = "first ribs"
    FORK_RIBS = "fork the ribs"
    FILL_FAN = "fill the fan"
    LOWER_CORDON = "lower the cordon"
    STOP_LEADER = "stop the leader"
    SUMMER_PRUNE = "summer prune"
    SECOND_GROWTH = "second growth"
    THIN_SPURS = "thin the spurs"


@dataclass(frozen=True)
class TrainingRule:
    """A job on trees of an age; leaf 0 is the planting."""

    job: TrainingJob
    first_leaf: int
    last_leaf: int
    source: str


_FEATHERED = (
    TrainingRule(TrainingJob.SET, 0, 0, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.FREE_LEADER, 1, 3, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.TIE_FEATHERS, 1, 1, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.STRIP_FLOWERS, 1, 1, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.KEEP_GROWING, 1, 3, "TRAIN-CORNELL12"),
)
_WHIPS = (
    TrainingRule(TrainingJob.SET_WHIP, 0, 0, "SET-CRASSWELLER"),
    TrainingRule(TrainingJob.CANE, 0, 0, "TRAIN-OMAFRA"),
    TrainingRule(TrainingJob.CHOOSE_LEADER, 1, 1, "TRAIN-CORNELL12"),
    TrainingRule(TrainingJob.FREE_LEADER, 1, 3, "TRAIN-CORNELL12"),
    TrainingRule(TrainingJob.STRIP_FLOWERS, 1, 1, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.KEEP_GROWING, 1, 3, "TRAIN-CORNELL12"),
    TrainingRule(TrainingJob.LOW_SHOOTS, 1, 3, "TRAIN-OMAFRA"),
    TrainingRule(TrainingJob.TIE_TO_WIRES, 1, 5, "TRAIN-OMAFRA"),
    TrainingRule(TrainingJob.LAGGARDS, 1, 3, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.NOTCH, 2, 3, "NOTCH-GA94"),
    TrainingRule(TrainingJob.BEND_FEATHERS, 2, 4, "TRAIN-SPREAD"),
)
_ALL = (
    TrainingRule(TrainingJob.PINCH, 2, 3, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.LEAVE_KNIFE, 2, 2, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.FIRST_RENEWAL, 3, 3, "SMALL-ORCHARD-PRACTICE"),
    TrainingRule(TrainingJob.RENEWAL, 4, 6, "TRAIN-LF12"),
    TrainingRule(TrainingJob.HOLD_HEIGHT, 4, 15, "RENEWAL-PRACTICE"),
    TrainingRule(TrainingJob.TWO_LIMBS, 7, 15, "RENEWAL-PRACTICE"),
)


# Trees trained flat, on a fence or wall: shaped by their own first cuts, then held by pruning in summer.
_FLAT = (
    TrainingRule(TrainingJob.STRIP_FLOWERS, 1, 2, "FORM-PRACTICE"),
    TrainingRule(TrainingJob.SUMMER_PRUNE, 2, 15, "FORM-SUMMER"),
    TrainingRule(TrainingJob.SECOND_GROWTH, 2, 15, "FORM-SUMMER"),
    TrainingRule(TrainingJob.THIN_SPURS, 7, 15, "FORM-SUMMER"),
)
_LATER = 15  # leaf to which jobs are told


def _espalier(tiers: int) -> tuple[TrainingRule, ...]:
    """A tier a year, one to a wire."""
    return (
        TrainingRule(TrainingJob.SET_FLAT, 0, 0, "FORM-PRACTICE"),
        TrainingRule(TrainingJob.FIRST_ARMS, 1, 1, "FORM-PRACTICE"),
        TrainingRule(TrainingJob.LOWER_ARMS, 1, tiers, "FORM-PRACTICE"),
        *((TrainingRule(TrainingJob.NEXT_TIER, 2, tiers - 1, "FORM-PRACTICE"),) if tiers > 2 else ()),
        *((TrainingRule(TrainingJob.LAST_TIER, tiers, tiers, "FORM-PRACTICE"),) if tiers > 1 else ()),
        TrainingRule(TrainingJob.LENGTHEN_ARMS, 2, tiers + 3, "FORM-PRACTICE"),
    )


_FAN = (
    TrainingRule(TrainingJob.SET_FLAT, 0, 0, "FORM-PRACTICE"),
    TrainingRule(TrainingJob.FIRST_RIBS, 1, 1, "FORM-PRACTICE"),
    TrainingRule(TrainingJob.FORK_RIBS, 2, 3, "FORM-PRACTICE"),
    TrainingRule(TrainingJob.FILL_FAN, 4, 6, "FORM-PRACTICE"),
)
_CORDON = (
    TrainingRule(TrainingJob.SET_SLANTED, 0, 0, "FORM-PRACTICE"),
    TrainingRule(TrainingJob.LOWER_CORDON, 3, 8, "FORM-SUMMER"),
    TrainingRule(TrainingJob.STOP_LEADER, 5, _LATER, "FORM-SUMMER"),
)
FLAT = frozenset({Training.ESPALIER, Training.FAN, Training.OBLIQUE_CORDON})


def rules_of(
    whips: bool, form: Training = Training.TALL_SPINDLE, tiers: int = 4, stripped: int = 5
) -> tuple[TrainingRule, ...]:
    """The jobs by leaf of trees planted as whips or as feathered trees, or trained flat.

    tiers : of an espalier
    stripped : last leaf in which trees below the top wire carry no fruit
    """
    flat = {Training.ESPALIER: _espalier(tiers), Training.FAN: _FAN, Training.OBLIQUE_CORDON: _CORDON}
    usual = flat[form] + _FLAT if form in FLAT else (_WHIPS if whips else _FEATHERED) + _ALL
    return tuple(_stripped_to(stripped, usual))


def _stripped_to(leaf: int, rules: Iterable[TrainingRule]) -> Iterator[TrainingRule]:
    """With the leaves after those in which every flower goes, up to the one in which the leaders are at the wire."""
    for rule in rules:
        yield rule
        if rule.job is TrainingJob.STRIP_FLOWERS and rule.last_leaf < leaf:
            yield TrainingRule(TrainingJob.STRIP_BELOW_WIRE, rule.last_leaf + 1, leaf, "TRAIN-PLAN")
