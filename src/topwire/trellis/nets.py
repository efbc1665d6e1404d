"""A net drawn over each row and hung on its top wire: what it catches of wind and hail.

Nobody has measured a netted fruiting wall. Threads are taken as round members of open frames (drag 1.2 on what they
cover, ASCE7-16 figure 29.4-2, MEMORY), one sheet on each side of the row; what passes a sheet is (1 - cover)^2 of the
pressure, and the leaves behind take that much less. A net does not streamline, so the drag falls less with the gust's
speed: that is what brings netted rows down.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.trellis.loads import CANOPY_WIDTH, GRAVITY
from topwire.trellis.wind import DRAG
from topwire.values.arrays import Floats
from topwire.values.quantities import Share
from topwire.values.terms import Net

THREAD_DRAG = 1.2
COVER = {Net.BIRD: 0.10, Net.HAIL: 0.25}  # of a sheet's area that threads cover; makers' figures, MEMORY
# Hail that lodges in a net over the ridge, and wet snow in one left up: scenarios beside the snow on leaves; nothing
# was measured (common practice, no source). [kg/m2 of row seen from above]
HAIL, SNOW = 10.0, 20.0


@dataclass(frozen=True)
class RowNet:
    """A net over the rows.

    Attributes
    ----------
    cover : of a sheet's area that its threads cover
    all_leaf : up as long as leaves are; else while fruit colours alone
    """

    cover: Share
    all_leaf: bool

    @property
    def drag(self) -> float:
        """Of both sheets, on the gross band."""
        return THREAD_DRAG * self.cover * (1 + self.passes)

    @property
    def passes(self) -> float:
        """Share of the pressure that the leaves behind a sheet still get."""
        return (1 - self.cover) ** 2

    def over(self, drag: npt.ArrayLike) -> Floats:
        """Drag of net and leaves together, leaves alone having `drag`."""
        return np.asarray(self.drag + self.passes * np.asarray(drag, dtype=float))

    def is_up(self, *, leaf: float, crop: float) -> bool:
        """Whether it hangs when storms of a season come; bare trees wear none."""
        return leaf >= 1 and (self.all_leaf or crop >= 1)


def net_of(kind: Net) -> RowNet | None:
    """The net a plan names; None where it names none."""
    return None if kind is Net.NONE else RowNet(COVER[kind], kind is Net.HAIL)


def kind_of(net: RowNet | None) -> Net:
    """Which of the plan's nets it is."""
    return Net.NONE if net is None else Net.HAIL if net.all_leaf else Net.BIRD


def netted_drag(net: RowNet | None, drag: float) -> float:
    """Drag of a row in full leaf and under its net, where it has one."""
    return drag if net is None else float(net.over(drag))


def netted_range(net: RowNet | None) -> tuple[float, float, float]:
    """Low, middle and high drag of a row in full leaf and under its net."""
    low, middle, high = (netted_drag(net, drag) for drag in DRAG)
    return low, middle, high


def hail_on_net() -> float:
    """Hail in a net [N/m of row]."""
    return GRAVITY * HAIL * CANOPY_WIDTH


def snow_on_net() -> float:
    """Wet snow in a net left up [N/m of row]."""
    return GRAVITY * SNOW * CANOPY_WIDTH
