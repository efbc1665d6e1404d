"""Water from a garden tap: what stands on it where a few trees hang on one line, in place of a farm's head."""

from collections.abc import Sequence

from topwire.water.tables import FittingRow, WaterTables

MOST_FLOW = 0.6 / 3600  # [m3/s] that a garden tap gives a hose; common practice, no source
FARTHEST = 30.0  # [m] of hose or pipe; common practice, no source


def serves(distance: float, zones: Sequence[object], flow: float) -> bool:
    """Whether a tap `distance` [m] away is enough: one zone, no more than a hose gives."""
    return len(zones) == 1 and flow <= MOST_FLOW and distance <= FARTHEST


def on_the_tap(tables: WaterTables, flow: float) -> tuple[tuple[FittingRow, ...], FittingRow, FittingRow]:
    """Against backflow and the filter; the timer that opens; the pressure reducer."""
    head = (tables.fitting("tap guard", flow), tables.fitting("tap filter", flow))
    return head, tables.fitting("tap timer", flow), tables.fitting("tap regulator", flow)
