"""All rows of an orchard sized: what there is to tell of."""

from dataclasses import dataclass

from topwire.trellis.choices import SizedRows
from topwire.trellis.cost_findings import BesidePublished, BudgetTrellis, CostPart
from topwire.trellis.fence_findings import FenceSupport
from topwire.trellis.risk_findings import KitRisk
from topwire.trellis.row_findings import RowTrellis
from topwire.trellis.rows import TrellisRow


@dataclass(frozen=True)
class SizedTrellis:
    """What there is to tell of."""

    rows: tuple[SizedRows, ...]
    built: tuple[RowTrellis, ...]
    staked: tuple[TrellisRow, ...]
    fences: tuple[FenceSupport, ...]
    bought: BudgetTrellis | None
    cost: float
    trees: int
    gust: float
    risks: tuple[KitRisk, ...]
    parts: tuple[CostPart, ...] = ()
    published: tuple[BesidePublished, ...] = ()
