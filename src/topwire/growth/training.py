"""Training and pruning by the tree's age: which job falls in which leaf."""

from dataclasses import dataclass
from enum import StrEnum


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
    KEEP_GROWING = "keep the leader growing"
    PINCH = "pinch laterals"
    LEAVE_KNIFE = "leave the knife away"
    FIRST_RENEWAL = "first renewal cut"
    RENEWAL = "renewal cuts"
    HOLD_HEIGHT = "hold the height"
    TWO_LIMBS = "two limbs a year"


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


def rules_of(whips: bool) -> tuple[TrainingRule, ...]:
    """The jobs by leaf of trees planted as whips, or as feathered trees."""
    return (_WHIPS if whips else _FEATHERED) + _ALL
