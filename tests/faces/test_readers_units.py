"""A US plan shows no metric unit, a metric plan no US one: tables, notices, charts, drawings, the first page."""

import json
import re
from collections.abc import Iterator

import pytest
from engine.shared import planned_yard

from topwire.catalogue.tables import read_tables
from topwire.engine.inputs import read_inputs
from topwire.engine.orchard import Orchard
from topwire.engine.run import plan_orchard
from topwire.show.charts import CHARTS, department_charts
from topwire.show.summary import job
from topwire.show.table import Figure
from topwire.show.tables import every_table
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.units import UnitSystem

_AFTER_A_NUMBER = r"(?<![\w.])\d[\d.,]*(?:\s?[-–]\s?\d[\d.,]*)?[\s\u00a0]?(?:{})(?![\w²³/])"
_IN_A_CAPTION = r", (?:{})(?![\w²³])"
METRIC = r"mm|cm|m|km|m2|m²|ha|kg|t|m3|m³|°C|K|m/s|m³/h|L/h|L|kPa|kN|N|kg/m|t/ha|MPa|N m"
US = r"in(?!\s[a-z])|ft|yd|mi|ft²|ft2|acres?|lb|lbs|oz|tons?|gal|gph|gpm|°F|mph|psi|lbf|lb/ft|ton/acre"
# Names of goods are the catalogue's, whatever the reader's units: a 4 in post is sold under that name.
GOODS = ("item", "post", "wire", "anchor", "emitter", "line", "tubing", "pipe", "part", "end", "from")
# Trunk areas and acids are told alike everywhere; a rate quoted from a standard shows both.
ALIKE = re.compile(r"cm2|cm²|g/L|mL|\(\d[^)]*\)")


@pytest.fixture(scope="module", params=list(UnitSystem))
def orchard(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Orchard:
    folder = planned_yard(tmp_path_factory)
    plan = folder / "plan.yaml"
    plan.write_text(
        plan.read_text(encoding="utf-8").replace("units: metric", f"units: {request.param}"), encoding="utf-8"
    )
    return plan_orchard(read_inputs(folder))


def texts(orchard: Orchard) -> Iterator[tuple[str, str]]:
    """Every text a face shows, with where it stands."""
    for table in every_table(orchard):
        name = table.name
        yield f"{name}, title", table.title
        for note in (*table.notes, table.rests_on):
            yield f"{name}, note", note
        for caption in table.columns:
            yield f"{name}, caption", caption
        for row in table.rows:
            for caption, cell in zip(table.columns, row, strict=True):
                if not caption.split(",")[0].split(" ")[-1].startswith(GOODS) and isinstance(cell, str):
                    yield f"{name}, {caption}", cell
    for told in all_told(orchard.all_notices(), Reader(orchard.origin.units)):
        yield f"notice of {told.department}", f"{told.says} {told.remedy}"
    for department in CHARTS:
        for chart in department_charts(orchard, department):
            yield (
                f"chart {chart.name}",
                f"{chart.title} {chart.says} {json.dumps(chart.spec, ensure_ascii=False)}",
            )
    for title, says in job(orchard):
        yield f"first page, {title}", says


def _names_of_goods() -> re.Pattern[str]:
    """A line of 16 mm or a filter of 1 in is sold under that name, whatever the reader's units."""
    tables = read_tables()
    names = [
        key
        for table in ("emitters", "pumps_filters", "tubing", "posts", "wires", "anchors", "trellis_fittings")
        for key in tables[table].rows
    ]
    return re.compile(
        "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True)), re.IGNORECASE
    )


def test_only_the_readers_units_are_shown(orchard: Orchard) -> None:
    other = METRIC if orchard.origin.units is UnitSystem.US else US
    number = re.compile(_AFTER_A_NUMBER.format(other))
    caption = re.compile(_IN_A_CAPTION.format(other))
    found = []
    goods = _names_of_goods()
    for where, text in texts(orchard):
        plain = ALIKE.sub("", goods.sub("", text))
        wrong = number.search(plain) or (
            caption.search(plain) if "caption" in where or "chart" in where else None
        )
        if wrong:
            found.append(
                f"{where}: “{wrong.group(0)}” in {text[max(0, wrong.start() - 60) : wrong.end() + 40]}"
            )
    assert not found, "\n".join(found)


def test_every_line_of_every_bill_can_be_checked_by_hand(orchard: Orchard) -> None:
    """Printed quantity times printed price is the printed cost, but for what rounding each may take away."""
    bills = [
        table
        for table in every_table(orchard)
        if [caption.split(",")[0] for caption in table.columns[:5]]
        == ["item", "quantity", "unit", "each", "cost"]
    ]
    assert {"trellis.bill", "water.bill", "ledger.goods"} <= {table.name for table in bills}
    for table in bills:
        for _, many, _, each, cost, *_ in table.rows:
            if isinstance(many, Figure) and isinstance(each, Figure) and isinstance(cost, Figure):
                by_hand = float(str(many).replace(",", "")) * float(str(each).replace(",", ""))
                near = 0.6 * 10.0**-cost.digits + 0.0025 * cost
                assert by_hand == pytest.approx(float(cost), abs=near), (table.name, many, each, cost)
                assert each >= 1 or each == 0 or abs(round(each, each.digits) / each - 1) < 1e-3
