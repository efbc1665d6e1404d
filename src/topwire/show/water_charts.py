"""The chart of the Water department: hours to run, week by week."""

from topwire.engine.orchard import Orchard
from topwire.show.chart_style import (
    INK,
    WIDTH,
    Chart,
    Spec,
    chart,
    iso,
    layer,
    number,
    quantity,
    values,
    when,
)
from topwire.water.findings import WaterPlan

# Leaf and year of each line; the last leaf is full grown, the first year the middle one.
_LINES = {
    "full grown, middle year": (-1, 0),
    "full grown, 9 years in 10": (-1, 1),
    "first leaf, middle year": (0, 0),
}

_GOES = {
    "roots": "wets its roots",
    "beside": "beside them",
    "below": "below them",
    "lost": "leaks, unevenness",
}


def water_charts(orchard: Orchard) -> list[Chart]:
    """Hours a week of the longest zone, young and full grown."""
    water = orchard.water
    if water is None:
        return []
    rows = [
        {
            "week": iso(7 * week + 1),
            "kind": kind,
            "hours": number(float(water.zone_hours[:, leaf, which, week].max()), 1),
        }
        for kind, (leaf, which) in _LINES.items()
        for week in range(water.zone_hours.shape[-1])
    ]
    dash: Spec = {
        "field": "kind",
        "type": "nominal",
        "sort": list(_LINES),
        "scale": {"domain": list(_LINES), "range": [[1, 0], [6, 3], [2, 2]]},
        "title": None,
        "legend": {"orient": "top"},
    }
    hours = quantity("hours", "hours a week")
    steps = layer(
        "line", {"interpolate": "step-after", "color": INK}, x=when("week"), y=hours, strokeDash=dash
    )
    return [
        _wetting(water),
        chart(
            "watering",
            "Hours to run in a week, the zone that runs longest",
            "Solid: trees full grown, middle year; dashed: enough in nine years of ten; dotted: first leaf.",
            {"data": values(rows), "width": WIDTH, "height": 140, **steps},
        ),
    ]


def _wetting(water: WaterPlan) -> Chart:
    """A watering's litres by where they go, leaf by leaf, in the block with most trees."""
    trees: dict[str, int] = {}
    for zone in water.zones:
        trees[zone.block] = trees.get(zone.block, 0) + zone.trees
    block = max(trees, key=lambda name: trees[name])
    rows = [
        {"leaf": need.leaf, "goes": said, "at": at, "share": number(getattr(need.wetting, part), 3)}
        for need in water.blocks
        if need.block == block
        for at, (part, said) in enumerate(_GOES.items())
    ]
    return chart(
        "wetting",
        "Where a watering goes, leaf by leaf",
        f"{block}: shares of what leaves the emitters; from the bottom: roots, beside them, below them, lost.",
        {
            "data": values(rows),
            "width": WIDTH,
            "height": 120,
            **layer(
                "bar",
                {"stroke": INK, "strokeWidth": 0.5},
                x={"field": "leaf", "type": "ordinal", "title": "leaf", "axis": {"labelAngle": 0}},
                y={"field": "share", "type": "quantitative", "title": "share", "axis": {"format": "%"}},
                fill={
                    "field": "goes",
                    "type": "nominal",
                    "sort": list(_GOES.values()),
                    "scale": {
                        "domain": list(_GOES.values()),
                        "range": [INK, "#8fa3ad", "#d8c9a3", "#ffffff"],
                    },
                    "title": None,
                    "legend": {"orient": "top"},
                },
                order={"field": "at", "type": "quantitative"},
            ),
        },
    )
