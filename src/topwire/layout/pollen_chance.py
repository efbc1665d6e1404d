"""How sure a tree's pollen is: weather years, bloom dates and the alleles nobody has tested are drawn together.

What is listed as one figure is not known as one: a cultivar's bloom is right to some days, and S-alleles are not known
of every cultivar. Each draw takes one weather year, shifts every cultivar's bloom by its own error, and gives an
untested cultivar one allele of each parent that is tested, and others as often as they are found among the tested
ones; one spring in so many a donor fails, frozen or in its year of rest; and bees find but part of the flowers where
cold, rain or wind keeps them at home. The tree's useful pollen is then reckoned as ever.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.neighbours import Outside
from topwire.choice.pollination import bloom_overlap
from topwire.layout.asked import Genes
from topwire.layout.bees import over_bloom

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

DRAWS = 200
SEED = 11


def drawn_alleles(genes: Genes, random: np.random.Generator) -> tuple[tuple[int, ...], ...]:
    """Every cultivar's alleles, those not tested drawn: one of each tested parent, the rest by frequency.

    No allele stands twice in one tree.
    """
    kinds, counts = np.unique(np.array(genes.pool, dtype=np.int64), return_counts=True)
    # All alleles race, each at the pace of its frequency: those that come first are drawn, none of them twice.
    come_in = random.exponential(size=(len(genes.alleles), kinds.size)) / counts
    order = kinds[np.argsort(come_in, axis=1)].tolist()
    found = []
    for known, sets, parents, others in zip(genes.alleles, genes.sets, genes.inherited, order, strict=True):
        if known or kinds.size < sets:
            found.append(known)
            continue
        own: list[int] = []
        for parent in parents[:sets]:
            own += random.permutation([allele for allele in parent if allele not in own])[:1].tolist()
        own += [allele for allele in others if allele not in own][: sets - len(own)]
        found.append(tuple(own))
    return tuple(found)


def compatible_share(alleles: Sequence[tuple[int, ...]], weight: Array, otherwise: float) -> Array:
    """(donors, parents) share of a donor's pollen that carries an allele the parent does not, times its weight.

    `otherwise` where no allele of one of the two is known. A cultivar does not fertilise itself.
    """
    every = sorted({allele for own in alleles for allele in own})
    carries = np.array([[allele in own for allele in every] for own in alleles], dtype=float).reshape(
        len(alleles), -1
    )
    held = carries.sum(axis=1)
    alike = carries @ carries.T / np.maximum(held, 1.0)[:, None]
    share = np.where((held[:, None] > 0) & (held[None] > 0), 1.0 - alike, otherwise)
    np.fill_diagonal(share, 0.0)
    return np.asarray(weight[:, None] * share)


@dataclass(frozen=True)
class Springs:
    """Springs drawn: `worth` (draws, donors, parents) of each donor's pollen to each parent; from beyond the orchard
    `outside` (draws, parents) useful and `beyond` all pollen, beside that of the next tree."""

    worth: Array
    outside: Array
    beyond: float


def springs_drawn(
    first_bloom: Array,
    petal_fall: Array,
    genes: Genes,
    *,
    fails: float = 0.0,
    visited: Array | None = None,
    outside: Outside | None = None,
) -> Springs:
    """What each donor's pollen is worth to each parent in springs drawn.

    Bloom together, times the compatible share, times the share of the parent's flowers that bees find.

    Parameters
    ----------
    first_bloom, petal_fall : (years, kinds) [day of the year]
    fails : share of springs in which all trees of a donor cultivar have no pollen to give
    visited : (years, days) share of the flowers opening on a day that bees find; None = all
    outside : pollen from beyond the orchard, for the first of the kinds
    """
    random = np.random.default_rng(SEED)
    kinds = genes.bloom_error.size
    worth, more = np.zeros((DRAWS, kinds, kinds)), np.zeros((DRAWS, kinds))
    for draw in range(DRAWS):
        year = int(random.integers(first_bloom.shape[0]))
        shift = random.normal(0.0, 1.0, kinds) * genes.bloom_error
        first, last = first_bloom[year] + shift, petal_fall[year] + shift
        overlap = bloom_overlap(first[None], last[None])[0]
        weight = np.where(random.random(kinds) < fails, 0.0, genes.weight)
        worth[draw] = overlap * compatible_share(drawn_alleles(genes, random), weight, genes.otherwise)
        if outside is not None:
            more[draw, : outside.match.shape[2]] = outside.mass @ outside.match[year]
        if visited is not None:
            by_bees = found_by_bees(visited[year], first, last)
            worth[draw] *= by_bees
            more[draw] *= by_bees
    return Springs(worth, more, 0.0 if outside is None else float(outside.mass.sum()))


def found_by_bees(visited: Array, first_bloom: Array, petal_fall: Array) -> Array:
    """Share of a bloom's flowers that bees find in one year, (kinds,); 0 where there is no bloom.

    visited : (days,) of those that open on a day; first_bloom, petal_fall : (kinds,) [day of the year]
    """
    length = np.nan_to_num(petal_fall - first_bloom)
    return np.asarray(over_bloom(visited, first_bloom, petal_fall) / np.where(length > 0, length, 1.0))


def chance_of_enough(by_kind: Array, total: Array, placed: Index, springs: Springs, enough: float) -> Array:
    """Share of the springs drawn in which a tree has enough useful pollen, (places,); 0 at empty places.

    Parameters
    ----------
    by_kind, total : (kinds, places), (places,) pollen by distance alone, as of :func:`pollen.fields`
    springs : of :func:`springs_drawn`; donors beyond `kinds` are not there
    enough : useful share of all pollen
    """
    there = np.flatnonzero(placed >= 0)
    found = np.zeros(placed.size)
    kinds = by_kind.shape[0]
    for parent in np.unique(placed[there]):
        own = there[placed[there] == parent]
        useful = springs.worth[:, :kinds, parent] @ by_kind[:, own] + springs.outside[:, parent, None]
        found[own] = (useful / (total[own] + springs.beyond) >= enough).mean(axis=0)
    return found
