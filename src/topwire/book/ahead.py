"""The book's charts, drawn in a process beside: while the last findings are worked out, or other files are made."""

import json
from concurrent.futures import Future
from typing import TYPE_CHECKING

from topwire.engine.beside import InTurn
from topwire.engine.orchard import Orchard

if TYPE_CHECKING:
    from topwire.show.chart_style import Spec


class ChartsAhead:
    """Charts, begun as soon as there is what they tell of."""

    def __init__(self, beside: InTurn) -> None:
        self._beside = beside
        self._begun: dict[str, Future[str]] = {}
        self._looked_at: dict[str, object] = {}
        self._ready = False

    def begin(self, orchard: Orchard) -> None:
        """Begin on the charts of what has been found so far, where something of it is new.

        From the nursery's answer on: until then every core has its work, but for a moment before the choice.
        """
        if orchard.is_garden:
            return
        if orchard.ground is not None and not self._ready:
            self._ready = True
            self._beside.make_ready(_first)
        new = any(run.seconds is not None for run in orchard.steps)
        if new and orchard.nursery is not None:
            from topwire.book.ideas import PICTURES
            from topwire.show.charts import CHARTS, department_charts

            for name in CHARTS:
                found = orchard.departments[name]
                if found is not None and found is not self._looked_at.get(name):
                    self._looked_at[name] = found
                    for chart in department_charts(orchard, name):
                        if chart.name in PICTURES:
                            self._drawn(chart.spec)

    def svgs(self, specs: "list[Spec]") -> list[str]:
        """The charts, those not begun on drawn now: a chart may tell of what was found last."""
        drawn = [self._drawn(spec) for spec in specs]
        return [one.result() for one in drawn]

    def _drawn(self, spec: "Spec") -> Future[str]:
        from topwire.show.chart_style import drawn

        key = json.dumps(spec, sort_keys=True)
        if key not in self._begun:
            self._begun[key] = self._beside.begin(drawn, spec)
        return self._begun[key]


def _first() -> None:
    """The first chart takes as long as the next five."""
    from topwire.show.chart_style import drawn

    drawn({"mark": "point"})
