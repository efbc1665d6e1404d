"""Charts of the years ahead: growth and crop."""

from topwire.engine.orchard import Orchard
from topwire.growth.findings import CropForecast
from topwire.show.chart_style import (
    BAND,
    INK,
    MIDDLE,
    WIDTH,
    Chart,
    Spec,
    chart,
    number,
    quantity,
    values,
)
from topwire.tell.reader import Reader
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
