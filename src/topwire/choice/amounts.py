"""What a year's programme holds in its bounds alone: how much of each need is wanted, how much cellar and press hold.

Prices of a year remain prices whatever these amounts are: they change what a cut says by a factor of each of its parts
(the dual of a linear programme does not know its right-hand side). So a cut that was learnt for some amounts holds, in
new proportions, for others.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Limits
from topwire.choice.supply import Supply
from topwire.values.key import key_of

Flags = npt.NDArray[np.bool_]

# Parts of a cut behind those of the needs; what hangs on no amount is the last.
CELLAR, PRESS, NOTHING = -3, -2, -1


@dataclass(frozen=True)
class KitchenAmounts:
    """Of a kitchen: what each need wants in a year, what cellar and weekly pressing hold, and 1. [kg]

    Attributes
    ----------
    of_parts : (needs + 3,) in the order of a cut's parts
    capped : (needs,) whether pan or press may be what bounds a cultivar's fruit, not the need
    pressed : (needs,)
    """

    of_parts: Array
    capped: Flags
    pressed: Flags

    def ratios(self, now: "KitchenAmounts") -> tuple[Array, Array]:
        """By what the parts of a cut learnt here have to be multiplied elsewhere, (needs + 3,), and those of what is
        planted, (needs,): where pan or press may bound the fruit no less than before, so that the cut stays true."""
        parts = np.divide(
            now.of_parts, self.of_parts, out=np.ones_like(self.of_parts), where=self.of_parts > 0
        )
        planted = parts[: self.capped.size].copy()
        planted[self.capped] = np.maximum(planted[self.capped], 1.0)
        pressed = self.capped & self.pressed
        planted[pressed] = np.maximum(planted[pressed], parts[PRESS])
        return parts, planted


def amounts_of(needs: Sequence[WeeklyNeed], limits: Limits) -> KitchenAmounts:
    room = [1.0 if value is None else value for value in (limits.cellar, limits.press_week)]
    return KitchenAmounts(
        np.array([need.total for need in needs] + room + [1.0]),
        np.array([need.weekly is None and need.limited(limits.press_week) for need in needs]),
        np.array([need.pressed for need in needs]),
    )


def years_key(supply: Supply, needs: Sequence[WeeklyNeed], limits: Limits) -> str:
    """Of all that the years' programmes hang on but the amounts: cuts learnt under it hold under it."""
    bare = [
        replace(
            need,
            weekly=None if need.weekly is None else float(need.weekly > 0),
            total=float(need.total > 0),
            covers=None,
            volume=None,
            start=0.0,
            end=0.0,
            used_from=None,
            used_to=None,
        )
        for need in needs
    ]
    room = (limits.cellar is None, limits.press_week is None)
    return key_of((supply, bare, room, limits.board, limits.prime))
