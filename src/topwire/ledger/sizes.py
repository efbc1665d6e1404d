"""The smallest orchard that feeds the kitchen: rows, ground, fence and cost for fewer trees than the plan's, and more.

From the plan's own figures, its ground grown or shrunk in the same shape: ground goes with the trees, rows, their
length and the fence with the root of it. Bills go with the trees, the fence's with its length; goods that last stay.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from topwire.choice.scarce import SizeStep
from topwire.choice.sizes import smallest
from topwire.ledger.findings import Sized, Spent

TARGETS = (0.5, 0.75, 0.9, 0.95, 0.99)  # share of all that is wanted, of which the size it takes is told
BY_FENCE = (Spent.FENCE,)
FIXED = (Spent.CAPITAL,)


@dataclass(frozen=True)
class OwnSize:
    """The plan's own: trees, of them standing ones, rows, ground of the blocks [m2], fence [m]."""

    trees: int
    standing: int
    rows: int
    ground: float
    fence: float


def targets(
    steps: tuple[SizeStep, ...], own: OwnSize, spent: Mapping[Spent, float]
) -> tuple[tuple[float, Sized | None], ...]:
    """The smallest size for each of TARGETS; None where no size looked at serves it."""
    if not sized(steps, own, spent):
        return ()
    found = ((share, smallest(steps, share)) for share in TARGETS)
    return tuple((share, sized((step,), own, spent)[0] if step else None) for share, step in found)


def sized(steps: Sequence[SizeStep], own: OwnSize, spent: Mapping[Spent, float]) -> tuple[Sized, ...]:
    """Every size with what it takes; none where nothing new is planted.

    Parameters
    ----------
    spent : to establish the plan
    """
    new = own.trees - own.standing
    if new <= 0:
        return ()
    found = []
    for step in steps:
        by_ground = step.trees / own.trees
        by_length = by_ground**0.5
        by_trees = max(step.trees - own.standing, 0) / new
        cost = sum(
            money * (by_length if what in BY_FENCE else 1.0 if what in FIXED else by_trees)
            for what, money in spent.items()
        )
        found.append(
            Sized(
                step.trees,
                max(1, round(own.rows * by_length)),
                own.ground * by_ground,
                own.fence * by_length,
                cost,
                step.served,
                step.worst_fifth,
                step.trees == own.trees,
            )
        )
    return tuple(found)
