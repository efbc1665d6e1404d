"""Places that keep what stands there in the last layout: whole blocks, rows or single trees, by their names."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.layout.findings import Ground
from topwire.layout.stand import EMPTY
from topwire.values.address import row_name

Index = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Frozen:
    """`places` (places,) are frozen; `unknown` names match no block, row or tree; `lost` trees stood at frozen places
    and are no longer among those to plant."""

    places: npt.NDArray[np.bool_]
    unknown: tuple[str, ...]
    lost: int


def frozen_places(ground: Ground, names: tuple[str, ...]) -> tuple[npt.NDArray[np.bool_], tuple[str, ...]]:
    """(places,) which are frozen, and the names that match nothing. Capitals count as small letters."""
    wanted = {name.strip().lower() for name in names}
    matched: set[str] = set()
    found = np.zeros(ground.capacity, dtype=bool)
    for index in range(ground.capacity) if wanted else ():
        address = ground.address(index)
        said = {address.block.lower(), row_name(address.block, address.row).lower(), str(address).lower()}
        found[index] = bool(said & wanted)
        matched |= said & wanted
    return found, tuple(name for name in names if name.strip().lower() not in matched)


def keep_frozen(ground: Ground, names: tuple[str, ...], before: Index, placed: Index, new: Index) -> Frozen:
    """Puts the trees of the last layout, `before` (places,), back at frozen places, as far as they are still planted.

    Changes `placed` (places,) and `new` (cultivars,), what is then left to place.
    """
    places, unknown = frozen_places(ground, names)
    lost = 0
    for index in np.flatnonzero(places & (placed == EMPTY) & (before != EMPTY)):
        kind = int(before[index])
        if new[kind] > 0:
            placed[index], new[kind] = kind, new[kind] - 1
        else:
            lost += 1
    return Frozen(places, unknown, lost)
