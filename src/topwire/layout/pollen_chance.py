"""How sure a tree's pollen is: weather years, bloom dates and the alleles nobody has tested are drawn together.

What is listed as one figure is not known as one: a cultivar's bloom is right to some days, and S-alleles are not known
of every cultivar. Each draw takes one weather year, shifts every cultivar's bloom by its own error, and gives an
untested cultivar one allele of each parent that is tested, and others as often as they are found among the tested
ones; one spring in so many a donor fails, frozen or in its year of rest; the tree's useful pollen is then reckoned as
ever.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.choice.neighbours import Outside
from topwire.choice.pollination import bloom_overlap
from topwire.layout.asked import Genes

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

DRAWS = 200
SEED = 11


def drawn_alleles(genes: Genes, random: np.random.Generator) -> tuple[tuple[int, ...], ...]:
    """Every cultivar's alleles, those not tested drawn: one of each tested parent, the rest by frequency.

    No allele stands twice in one tree.
    """
    kinds, counts = np.unique(np.array(genes.pool, dtype=np.int64), return_counts=True)
    found = []
    for known, sets, parents in zip(genes.alleles, genes.sets, genes.inherited, strict=True):
        if known or kinds.size < sets:
            found.append(known)
            continue
        own: list[int] = []
        for parent in parents[:sets]:
            own += random.permutation([allele for allele in parent if allele not in own])[:1].tolist()
        others = ~np.isin(kinds, own)
        chance = counts[others] / counts[others].sum()
        own += random.choice(kinds[others], size=sets - len(own), replace=False, p=chance).tolist()
        found.append(tuple(int(allele) for allele in own))
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


def chance_of_enough(
    by_kind: Array,
    total: Array,
    placed: Index,
    first_bloom: Array,
    petal_fall: Array,
    genes: Genes,
    enough: float,
    *,
    fails: float = 0.0,
    outside: Outside | None = None,
) -> Array:
    """Share of the draws in which a tree has enough useful pollen, (places,); 0 at empty places.

    Parameters
    ----------
    by_kind, total : (kinds, places), (places,) pollen by distance alone, as of :func:`pollen.fields`
    first_bloom, petal_fall : (years, kinds) [day of the year]
    enough : useful share of all pollen
    fails : share of springs in which all trees of a donor cultivar have no pollen to give
    outside : pollen from beyond the orchard, the same at every tree
    """
    random = np.random.default_rng(SEED)
    there = np.flatnonzero(placed >= 0)
    kind = placed[there]
    whole = total[there] + (0.0 if outside is None else outside.mass.sum())
    reaching = (by_kind[:, there] / whole).T
    good = np.zeros(there.size)
    for _ in range(DRAWS):
        year = int(random.integers(first_bloom.shape[0]))
        shift = random.normal(0.0, 1.0, genes.bloom_error.size) * genes.bloom_error
        overlap = bloom_overlap((first_bloom[year] + shift)[None], (petal_fall[year] + shift)[None])[0]
        weight = np.where(random.random(genes.weight.size) < fails, 0.0, genes.weight)
        match = overlap * compatible_share(drawn_alleles(genes, random), weight, genes.otherwise)
        useful = (reaching * match.T[kind]).sum(axis=1)
        if outside is not None:
            useful = useful + (outside.mass @ outside.match[year])[kind] / whole
        good += useful >= enough
    found = np.zeros(placed.size)
    found[there] = good / DRAWS
    return found
