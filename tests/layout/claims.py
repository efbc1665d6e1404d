"""The pollen a layout claims, reckoned anew tree by tree from places and dates alone, as one would by hand.

Nothing of the layout's own arithmetic is used: for every tree all others are looked at one by one. Distances of the
kernel are means of 2.7 trees along a row and 3.6 rows across (KRON2001B, READ); alleles after MATS2014 and GOLD1999.
"""

from dataclasses import dataclass
from math import ceil, cos, exp, hypot, radians, sin, sqrt

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.layout.findings import Ground, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.values.traits import Pollen

# As docs/layout.md says it: a solid donor row in every fourth row that flowers through half of the bloom.
ENOUGH = 0.118
UNKNOWN, POOR, NO_PLOIDY = 0.75, 0.2, 0.2


@dataclass(frozen=True)
class Reckoned:
    """Of one tree: useful pollen of the worst year of ten, 1 = enough, and useful donor cultivars within 20 m."""

    pollen: float
    donors: int


def reckoned(
    ground: Ground, layout: Layout, seasons: PlaceSeasons, catalogue: Catalogue, trees: list[int]
) -> list[Reckoned]:
    """The same for every tree of `trees`, indices into the ground's places."""
    rows = [catalogue.cultivar[name] for name in layout.cultivars]
    years = range(len(seasons.years))
    shares: dict[tuple[int, int], list[float]] = {}

    def pair(donor: int, parent: int) -> list[float]:
        if (donor, parent) not in shares:
            fits = _fits(rows[donor], rows[parent])
            shares[donor, parent] = [
                fits * _together(seasons, year, rows[donor], rows[parent]) for year in years
            ]
        return shares[donor, parent]

    place = _grid(ground)
    worst = int(0.1 * len(seasons.years))
    stand = [index for index in range(ground.capacity) if layout.cultivar[index] >= 0]
    found = []
    for tree in trees:
        own = int(layout.cultivar[tree])
        useful = [0.0 for _ in years]
        everything = 0.0
        near: set[int] = set()
        for other in stand:
            kind = int(layout.cultivar[other])
            if hypot(ground.x[other] - ground.x[tree], ground.y[other] - ground.y[tree]) <= 20.0:
                near.add(kind)
            if ground.block[other] != ground.block[tree]:
                continue
            lines = abs(place[other][0] - place[tree][0])
            steps = abs(place[other][1] - place[tree][1])
            weight = exp(-steps / 2.7) * exp(-lines / 3.6)
            everything += weight
            if other != tree:
                for year, share in enumerate(pair(kind, own)):
                    useful[year] += weight * share
        donors = [kind for kind in near if sorted(pair(kind, own))[worst] >= 0.25]
        found.append(Reckoned(sorted(useful)[worst] / everything / ENOUGH, len(donors)))
    return found


def _fits(donor: Cultivar, parent: Cultivar) -> float:
    """Share of a donor's pollen that carries no S-allele of the parent."""
    if donor.name == parent.name or donor.pollen is Pollen.NONE or (donor.ploidy or 2) > 2:
        return 0.0
    weight = 1.0
    if donor.ploidy is None and donor.pollen is None:
        weight = NO_PLOIDY
    elif donor.pollen is Pollen.POOR:
        weight = POOR
    if not (donor.alleles and parent.alleles):
        return weight * UNKNOWN
    return weight * sum(allele not in parent.alleles for allele in donor.alleles) / len(donor.alleles)


def _together(seasons: PlaceSeasons, year: int, donor: Cultivar, parent: Cultivar) -> float:
    """Share of the parent's bloom through which the donor flowers."""
    a, b = seasons.cultivars.index(donor.name), seasons.cultivars.index(parent.name)
    begin = max(seasons.first_bloom[year, a], seasons.first_bloom[year, b])
    end = min(seasons.petal_fall[year, a], seasons.petal_fall[year, b])
    length = seasons.petal_fall[year, b] - seasons.first_bloom[year, b]
    share = float(max(0.0, end - begin) / length)
    return share if share == share else 0.0  # no bloom overlaps nothing


def _grid(ground: Ground) -> list[tuple[int, int]]:
    """Row line and step along it of every place, counted from how far it lies to the side and along."""
    found: list[tuple[int, int]] = []
    for index in range(ground.capacity):
        block = ground.blocks[ground.block[index]]
        turn, climb = radians(block.row_bearing), radians(block.row_bearing - block.slope_bearing)
        along = ground.x[index] * sin(turn) + ground.y[index] * cos(turn)
        aside = ground.x[index] * cos(turn) - ground.y[index] * sin(turn)
        on_map = block.tree_spacing / sqrt(1 + (block.slope * cos(climb)) ** 2)
        found.append((aside / block.row_spacing, along / on_map))  # type: ignore[arg-type]
    for number in range(len(ground.blocks)):
        own = [index for index in range(ground.capacity) if ground.block[index] == number]
        if own:
            low = [min(found[index][axis] for index in own) for axis in (0, 1)]
            for index in own:
                aside, along = found[index]
                found[index] = (round(aside - low[0]), ceil(along - low[1] - 0.5 - 1e-9))
    return found
