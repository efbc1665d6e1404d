"""Fruit that is known by its season only has all of it in the lots and in the table of cider fruit."""

from types import SimpleNamespace
from typing import Any

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.press.findings import CiderFruit
from topwire.press.question import pressed_cultivars
from topwire.show.choice_sheets import SEASON_ONLY
from topwire.show.press_sheets import fruit


def test_the_table_has_the_season_the_lots_are_of_and_says_so() -> None:
    catalogue = Catalogue(read_tables())
    names = ("Father Abraham", "King David")
    seasons: Any = SimpleNamespace(
        cultivars=names,
        harvest_first=np.full((3, 2), 281.0),
        harvest_last=np.full((3, 2), 291.0),
        normals=np.empty(0),
    )
    made: Any = SimpleNamespace(
        fermented=True, season=SimpleNamespace(shares=tuple((name, 0.5) for name in names))
    )
    assert [line.name for line in pressed_cultivars(catalogue, seasons, (made,), names[:1])] == [names[0]]
    wide = catalogue.cultivar["Father Abraham"].harvest_error_days or 0.0
    lines = pressed_cultivars(catalogue, seasons, (made,), names)
    assert [(line.first, line.last, line.by_season) for line in lines] == [
        (281.0 - wide, 291.0 + wide, True),
        (281.0, 291.0, False),
    ]
    table = tuple(
        CiderFruit(
            line.name, None, 40.0, line.first, line.last, line.first, line.last, None, None, line.by_season
        )
        for line in lines
        if line.first and line.last
    )
    sheet = fruit(SimpleNamespace(fruit=table))  # type: ignore[arg-type]
    assert [str(row[3]).endswith(" (season)") for row in sheet.rows] == [True, False]
    assert SEASON_ONLY in sheet.notes
