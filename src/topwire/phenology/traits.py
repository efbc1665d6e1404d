"""What phenology needs to know of each cultivar, as arrays in the catalogue's order."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue, Chill
from topwire.phenology.bloom import BloomNeed
from topwire.phenology.frost import HARDIER
from topwire.phenology.injury import WOOD_LETHAL
from topwire.phenology.ripening import combined_offset

Array = npt.NDArray[np.float64]

REFERENCE = "Golden Delicious"  # offsets count from it

# Weighted heat of a day about bloom at the two fitted places [K h]: what an offset of one day means in heat. Offsets so
# shrink in a warm, fast spring and stretch in a slow one, as published spreads do (standard deviation of the same 16
# cultivars 1.1 d in one fast spring, 2.9 d in a slow one: ABC2021, NCHIL302). From benchmarks/fit_bloom.py.
HEAT_OF_A_DAY = 295.0


@dataclass(frozen=True)
class BloomGroup:
    """A row of bloom_groups.csv: see `BloomNeed`."""

    group: Chill
    begin: float
    required: float
    least: float
    extra: float
    fading: float
    source: str | None
    mark: str | None
    remark: str | None


@dataclass(frozen=True)
class WoodHardiness:
    """A row of wood_hardiness.csv."""

    name: str
    hardiness: str
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class RootHardiness:
    """A row of root_hardiness.csv: soil [deg C] that killed half the roots, in the tenderest and hardiest test read."""

    rootstock: str
    tenderest_c: float
    hardiest_c: float
    source: str | None
    mark: str | None
    remark: str | None

    @property
    def lethal(self) -> float:
        """Middle of the tests read [deg C]."""
        return (self.tenderest_c + self.hardiest_c) / 2.0


@dataclass(frozen=True)
class HarvestListed:
    """A row of harvest_lists.csv: a date in one place's list, in days from Golden Delicious in the same list."""

    entry: str
    cultivar: str
    place: str
    days_from_golden_delicious: float
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class Traits:
    """Arrays (cultivars,) in the order of `names`.

    Attributes
    ----------
    names : the catalogue's cultivars
    reference : index of the reference cultivar
    bloom_offset : [d] from the reference; 0 where not known
    harvest_offset : [d] from the reference; NaN where not known
    need : chill and heat to bloom, the offset already in
    hardier : [K] buds hardier than those of Red Delicious
    lethal : [deg C] at which midwinter wood is hurt
    bloom_shift, harvest_shift : [d] learned from own dates at this place
    """

    names: tuple[str, ...]
    reference: int
    bloom_offset: Array
    harvest_offset: Array
    need: BloomNeed
    hardier: Array
    lethal: Array
    bloom_shift: Array
    harvest_shift: Array


def traits_of(catalogue: Catalogue, *, stretch: float = 1.0) -> Traits:
    """Traits of all cultivars of the catalogue.

    Parameters
    ----------
    catalogue : with the tables bloom_groups and wood_hardiness
    stretch : factor on the offsets of bloom at this place
    """
    groups = {row.group: row for row in catalogue.rows("bloom_groups", BloomGroup)}
    hardiness = {row.name: row.hardiness for row in catalogue.rows("wood_hardiness", WoodHardiness)}
    rows = catalogue.cultivars
    names = tuple(row.name for row in rows)
    of = [groups[row.chill or Chill.MEDIUM] for row in rows]
    offset = np.array([row.bloom_offset_days or 0.0 for row in rows])
    harvest = _harvest_offsets(catalogue)
    return Traits(
        names=names,
        reference=names.index(REFERENCE),
        bloom_offset=offset,
        harvest_offset=np.array([np.nan if days is None else days for days in harvest]),
        need=BloomNeed(
            begin=np.array([group.begin for group in of]),
            required=np.array([group.required for group in of]),
            least=np.array([group.least for group in of]) + offset * stretch * HEAT_OF_A_DAY,
            extra=np.array([group.extra for group in of]),
            fading=np.array([group.fading for group in of]),
        ),
        hardier=np.array([HARDIER.get(name, 0.0) for name in names]),
        lethal=np.array([WOOD_LETHAL[hardiness.get(name, "medium")] for name in names]),
        bloom_shift=np.zeros(len(names)),
        harvest_shift=np.zeros(len(names)),
    )


def _harvest_offsets(catalogue: Catalogue) -> list[float | None]:
    """Offsets of ripening [d]; a row of the grower's own stands as it is."""
    by_place: dict[str, dict[str, list[float]]] = {}
    for row in catalogue.rows("harvest_lists", HarvestListed):
        places = by_place.setdefault(row.cultivar, {})
        places.setdefault(row.place, []).append(row.days_from_golden_delicious)
    written = catalogue.tables["cultivars"].rows
    return [
        row.harvest_offset_days
        if written[row.name].own
        else combined_offset(
            row.harvest_offset_days, [float(np.mean(days)) for days in by_place.get(row.name, {}).values()]
        )
        for row in catalogue.cultivars
    ]
