"""Training and pruning by the tree's age: which job falls in which leaf."""

from dataclasses import dataclass
from enum import StrEnum


class TrainingJob(StrEnum):
    SET = "set the tree"
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


RULES = (
    TrainingRule(TrainingJob.SET, 0, 0, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.FREE_LEADER, 1, 3, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.TIE_FEATHERS, 1, 1, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.STRIP_FLOWERS, 1, 1, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.KEEP_GROWING, 1, 3, "TRAIN-CORNELL12"),
    TrainingRule(TrainingJob.PINCH, 2, 3, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.LEAVE_KNIFE, 2, 2, "TRAIN-PLAN"),
    TrainingRule(TrainingJob.FIRST_RENEWAL, 3, 3, "SMALL-ORCHARD-PRACTICE"),
    TrainingRule(TrainingJob.RENEWAL, 4, 6, "TRAIN-LF12"),
    TrainingRule(TrainingJob.HOLD_HEIGHT, 4, 15, "RENEWAL-PRACTICE"),
    TrainingRule(TrainingJob.TWO_LIMBS, 7, 15, "RENEWAL-PRACTICE"),
)
