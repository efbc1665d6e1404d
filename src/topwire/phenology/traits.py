"""What phenology needs to know of each cultivar, as arrays in the catalogue's order."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.phenology.bloom import BloomNeed

Array = npt.NDArray[np.float64]

REFERENCE = "Golden Delicious"  # offsets count from it

# Weighted heat of a day about bloom at the two fitted places [K h]: what an offset of one day means in heat. Offsets so
# shrink in a warm, fast spring and stretch in a slow one, as published spreads do (standard deviation of the same 16
# cultivars 1.1 d in one fast spring, 2.9 d in a slow one: ABC2021, NCHIL302). From benchmarks/fit_bloom.py.
HEAT_OF_A_DAY = 295.0


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
