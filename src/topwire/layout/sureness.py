"""How sure the pollen of a planting is: its chance at every tree, without the best donor, in poor springs for bees."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.neighbours import Outside
from topwire.layout import pollen as pollination
from topwire.layout.asked import LayoutQuestion
from topwire.layout.bees import over_bloom, visited_share
from topwire.layout.findings import Mend
from topwire.layout.mend import mends
from topwire.layout.pollen_chance import chance_of_enough, found_by_bees, springs_drawn
from topwire.layout.setting import Cast, prices_of

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

LIKELY = (
    0.8  # chance of enough pollen below which a tree is called weak and a donor is named: a choice, no source
)


@dataclass(frozen=True)
class Sureness:
    """`chance`, `without_best` (places,); `bee_springs` (cultivars, 3), none where no weather is known."""

    chance: Array
    without_best: Array
    bee_springs: Array
    mends: tuple[Mend, ...]


def sureness(asked: LayoutQuestion, cast: Cast, placed: Index, by_kind: Array, total: Array) -> Sureness:
    """Of a planting, (places,) kind; `by_kind`, `total` as of :func:`pollen.fields`, block by block."""
    visited = None if asked.bees is None else visited_share(asked.bees.fit)
    springs = springs_drawn(
        np.hstack([asked.first_bloom, asked.crabs.first_bloom]),
        np.hstack([asked.petal_fall, asked.crabs.petal_fall]),
        asked.genes,
        fails=prices_of(asked).lone_donor,
        visited=visited,
        outside=cast.outside,
    )
    enough = pollination.threshold()
    names = (*cast.names, *asked.crabs.names)
    return Sureness(
        chance_of_enough(by_kind, total, placed, springs, enough),
        without_best(by_kind, total, placed, cast.match, cast.outside) / enough,
        np.empty(0) if visited is None else _bee_springs(asked, visited),
        mends(asked.ground, placed, by_kind, total, springs, names, enough=enough, below=LIKELY),
    )


def without_best(
    by_kind: Array, total: Array, placed: Index, match: Array, outside: Outside | None = None
) -> Array:
    """Useful share in the worst year of ten without the donor that gives a tree most, (places,); 0 at empty places.

    match : (years, donors, parents)
    """
    found = np.zeros(placed.size)
    for parent in np.unique(placed[placed >= 0]):
        trees = np.flatnonzero(placed == parent)
        left = by_kind[:, trees]
        best = (match[:, :, parent].mean(axis=0)[:, None] * left).argmax(axis=0)
        left[best, np.arange(trees.size)] = 0.0
        useful, more = match[:, :, parent] @ left, 0.0
        if outside is not None:
            useful, more = useful + outside.match[:, :, parent] @ outside.mass[:, None], outside.mass.sum()
        found[trees] = pollination.dependable(useful / (total[trees] + more))
    return found


def _bee_springs(asked: LayoutQuestion, visited: Array) -> Array:
    assert asked.bees is not None
    blooms = list(zip(asked.first_bloom, asked.petal_fall, strict=True))
    hours = np.array([over_bloom(fit, *bloom) for fit, bloom in zip(asked.bees.fit, blooms, strict=True)])
    found = np.array([found_by_bees(seen, *bloom) for seen, bloom in zip(visited, blooms, strict=True)])
    return np.stack(
        [np.median(hours, axis=0), pollination.dependable(hours), pollination.dependable(found)], axis=1
    )
