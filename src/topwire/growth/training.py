"""Training and pruning by the tree's age, and the two rules on limb diameter."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt


@dataclass(frozen=True)
class TrainingRule:
    """What to do with a tree of an age."""

    first_leaf: int
    last_leaf: int
    when: str
    what: str
    how: str
    source: str


RULES = (
    TrainingRule(
        0,
        0,
        "planting",
        "set the tree",
        "union 15 cm above the soil; do not head; take off feathers below 60 cm and any thicker than two "
        "thirds of the leader",
        "TRAIN-PLAN",
    ),
    TrainingRule(
        1,
        3,
        "shoots of 8-10 cm",
        "free the leader",
        "rub off the second and third bud below the top one",
        "TRAIN-PLAN",
    ),
    TrainingRule(
        1, 1, "June", "tie feathers down", "every feather longer than 25 cm below horizontal", "TRAIN-PLAN"
    ),
    TrainingRule(1, 1, "bloom", "strip every flower", "by hand, the leaves stay", "TRAIN-PLAN"),
    TrainingRule(
        1,
        3,
        "to the end of July",
        "keep the leader growing",
        "water and nitrogen; 46-61 cm by the end of July of the first leaf; tie it to each wire it passes",
        "TRAIN-CORNELL12",
    ),
    TrainingRule(
        2,
        3,
        "laterals of 10-15 cm",
        "pinch the top quarter",
        "take 5 cm off laterals of last year’s leader; again in mid-June",
        "TRAIN-PLAN",
    ),
    TrainingRule(2, 2, "dormant", "leave the knife away", "no heading, no cut on the leader", "TRAIN-PLAN"),
    TrainingRule(
        3,
        3,
        "dormant",
        "first renewal cut",
        "any lateral thicker than half the leader at its base, to a bevelled stub",
        "TRAIN-GOA",
    ),
    TrainingRule(
        4,
        6,
        "dormant",
        "renewal cuts",
        "one or two limbs thicker than half the leader, stub cut",
        "TRAIN-LF12",
    ),
    TrainingRule(
        4,
        15,
        "dormant",
        "hold the height",
        "cut the leader to a weak side branch at the wire plus 0.2 m; never head it bare",
        "TRAIN-GOF",
    ),
    TrainingRule(
        7,
        15,
        "dormant",
        "two limbs a year",
        "the two largest, 2-2.5 cm and thicker, stub cut; leave 30-36 laterals",
        "TRAIN-GOF",
    ),
)


def rules_for(leaf: int) -> tuple[TrainingRule, ...]:
    """Rules for a tree in that leaf; 0 is planting."""
    return tuple(rule for rule in RULES if rule.first_leaf <= leaf <= rule.last_leaf)


def widest_ratio(leaf: int) -> float:
    """Greatest limb diameter beside the leader's where it leaves: two thirds at planting, then a half."""
    return 2 / 3 if leaf == 0 else 1 / 2


def limbs_too_thick(limbs: npt.ArrayLike, leader: npt.ArrayLike, leaf: int) -> npt.NDArray[np.bool_]:
    """Which limbs are too thick for the leader.

    Parameters
    ----------
    limbs, leader : array_like
        Diameter of each limb at its base, and of the leader there. [mm]
    leaf : int
        Of the tree; 0 is planting.
    """
    if np.any(np.asarray(leader) <= 0):
        raise ValueError("the leader has a diameter above 0")
    return np.asarray(np.asarray(limbs, dtype=float) > widest_ratio(leaf) * np.asarray(leader, dtype=float))


def renewal_cuts(
    limbs: npt.ArrayLike, leader: float, *, most: int = 2, thick: float = 20.0
) -> tuple[int, ...]:
    """Limbs of a bearing tree to take out this winter: the thickest, `most` of them.

    A limb comes into question when it is 20 mm thick or thicker than half the leader; ties go to the lower number.

    Parameters
    ----------
    limbs : array_like
        Diameters from the lowest limb up. [mm]
    leader : float
        Diameter of the leader above them. [mm]
    most : int
    thick : float
        [mm]

    Returns
    -------
    tuple of int
        Positions in `limbs`, thickest first.
    """
    sizes = np.asarray(limbs, dtype=float)
    ripe = np.flatnonzero((sizes >= thick) | (sizes > leader / 2))
    order = sorted(ripe.tolist(), key=lambda index: (-sizes[index], index))
    return tuple(order[:most])
