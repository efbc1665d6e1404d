"""Sheets and charts of the Years speak one system of units each."""

import json
import re

import pytest
from faces import invented

from topwire.show.tables import department_tables
from topwire.show.years_charts import years_charts
from topwire.values.units import UnitSystem

METRIC = re.compile(r"(?<![\w/])(kg|t/ha|m|cm|mm|ha|g|m²|cm²|°C)(?![\w/])")
US = re.compile(r"(?<![\w/])(lb|ton/acre|ft|in|acre|oz|in²|°F)(?![\w/])")
PROSE = re.compile(r"\bin (?!\(|,|$)")  # the word, not the unit


def said(system: UnitSystem) -> list[str]:
    orchard = invented.orchard(units=system)
    found = []
    for table in department_tables(orchard, "years"):
        found += [table.title, table.rests_on, *table.notes, *table.columns]
        found += [cell for row in table.rows for cell in row if isinstance(cell, str)]
    found += [json.dumps(chart.spec["layer"]) + chart.title + chart.says for chart in years_charts(orchard)]
    return found


def test_a_plan_in_american_units_has_no_metric_one() -> None:
    assert [text for text in said(UnitSystem.US) if METRIC.search(text)] == []


def test_a_metric_plan_has_no_american_one() -> None:
    assert [text for text in said(UnitSystem.METRIC) if US.search(PROSE.sub("", text))] == []


@pytest.mark.parametrize("system", list(UnitSystem))
def test_no_mark_of_a_measure_is_left(system: UnitSystem) -> None:
    assert not [text for text in said(system) if re.search(r"\[[^\[\]]*\|", text) and "{" not in text]
