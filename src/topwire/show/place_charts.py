"""Charts of the Place department: climate, bloom, harvest, frost."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.phenology.findings import PlaceSeasons
from topwire.show.chart_style import (
    ACCENT,
    FAINT,
    INK,
    MIDDLE,
    WIDTH,
    Chart,
    Spec,
    chart,
    iso,
    layer,
    names,
    number,
    quantity,
    stack,
    values,
    when,
)
from topwire.show.place_sheets import cultivars_of_interest
from topwire.tell.reader import Reader
from topwire.values.arrays import Floats
from topwire.values.calendar import MONTHS
from topwire.values.estimate import estimate
from topwire.values.units import Kind

ROW = 15  # height of a cultivar's line


def place_charts(orchard: Orchard) -> list[Chart]:
    place = orchard.place
    if place is None:
        return []
    shown = cultivars_of_interest(place, orchard.choice)
    reader = Reader(orchard.origin.units)
    found = [climate(place, reader), bloom(place, shown), harvest(place, shown)]
    if place.frost_chance.size:
        found.append(frost(place, shown))
    return found


def climate(place: PlaceSeasons, reader: Reader) -> Chart:
    rows = []
    for index, (low, high, wet) in enumerate(place.normals):
        month = {"month": MONTHS[index], "rain": number(reader.convert(wet, Kind.RAIN))}
        for what, value in (("mean day high", high), ("mean night low", low)):
            rows.append(
                {**month, "what": what, "degrees": number(reader.convert(value, Kind.TEMPERATURE), 1)}
            )
    months: Spec = {"field": "month", "type": "ordinal", "sort": list(MONTHS), "title": None}
    months["axis"] = {"labelAngle": 0}
    rain = quantity("rain", f"rain, {reader.unit(Kind.RAIN)}", aggregate="max")
    key = {"orient": "top", "symbolType": "stroke", "symbolSize": 300}  # as long as to show its dashes
    dash: Spec = {"field": "what", "type": "nominal", "title": None, "legend": key}
    lines = layer(
        "line",
        {"point": {"color": INK}, "color": INK},
        x=months,
        y=quantity("degrees", reader.unit(Kind.TEMPERATURE)),
        strokeDash=dash,
    )
    bars = layer("bar", {"color": "#8fa9bb", "size": 18}, x=months, y=rain)
    return chart(
        "climate",
        "The year's warmth and rain",
        "Solid line: mean day high; dashed: mean night low. Bars: rain of the month.",
        {
            "data": values(rows),
            "vconcat": [{"width": WIDTH, "height": 130, **lines}, {"width": WIDTH, "height": 60, **bars}],
        },
    )


def _span(
    first: Floats, middle: Floats | None, last: Floats, shown: list[str], place: PlaceSeasons
) -> list[Spec]:
    """For each cultivar: the span over all years, the middle year's span and its middle day."""
    rows: list[Spec] = []
    for name in shown:
        index = place.cultivars.index(name)
        begin, end = estimate(first[:, index]), estimate(last[:, index])
        peak = estimate(middle[:, index]) if middle is not None else begin
        if begin is None or end is None or peak is None:
            continue
        rows.append(
            {
                "cultivar": name,
                "from": iso(begin.low),
                "to": iso(end.high),
                "first": iso(begin.middle),
                "last": iso(end.middle),
                "peak": iso(peak.middle),
            }
        )
    return rows


def _bars(shown: list[str], tick: bool) -> list[Spec]:
    y = names("cultivar", shown, labelLimit=200, grid=True, tickBand="extent")
    ticks = layer("tick", {"color": INK, "thickness": 2, "size": 15}, y=y, x=when("peak"))
    return [
        layer("rule", {"color": FAINT, "strokeWidth": 2}, y=y, x=when("from"), x2="to"),
        layer("bar", {"color": MIDDLE, "size": 9}, y=y, x=when("first"), x2="last"),
        *([ticks] if tick else []),
    ]


def bloom(place: PlaceSeasons, shown: list[str]) -> Chart:
    layers = _bars(shown, tick=True)
    frost_day = estimate(place.last_frost)
    says = (
        "Thick bar: first bloom to petal fall in the middle year; upright tick: full bloom; thin line: from the "
        "earliest year in ten to the latest."
    )
    if frost_day is not None:
        marks = [
            {"day": iso(frost_day.middle), "says": "last frost, middle year"},
            {"day": iso(frost_day.high), "says": "late year"},
        ]
        says_it = {"align": "left", "dx": 3, "y": -7, "color": ACCENT}
        rule = {
            "data": values(marks),
            "layer": [
                layer("rule", {"color": ACCENT, "strokeDash": [5, 3]}, x=when("day")),
                layer("text", says_it, x=when("day"), text="says"),
            ],
        }
        layers.append(rule)
        says += " Dashed uprights: the last frost of spring in the middle year and in one year of ten."
    rows = _span(place.first_bloom, place.full_bloom, place.petal_fall, shown, place)
    return chart("bloom", "Bloom calendar", says, _by_day(rows, layers))


def _by_day(rows: list[Spec], layers: list[Spec]) -> Spec:
    return stack(rows, {"step": ROW}, *map(_with_days, layers), width=WIDTH - 120)


def _with_days(layer: Spec) -> Spec:
    """Bloom and harvest are told by the day, not by the month."""
    encoding = layer.get("encoding", {})
    if "x" in encoding:
        encoding["x"]["axis"] = {"format": "%-d %b", "tickCount": 10}
    for inner in layer.get("layer", ()):
        _with_days(inner)
    return layer


def harvest(place: PlaceSeasons, shown: list[str]) -> Chart:
    order = sorted(shown, key=lambda name: _middle(place, name))
    return chart(
        "harvest",
        "Harvest calendar",
        "Thick bar: first to last pick in the middle year; thin line: from the earliest year in ten to the latest.",
        _by_day(_span(place.harvest_first, None, place.harvest_last, order, place), _bars(order, tick=False)),
    )


def _middle(place: PlaceSeasons, name: str) -> float:
    found = place.harvest_of(name)
    return found.middle if found else np.inf


def frost(place: PlaceSeasons, shown: list[str]) -> Chart:
    losses = ("a tenth or more", "half or more", "nine tenths or more")
    rows = [
        {"cultivar": name, "loss": loss, "chance": number(100 * float(chance), 0)}
        for name in shown
        for loss, chance in zip(losses, place.frost_chance[place.cultivars.index(name)], strict=True)
    ]
    loss: Spec = {"field": "loss", "type": "nominal", "sort": list(losses)}
    shapes, colours = ["circle", "square", "triangle-up"], [FAINT, MIDDLE, ACCENT]
    return chart(
        "frost",
        "How often frost takes the bloom",
        "Circle: years that lose a tenth of the bloom or more; square: half; triangle: nine tenths. A tree needs only "
        "a small part of its flowers.",
        {
            "data": values(rows),
            "width": WIDTH - 120,
            "height": {"step": ROW},
            **layer(
                "point",
                {"filled": True, "size": 70, "opacity": 0.9},
                y=names("cultivar", shown, grid=True),
                x=quantity("chance", "weather years, %", scale={"domain": [0, 100]}),
                shape=loss
                | {"scale": {"range": shapes}, "title": "of the bloom lost", "legend": {"orient": "top"}},
                color=loss | {"scale": {"range": colours}, "legend": None},
            ),
        },
    )
