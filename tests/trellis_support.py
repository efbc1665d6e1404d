"""A stock and a row that most trellis tests use; figures invented where they are not the catalogue's."""

from collections.abc import Iterable
from dataclasses import dataclass

from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.trellis import wind
from topwire.trellis.demand import RowDemand, row_demand
from topwire.trellis.holding import HoldingGround
from topwire.trellis.materials import Stock
from topwire.trellis.search import Wishes
from topwire.values.notice import Notice
from topwire.values.units import UnitSystem

PRESSURE = float(wind.gust_pressure(1.0, coefficient=wind.exposure_coefficient(3.0, wind.WindExposure.C)))


@dataclass(frozen=True)
class Yard:
    """Stock, soaked ground and what the grower wants."""

    stock: Stock
    ground: HoldingGround
    wishes: Wishes


def a_row(*, length: float = 60.0, inner: bool = False, crop: float = 20.0, **changes: object) -> RowDemand:
    """A row of 0.9 m trees on wires up to 3 m, open country."""
    given: dict[str, object] = {
        "tree_spacing": 0.9,
        "first_tree": 0.45,
        "row_spacing": 3.6,
        "heights": [0.9, 1.6, 2.3, 3.0],
        "canopy_top": 3.3,
        "crop_on_wires": 0.5,
        "pressure_at_1": PRESSURE,
    }
    return row_demand(length=length, inner=inner, crop=crop, **(given | changes))  # type: ignore[arg-type]


def said(notices: Iterable[Notice]) -> str:
    """Everything told by notices, in metric units, a line each."""
    return "\n".join(f"{told.says} {told.remedy}" for told in all_told(notices, Reader(UnitSystem.METRIC)))
