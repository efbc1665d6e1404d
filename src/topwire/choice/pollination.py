"""Who can pollinate whom: S-alleles, ploidy, pollen quality, bloom that overlaps.

A pollen grain fails in a flower that carries its own S-allele (MATS2014, GOLD1999).
"""

from collections.abc import Sequence
from typing import Protocol

import numpy as np
import numpy.typing as npt

from topwire.values.traits import Pollen

Array = npt.NDArray[np.float64]

# Weight of a donor whose pollen is poor (Winesap is listed as male-sterile), or of which neither ploidy nor pollen is
# known: it gives some, and is not one to rely on. Design assumptions, no source.
POOR_POLLEN = 0.2
UNKNOWN_PLOIDY = 0.2
UNKNOWN_MATCH = 0.75  # compatible share where a genotype is not known: design assumption, no source
USEFUL = 0.25  # overlap times compatible share that makes a useful donor: half the bloom, half the alleles
# [m] within which a tree wants two donor cultivars: donor density matters within 30 m, the usual advice is a donor
# within 15 m (BARNEY2012-POLLEN)
REACH = 20.0
MANY = 99  # cultivars; more than any plan wants
DEPENDABLE = (
    0.75  # chance in a spring that makes a donor to be counted on: three are wanted of every tree (design)
)


class Genotype(Protocol):
    """What of a cultivar decides whom it pollinates; no alleles where they are not known."""

    @property
    def name(self) -> str: ...
    @property
    def alleles(self) -> tuple[int, ...]: ...
    @property
    def ploidy(self) -> int | None: ...
    @property
    def pollen(self) -> Pollen | None: ...


def compatible_fraction(donor: Genotype, parent: Genotype) -> float:
    """Share of a donor's pollen that can set the seed parent's fruit, 0 to 1.

    Alleles the parent does not carry, over all the donor's; 0 for triploid donors, and for a cultivar with itself.
    """
    return float(compatibility((donor, parent))[0, 1])


def _strange(donor: tuple[int, ...], parent: tuple[int, ...]) -> tuple[float, float]:
    """Alleles of the donor that the parent does not carry, and all of them."""
    if not donor or not parent:
        return UNKNOWN_MATCH, 1.0
    return float(sum(allele not in parent for allele in donor)), float(len(donor))


def donor_weight(donor: Genotype) -> float:
    """What a donor's pollen counts, 0 to 1: nothing where it has none or is triploid."""
    if donor.pollen is Pollen.NONE or (donor.ploidy or 2) >= 3:
        return 0.0
    if donor.ploidy is None and donor.pollen is None:
        return UNKNOWN_PLOIDY
    return POOR_POLLEN if donor.pollen is Pollen.POOR else 1.0


def compatibility(cultivars: Sequence[Genotype]) -> Array:
    """Compatible fraction of every pair, shape (donors, parents)."""
    alleles = list(dict.fromkeys(row.alleles for row in cultivars))
    pairs = np.array([[_strange(donor, parent) for parent in alleles] for donor in alleles])
    of = np.array([alleles.index(row.alleles) for row in cultivars])
    strange, all_of_them = np.moveaxis(pairs[of][:, of], 2, 0)
    weight = np.array([donor_weight(row) for row in cultivars])
    names = np.array([row.name for row in cultivars])
    return np.where(names[:, None] == names[None, :], 0.0, weight[:, None] * strange / all_of_them)


def bloom_overlap(first_bloom: Array, petal_fall: Array) -> Array:
    """Share of a seed parent's bloom during which a donor flowers, shape (years, donors, parents).

    Parameters
    ----------
    first_bloom, petal_fall : (years, cultivars) [day of year]; NaN where there is no bloom, which overlaps nothing.
    """
    start = np.maximum(first_bloom[:, :, None], first_bloom[:, None, :])
    end = np.minimum(petal_fall[:, :, None], petal_fall[:, None, :])
    length = (petal_fall - first_bloom)[:, None, :]
    with np.errstate(invalid="ignore"):
        share = np.maximum(end - start, 0.0) / length
    return np.asarray(np.nan_to_num(share))


def chance_together(
    first_bloom: Array, petal_fall: Array, error: Array, single: float, least: Array
) -> Array:
    """Chance that a donor's flowers cover at least a share of a seed parent's bloom, (donors, parents).

    Over the weather years, each equally likely, and over what is not known of the two cultivars' difference: their
    offsets' errors and a year's own whim, all normal. The overlap of a pair in a year hangs on that difference alone,
    so the chance is an area under one normal curve and nothing has to be drawn.

    Parameters
    ----------
    first_bloom, petal_fall : (years, cultivars) [day of year]; NaN where there is no bloom
    error : (cultivars,) [d] of each cultivar's offset, one standard deviation
    single : [d] what a cultivar departs by in one year, one standard deviation
    least : (donors, parents) share of the parent's bloom to be covered, above 0; above 1 = never
    """
    from scipy.special import ndtr

    total = np.zeros(least.shape)
    spread = np.sqrt(error[:, None] ** 2 + error[None, :] ** 2 + 2.0 * single**2)
    spread = np.maximum(spread, 1e-9)
    for first, last in zip(first_bloom, petal_fall, strict=True):
        length = last - first
        wanted = least * length[None, :]
        with np.errstate(invalid="ignore"):
            # days the donor may be late, at most and at least, of which the cover hangs
            latest = last[None, :] - wanted - first[:, None]
            earliest = first[None, :] + wanted - last[:, None]
            covers = (length[:, None] >= wanted) & (least <= 1.0) & (latest >= earliest)
            chance = ndtr(latest / spread) - ndtr(earliest / spread)
        total += np.where(covers, np.nan_to_num(chance), 0.0)
    return np.asarray(total / max(1, first_bloom.shape[0]))


def useful_chance(
    first_bloom: Array, petal_fall: Array, error: Array, single: float, compatible: Array
) -> Array:
    """Chance that a donor is useful to a parent in a spring, (donors, parents); see `chance_together`.

    Parameters
    ----------
    compatible : (donors, parents) share of the donor's pollen that can set the parent's fruit
    """
    with np.errstate(divide="ignore"):
        least = np.where(compatible > 0, USEFUL / compatible, np.inf)
    return chance_together(first_bloom, petal_fall, error, single, np.minimum(least, 2.0))


def useful_donors(chance: Array) -> npt.NDArray[np.bool_]:
    """Donors to be counted on, of the `useful_chance` (donors, parents): two of them fail together in one spring of
    sixteen, three in one of sixty-four, weather aside."""
    return np.asarray(chance >= DEPENDABLE)


def donors_wanted(useful: npt.NDArray[np.int64], most_cultivars: int = MANY) -> npt.NDArray[np.int64]:
    """Donor cultivars each parent has to have, (parents,): three, or two where there are no more.

    Two would do; the third stands in for a genotype that turns out otherwise, and for a donor that stands too far off.
    Where the plan wants so few cultivars that none can have as many, all of them, one at the least.

    Parameters
    ----------
    useful : (donors, parents); on the diagonal how many donors a parent has beyond the orchard
    """
    wanted = np.clip(useful.sum(axis=0), 2, 3)
    within_reach = np.maximum(1, most_cultivars - 1 + np.diagonal(useful).astype(np.int64))
    return np.asarray(np.minimum(wanted, within_reach), dtype=np.int64)
