"""What phenology needs to know of each cultivar, as arrays in the catalogue's order."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from topwire.phenology.bloom import BloomNeed, BloomShape

Array = npt.NDArray[np.float64]

REFERENCE = "Golden Delicious"  # offsets count from it
BY_SEASON = 12.0  # [d] error of a harvest offset from which only the season is known, and no date


@dataclass(frozen=True)
class Traits:
    """Arrays (cultivars,) in the order of `names`.

    Attributes
    ----------
    names : the catalogue's cultivars
    reference : index of the reference cultivar
    bloom_offset : [d] from the reference; 0 where not known
    harvest_offset : [d] from the reference; NaN where not known
    shape : how warmth and chill lead to bloom, shared by all
    need : chill and heat to bloom, the offset already in
    bloom_error, harvest_error : [d] of the offsets, one standard deviation
    hardier : [K] buds hardier than those of Red Delicious
    lethal : [deg C] at which midwinter wood is hurt
    heat_of_a_day : [h] of full warmth in an ordinary day about bloom
    bloom_shift, harvest_shift : [d] learned from own dates at this place
    bloom_slope : of a spring's departure from the usual, likewise, on top of what warmth says
    """

    names: tuple[str, ...]
    reference: int
    bloom_offset: Array
    harvest_offset: Array
    shape: BloomShape
    need: BloomNeed
    bloom_error: Array
    harvest_error: Array
    hardier: Array
    lethal: Array
    heat_of_a_day: float
    bloom_shift: Array
    harvest_shift: Array
    bloom_slope: float = 0.0

    def some(self, names: Sequence[str]) -> "Traits":
        """The same of some cultivars only, the reference always first."""
        order = [self.names[self.reference], *(name for name in names if name != self.names[self.reference])]
        keep = [self.names.index(name) for name in order]
        parts = {
            each.name: getattr(self, each.name)[keep]
            for each in fields(self)
            if isinstance(getattr(self, each.name), np.ndarray)
        }
        need = BloomNeed(np.asarray(self.need.heat)[keep], np.asarray(self.need.required)[keep])
        return replace(self, names=tuple(order), reference=0, need=need, **parts)
