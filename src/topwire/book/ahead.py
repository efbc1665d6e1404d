"""The book's charts, drawn in a process beside: while the last findings are worked out, or other files are made."""

import json
from typing import TYPE_CHECKING

from topwire.engine.beside import Aside
from topwire.engine.orchard import Orchard

if TYPE_CHECKING:
    from topwire.show.chart_style import Spec


class ChartsAhead:
    """Charts as far as they could be begun on before the book is made."""

    def __init__(self) -> None:
        self._specs: list[Spec] = []
        self._work: Aside[list[str]] | None = None

    def begin(self, orchard: Orchard) -> None:
        """Begin on a plan's charts, once it is whole but for what no step waits for, and something of it is new."""
        new = any(run.seconds is not None for run in orchard.steps)
        if self._work is None and new and orchard.ledger is not None and not orchard.is_garden:
            from topwire.show.chart_style import svgs
            from topwire.show.charts import CHARTS, department_charts

            self._specs = [chart.spec for name in CHARTS for chart in department_charts(orchard, name)]
            self._work = Aside(svgs, self._specs)

    def svgs(self, specs: "list[Spec]") -> list[str]:
        """The charts, those not begun on drawn now: a chart may tell of what was found last."""
        from topwire.show.chart_style import svgs

        keys = [json.dumps(spec, sort_keys=True) for spec in specs]
        begun = {json.dumps(spec, sort_keys=True) for spec in self._specs}
        late = {key: spec for key, spec in zip(keys, specs, strict=True) if key not in begun}
        now = Aside(svgs, list(late.values()), begin=bool(late))
        made = dict(zip(late, now.result(), strict=True)) if late else {}
        if self._work is not None:
            done = self._work.result()
            made |= {
                json.dumps(spec, sort_keys=True): one for spec, one in zip(self._specs, done, strict=True)
            }
        return [made[key] for key in keys]

    def close(self) -> None:
        """The book is made, or none is."""
        if self._work is not None:
            self._work.stop()
