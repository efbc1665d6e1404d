"""The Years asked about the invented orchard, with or without its weather."""

from dataclasses import replace
from typing import Any

import numpy as np
from nursery.invented import blank, catalogue, choice, ground, layout, plan, seasons

from topwire.catalogue.model import Catalogue
from topwire.growth.answer import answer
from topwire.growth.asked import YearsQuestion
from topwire.growth.findings import CropForecast
from topwire.growth.question import question
from topwire.layout.findings import Layout
from topwire.weather.record import Weather

NO_WEATHER = blank(Weather, day=np.zeros(0, dtype="datetime64[D]"))


def record() -> Weather:
    """Ten like years."""
    days = np.arange(np.datetime64("1990-01-01"), np.datetime64("2000-01-01"))
    wave = 11 - 12 * np.cos(2 * np.pi * np.arange(len(days)) / 365.25)
    return blank(Weather, day=days, tmin=wave - 6.0, tmax=wave + 6.0, sun=None)


def asked(
    *,
    weather: Weather = NO_WEATHER,
    tables: Catalogue | None = None,
    rows: Layout | None = None,
    stocks: Any = "G.41",
    **sections: object,
) -> YearsQuestion:
    return question(
        plan(**sections),
        tables or catalogue(),
        weather,
        seasons(0.9),
        ground(),
        choice(),
        rows or layout(stocks),
    )


def forecast(**changes: Any) -> CropForecast:
    return answer(asked(**changes))


def own_row(table: str, key: str, **cells: str) -> Catalogue:
    """The shipped catalogue with one row of the grower's own."""
    found = catalogue()
    raw = found.tables[table]
    row = replace(raw.rows[key], cells={**raw.rows[key].cells, **cells}, own=True)
    return Catalogue({**found.tables, table: replace(raw, rows={**raw.rows, key: row})})
