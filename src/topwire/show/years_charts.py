"""Charts of the years ahead: growth, crop, work and money."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.growth.result import CropForecast
from topwire.ledger.result import Ledger
from topwire.show.chart_style import (
    ACCENT,
    BAND,
    FAINT,
    INK,
    MIDDLE,
    WIDTH,
    Chart,
    Spec,
    chart,
    iso,
    number,
    quantity,
    values,
    when,
)
from topwire.show.ledger_tables import calendar_year
from topwire.show.reader import Reader
from topwire.values.units import Kind


def years_charts(orchard: Orchard) -> list[Chart]:
    years = orchard.years
    if years is None:
        return []
    reader = Reader(orchard.origin.units)
    return [crop(years, reader), leader(years, reader)]


def _leaf(field: str = "leaf") -> Spec:
    return quantity(field, "leaf (growing season in the orchard)", axis={"tickMinStep": 1, "format": "d"})


def crop(years: CropForecast, reader: Reader) -> Chart:
    rows = []
    for index, leaf in enumerate(years.leaf):
        low, middle, high = (number(reader.convert(kg, Kind.MASS), 0) for kg in years.orchard_kg[index])
        rows.append({"leaf": int(leaf), "low": low, "middle": middle, "high": high})
    title = f"crop of the new trees, {reader.unit(Kind.MASS)}"
    return chart(
        "crop",
        "The crop by leaf",
        "Line with points: middle year; band: low to high year.",
        {
            "data": values(rows),
            "width": WIDTH,
            "height": 170,
            "layer": [
                {
                    "mark": {"type": "area", "color": BAND},
                    "encoding": {"x": _leaf(), "y": quantity("low", title), "y2": {"field": "high"}},
                },
                {
                    "mark": {"type": "line", "color": MIDDLE, "point": {"color": INK}},
                    "encoding": {"x": _leaf(), "y": quantity("middle", title)},
                },
            ],
        },
    )


def leader(years: CropForecast, reader: Reader) -> Chart:
    title = f"leader height, {reader.unit(Kind.LENGTH)}"
    until = min(len(years.leaf), 8)
    rows = [
        {
            "cultivar": name,
            "leaf": int(years.leaf[leaf]),
            "height": number(reader.convert(float(years.height[index, leaf, 1]), Kind.LENGTH)),
        }
        for index, name in enumerate(years.cultivars)
        for leaf in range(until)
    ]
    layers: list[Spec] = [
        {
            "mark": {"type": "line", "color": MIDDLE, "opacity": 0.45, "strokeWidth": 1.2},
            "encoding": {
                "x": _leaf(),
                "y": quantity("height", title),
                "detail": {"field": "cultivar", "type": "nominal"},
            },
        }
    ]
    says = "One line for each cultivar, middle year."
    if years.wire_height:
        wire = [{"height": number(reader.convert(years.wire_height, Kind.LENGTH)), "says": "top wire"}]
        layers += [
            {
                "data": values(wire),
                "mark": {"type": "rule", "color": INK, "strokeDash": [5, 3]},
                "encoding": {"y": quantity("height", title)},
            },
            {
                "data": values(wire),
                "mark": {"type": "text", "align": "left", "x": 4, "dy": -6},
                "encoding": {"y": quantity("height", title), "text": {"field": "says"}},
            },
        ]
        says += " Dashed: the top wire."
    return chart(
        "leader",
        "Leaders on their way to the top wire",
        says,
        {"data": values(rows), "width": WIDTH, "height": 150, "layer": layers},
    )


def ledger_charts(orchard: Orchard) -> list[Chart]:
    ledger = orchard.ledger
    if ledger is None:
        return []
    planting = orchard.origin.planting_year
    return [cash(ledger, planting), labour(ledger, planting)]


def cash(ledger: Ledger, planting: int) -> Chart:
    """Cash flow by year, summed up: when the orchard has paid for itself."""
    total = np.cumsum(ledger.cash_flow, axis=0)
    years = [calendar_year(ledger, planting, index) for index in range(len(ledger.cash_flow))]
    rows = [
        {
            "year": years[index],
            "flow": number(float(ledger.cash_flow[index, 1]), 0),
            "low": number(float(total[index, 0]), 0),
            "middle": number(float(total[index, 1]), 0),
            "high": number(float(total[index, 2]), 0),
        }
        for index in range(len(ledger.cash_flow))
    ]
    reach = {"domain": [years[0] - 0.7, years[-1] + 0.7], "nice": False}
    year = quantity("year", None, axis={"format": "d", "tickMinStep": 1}, scale=reach)
    title = ledger.currency
    return chart(
        "cash",
        "Money in and out, and its running sum",
        "Bars: cash flow of the year, middle. Line: running sum, middle; band: low to high. Above the zero line the "
        "orchard has paid for itself (without interest).",
        {
            "data": values(rows),
            "width": WIDTH,
            "height": 190,
            "layer": [
                {
                    "mark": {"type": "area", "color": BAND, "opacity": 0.8},
                    "encoding": {"x": year, "y": quantity("low", title), "y2": {"field": "high"}},
                },
                {
                    "mark": {"type": "bar", "color": FAINT, "size": 9},
                    "encoding": {"x": year, "y": quantity("flow", title)},
                },
                {
                    "mark": {"type": "line", "color": MIDDLE, "strokeWidth": 2},
                    "encoding": {"x": year, "y": quantity("middle", title)},
                },
                {"data": values([{}]), "mark": {"type": "rule", "color": INK}, "encoding": {"y": {"datum": 0}}},
            ],
        },
    )  # fmt: skip


def labour(ledger: Ledger, planting: int) -> Chart:
    """Hours of all tasks by week: planting year, fourth year, last year."""
    horizon = len(ledger.yearly_cost)
    shown = sorted({index for index in (0, 1, 4, horizon - 1) if index < horizon})
    names = {index: _year_name(ledger, planting, index) for index in shown}
    total = np.sum([task.hours for task in ledger.tasks], axis=0) if ledger.tasks else np.zeros((horizon, 52))
    hands = ledger.hands_hours_per_week
    rows = [
        {
            "year": names[index],
            "week": iso(7 * week + 1),
            "until": iso(7 * week + 7),
            "hours": number(float(min(total[index, week], hands)), 1),
            "over": number(float(max(total[index, week], hands)), 1),
            "hands": hands,
        }
        for index in shown
        for week in range(total.shape[1])
    ]
    title = "hours a week"
    return chart(
        "labour",
        "Work by week",
        f"Bars: hours of all tasks. Dashed: hands for {hands:,.0f} hours a week; what rises above it, outlined, needs "
        "more hands.",
        {
            "data": values(rows),
            "facet": {
                "row": {"field": "year", "type": "nominal", "sort": list(names.values()), "header": {"orient": "top"}}
            },
            "spec": {
                "width": WIDTH,
                "height": 80,
                "layer": [
                    {
                        "mark": {"type": "bar", "color": MIDDLE},
                        "encoding": {
                            "x": when("week"),
                            "x2": {"field": "until"},
                            "y": quantity("hours", title),
                            "y2": {"datum": 0},
                        },
                    },
                    {
                        "transform": [{"filter": "datum.over > datum.hands"}],
                        "mark": {"type": "bar", "color": "#f1d9d2", "stroke": ACCENT, "strokeWidth": 1.2},
                        "encoding": {
                            "x": when("week"),
                            "x2": {"field": "until"},
                            "y": quantity("hands", title),
                            "y2": {"field": "over"},
                        },
                    },
                    {
                        "mark": {"type": "rule", "color": INK, "strokeDash": [5, 3]},
                        "encoding": {"y": quantity("hands", title, aggregate="max")},
                    },
                ],
            },
        },
    )  # fmt: skip


def _year_name(ledger: Ledger, planting: int, index: int) -> str:
    year = calendar_year(ledger, planting, index)
    return f"{year}, planting" if index == 0 else f"{year}, leaf {index}"
