"""Charts of the years ahead: growth and crop."""

from topwire.engine.orchard import Orchard
from topwire.growth.findings import CropForecast
from topwire.show.chart_style import (
    BAND,
    INK,
    MIDDLE,
    Chart,
    Spec,
    chart,
    layer,
    number,
    quantity,
    stack,
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


def _leaf() -> Spec:
    return quantity("leaf", "leaf (growing season in the orchard)", axis={"tickMinStep": 1, "format": "d"})


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
        stack(
            rows,
            170,
            layer("area", {"color": BAND}, x=_leaf(), y=quantity("low", title), y2="high"),
            layer("line", {"color": MIDDLE, "point": {"color": INK}}, x=_leaf(), y=quantity("middle", title)),
        ),
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
    thin = {"color": MIDDLE, "opacity": 0.45, "strokeWidth": 1.2}
    cultivar = {"field": "cultivar", "type": "nominal"}
    layers = [layer("line", thin, x=_leaf(), y=quantity("height", title), detail=cultivar)]
    says = "One line for each cultivar, middle year."
    if years.wire_height:
        wire = values(
            [{"height": number(reader.convert(years.wire_height, Kind.LENGTH)), "says": "top wire"}]
        )
        at, left = quantity("height", title), {"align": "left", "x": 4, "dy": -6}
        layers += [
            {"data": wire, **layer("rule", {"color": INK, "strokeDash": [5, 3]}, y=at)},
            {"data": wire, **layer("text", left, y=at, text="says")},
        ]
        says += " Dashed: the top wire."
    return chart("leader", "Leaders on their way to the top wire", says, stack(rows, 150, *layers))
