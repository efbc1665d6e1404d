"""Charts: drawn without a network, true to the result, and readable without colour."""

import json
import re
from dataclasses import replace
from itertools import chain
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from faces import invented

from topwire.choice.findings import Rivalry
from topwire.engine.orchard import Orchard
from topwire.show.chart_style import count, drawn, layer, stack
from topwire.show.charts import CHARTS, Chart, department_charts, svg
from topwire.show.tables import NAMES, department_tables
from topwire.values.terms import CiderStyle, Use
from topwire.web.drawn import on_dark

WANTED = {
    "climate", "bloom", "harvest", "frost", "service", "sizes", "seasons", "board", "cellar", "rivals", "crop",
    "leader", "watering", "wetting", "cash", "labour", "gives", "grafts",
}  # fmt: skip


@pytest.fixture(scope="module")
def charts(orchard: Orchard) -> dict[str, Chart]:
    found = list(chain.from_iterable(department_charts(orchard, name) for name in CHARTS))
    assert len({chart.name for chart in found}) == len(found)
    return {chart.name: chart for chart in found}


def rows(chart: Chart) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = chart.spec["data"]["values"]
    return found


def test_all_are_there(charts: dict[str, Chart]) -> None:
    assert set(charts) == WANTED


def test_each_is_well_formed_svg(charts: dict[str, Chart]) -> None:
    for chart in charts.values():
        root = ElementTree.fromstring(svg(chart))
        assert root.tag.endswith("svg")
        assert len(list(root.iter())) > 20, chart.name


def test_no_label_is_cut_off(orchard: Orchard) -> None:
    """The longest there are: every way of choosing, and cider whose fruit is told beside its volume."""
    choice = orchard.choice
    assert choice is not None
    assert choice.proof is not None
    rival = choice.proof.rivals[0]
    need = replace(
        choice.needs[-1],
        use=Use.CIDER,
        style=CiderStyle.BOTTLE_CONDITIONED,
        volume=1200.0,
        amount=2007.0,
        a_week=False,
    )
    longest = replace(
        choice,
        proof=replace(choice.proof, rivals=tuple(replace(rival, way=way) for way in Rivalry)),
        needs=(*choice.needs, need),
    )
    drawn = [svg(chart) for chart in department_charts(replace(orchard, choice=longest), "choice")]
    assert any("bottle conditioned" in one for one in drawn)
    for one in drawn:
        assert "…" not in one


@pytest.mark.parametrize("most", [1, 2, 3, 8, 10, 15, 20, 21, 3000])
@pytest.mark.parametrize("side", ["x", "y"])
def test_what_is_counted_has_no_halves_on_its_axis(side: str, most: int) -> None:
    def ticks(shown: dict[str, Any]) -> list[str]:
        body = stack([{"n": 0}, {"n": most}], 110, layer("point", {}, **{side: shown}))
        return re.findall(r">([\d.,]+)</text>", drawn(body))

    told = ticks(count("n", "trees", most))
    assert len(told) > 1
    assert len(set(told)) == len(told), "a half that is rounded stands there twice"
    assert not any("." in one for one in told)


def test_trees_grafts_and_cultivars_are_counted(charts: dict[str, Chart]) -> None:
    for name, fields in {
        "sizes": ("trees",),
        "grafts": ("made", "trees"),
        "board": ("low", "wanted"),
    }.items():
        axes = re.findall(
            r'"field": "(\w+)"[^{}]*"axis": {[^{}]*"format": ",d"', json.dumps(charts[name].spec)
        )
        assert set(fields) <= set(axes), name


def test_the_same_chart_draws_the_same(charts: dict[str, Chart]) -> None:
    assert svg(charts["service"]) == svg(charts["service"])


def test_each_says_in_words_how_to_read_it(charts: dict[str, Chart]) -> None:
    for chart in charts.values():
        assert chart.spec["description"] == chart.says
        assert chart.says.endswith(".")
        assert "colour" not in chart.says


def test_colour_never_stands_alone(charts: dict[str, Chart]) -> None:
    """Where a field is told by colour the same field is told by shape or dash too."""

    def encodings(spec: Any) -> list[dict[str, Any]]:
        if isinstance(spec, dict):
            own = [spec["encoding"]] if "encoding" in spec else []
            return own + [found for value in spec.values() for found in encodings(value)]
        if isinstance(spec, list):
            return [found for value in spec for found in encodings(value)]
        return []

    for chart in charts.values():
        for encoding in encodings(chart.spec):
            if "field" in encoding.get("color", {}):
                others = {encoding.get(name, {}).get("field") for name in ("shape", "strokeDash", "y", "row")}
                assert encoding["color"]["field"] in others, chart.name


def test_on_dark_paper_no_colour_of_light_paper_is_left(charts: dict[str, Chart]) -> None:
    """WCAG 2.2, 1.4.11: what is drawn keeps three to one beside its paper, and no large white stands in the dark."""

    def light(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    paper = light("#211f1b")
    for name, chart in charts.items():
        drawn = on_dark(svg(chart))
        for kind, colour in set(re.findall(r'(fill|stroke)="(#[0-9a-f]{6})"', drawn)):
            if kind == "fill" and colour != "#ece6d8":  # the ink, of words
                assert light(colour) < 0.6, f"{name}: {colour} glares on dark paper"
        told = set(re.findall(r'<text[^>]* fill="([^"]*)"', drawn))  # of axes, marks and legends
        inks = {one for one in told if re.fullmatch("#[0-9a-f]{6}", one)}
        assert inks
        assert told == inks, f"{name}: {told} is no colour that dark paper has another for"
        assert not re.search(r'(fill|stroke)="(black|#000|#000000)"', drawn), f"{name}: black on dark paper"
        assert all((light(ink) + 0.05) / (paper + 0.05) > 4.5 for ink in inks), f"{name}: {inks}"


def test_tables_name_charts_that_exist(orchard: Orchard, charts: dict[str, Chart]) -> None:
    named = {
        name
        for department in NAMES
        for table in department_tables(orchard, department)
        for name in table.charts
    }
    assert named == set(charts)


def test_service_is_the_choice(metric: Orchard) -> None:
    choice = metric.choice
    assert choice is not None
    chart = next(chart for chart in department_charts(metric, "choice") if chart.name == "service")
    middle = np.median(choice.needs[0].served, axis=0)
    shown = {row["week"]: row for row in rows(chart)}
    assert shown["2001-08-27"]["middle"] == pytest.approx(middle[34], abs=0.06)  # week 35 begins on 27 August
    assert shown["2002-01-01"]["middle"] == pytest.approx(middle[0], abs=0.06)  # told after the summer
    assert len(shown) == 53  # every week, the last one drawn to its end
    assert rows(chart) == sorted(rows(chart), key=lambda row: str(row["week"]))


def test_bloom_runs_from_first_bloom_to_petal_fall(metric: Orchard, orchard: Orchard) -> None:
    place = orchard.place
    assert place is not None
    chart = next(chart for chart in department_charts(orchard, "place") if chart.name == "bloom")
    row = next(row for row in rows(chart) if row["cultivar"] == "GoldRush")
    assert row["from"] < row["first"] < row["peak"] < row["last"] < row["to"]
    assert rows(chart) == rows(
        next(chart for chart in department_charts(metric, "place") if chart.name == "bloom")
    )


def test_cash_is_summed_over_the_years(charts: dict[str, Chart], orchard: Orchard) -> None:
    ledger = orchard.ledger
    assert ledger is not None
    shown = rows(charts["cash"])
    assert [row["year"] for row in shown] == list(ledger.years)
    assert shown[-1]["middle"] == pytest.approx(float(ledger.cash_flow[:, 1].sum()), abs=1)


def test_labour_shows_what_is_beyond_the_hands(charts: dict[str, Chart]) -> None:
    beyond = [row for row in rows(charts["labour"]) if row["over"] > row["hands"]]
    assert [(row["year"], row["hours"], row["over"]) for row in beyond] == [("2027, planting", 120.0, 130.0)]


@pytest.mark.parametrize("department", list(CHARTS))
def test_an_absent_department_has_none(department: str) -> None:
    assert department_charts(invented.without(invented.orchard(), *NAMES), department) == []
