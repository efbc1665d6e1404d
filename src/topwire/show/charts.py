"""Every department's charts by its name, for page and book alike."""

from collections.abc import Callable, Mapping

from topwire.engine.orchard import Orchard
from topwire.show.by_record import CHARTS as OF_MANY_YEARS
from topwire.show.by_record import is_short
from topwire.show.by_size import CHARTS_OF_A_FIELD
from topwire.show.chart_style import Chart, svg
from topwire.show.choice_charts import choice_charts
from topwire.show.ledger_charts import ledger_charts
from topwire.show.nursery_charts import nursery_charts
from topwire.show.place_charts import place_charts
from topwire.show.trellis_charts import trellis_charts
from topwire.show.water_charts import water_charts
from topwire.show.years_charts import years_charts

__all__ = ["CHARTS", "Chart", "department_charts", "svg"]

CHARTS: Mapping[str, Callable[[Orchard], list[Chart]]] = {
    "place": place_charts,
    "choice": choice_charts,
    "years": years_charts,
    "nursery": nursery_charts,
    "trellis": trellis_charts,
    "water": water_charts,
    "ledger": ledger_charts,
}


def department_charts(orchard: Orchard, name: str) -> list[Chart]:
    """Charts of one department; none where it has none or is absent."""
    draw = CHARTS.get(name)
    found = draw(orchard) if draw else []
    left_out = (CHARTS_OF_A_FIELD if orchard.is_garden else frozenset()) | (
        OF_MANY_YEARS if is_short(orchard) else frozenset()
    )
    return [chart for chart in found if chart.name not in left_out]
