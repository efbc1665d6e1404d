"""What all charts have in common: calm ink, one accent, and marks that tell apart without colour."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

Spec = dict[str, Any]

INK, FAINT, BAND, ACCENT, MIDDLE = "#1d1d1b", "#8a8a85", "#cfd8c7", "#9c3d2e", "#4b6b3f"
WIDTH = 620
FONT = "Libertinus Serif, Georgia, serif"
SCHEMA = "https://vega.github.io/schema/vega-lite/v5.json"  # a name, never fetched
# [px] that Vega gives a label unasked; more than a letter takes in the mean of a label.
_LIMIT, _LETTER = 180, 6.0
_CONFIG: Spec = {
    "font": FONT,
    "background": "white",
    "view": {"stroke": None},
    "axis": {
        "labelColor": INK,
        "titleColor": INK,
        "titleFontWeight": "normal",
        "labelFontSize": 11,
        "titleFontSize": 11,
        "gridColor": "#e6e4dc",
        "domainColor": FAINT,
        "tickColor": FAINT,
    },
    # Figures and months are never cut off: it need not be asked how wide they are, which takes half of the drawing.
    "axisQuantitative": {"labelLimit": 0, "labelSeparation": 6},
    "axisTemporal": {"labelLimit": 0},
    "header": {
        "labelFontSize": 12,
        "labelFontWeight": "bold",
        "labelColor": INK,
        "title": None,
        "labelAnchor": "start",
    },
    "legend": {
        "labelColor": INK, "titleColor": INK, "symbolBaseFillColor": INK,
        "labelFontSize": 11, "titleFontSize": 11, "titleFontWeight": "normal",
        "labelLimit": 320, "symbolSize": 90,
    },
    "text": {"color": INK, "fontSize": 11},
}  # fmt: skip


@dataclass(frozen=True)
class Chart:
    """One chart of a department.

    Attributes
    ----------
    name : file and anchor name, unique over all departments
    title : heading
    says : how to read it, in words: the caption, and the text for those who do not see it
    spec : Vega-Lite dictionary
    """

    name: str
    title: str
    says: str
    spec: Spec


def chart(name: str, title: str, says: str, body: Mapping[str, Any]) -> Chart:
    """A chart in the house's style; `body` holds data and marks."""
    spec = {"$schema": SCHEMA, "description": says, "autosize": {"type": "pad", "contains": "padding"}}
    return Chart(name, title, says, {**spec, **body, "config": _CONFIG})


def values(rows: list[dict[str, Any]]) -> Spec:
    return {"values": rows}


def layer(kind: str, looks: Mapping[str, Any], **channels: str | Spec) -> Spec:
    """One mark, its looks, and what its channels show; a plain word is a field's name."""
    shown = {name: {"field": said} if isinstance(said, str) else said for name, said in channels.items()}
    return {"mark": {"type": kind, **looks}, "encoding": shown}


def stack(rows: list[Spec], height: float | Spec, *layers: Spec, width: int = WIDTH) -> Spec:
    """Layers over the same rows, one on the other."""
    return {"data": values(rows), "width": width, "height": height, "layer": list(layers)}


def by_row(rows: list[Spec], field: str, order: list[str], *layers: Spec) -> Spec:
    """The same layers once for each of the names, below each other."""
    facet = {"field": field, "type": "nominal", "sort": order, "header": {"orient": "top"}}
    return {
        "data": values(rows),
        "facet": {"row": facet},
        "spec": {"width": WIDTH, "height": 80, "layer": list(layers)},
    }


def names(field: str, order: list[str], **axis: Any) -> Spec:
    """A line for each name, in this order. Where none is near the limit none is measured against it."""
    longest = max(map(len, order), default=0)
    if longest * _LETTER < axis.get("labelLimit", _LIMIT):
        axis["labelLimit"] = 0
    return {"field": field, "type": "nominal", "sort": order, "title": None, "axis": axis}


def quantity(field: str, title: str | None, **more: Any) -> Spec:
    return {"field": field, "type": "quantitative", "title": title, **more}


def count(field: str, title: str | None, most: float) -> Spec:
    """What is counted, up to `most`: no half a tree on its axis. Few have ten ticks at the most."""
    few = {"tickCount": min(int(most) or 1, 10)} if most <= 20 else {}
    return quantity(field, title, axis={"format": ",d", **few})


def when(field: str, *, title: str | None = None, format_: str = "%b") -> Spec:
    """A day of the year on a time axis that knows no time zone."""
    axis = {"format": format_, "tickCount": "month", "labelAlign": "left", "labelOffset": 2}
    return {"field": field, "type": "temporal", "title": title, "scale": {"type": "utc"}, "axis": axis}


def iso(day_of_year: float) -> str:
    """Day of the common year 2001 as a date; days beyond 365 run on."""
    return (date(2001, 1, 1) + timedelta(days=round(day_of_year) - 1)).isoformat()


def number(value: float, digits: int = 2) -> float | None:
    """Rounded for the page; None where it is not known."""
    return round(float(value), digits) if value == value else None


def svg(found: Chart) -> str:
    """The chart drawn, as SVG text; no network."""
    return drawn(found.spec)


def svgs(specs: list[Spec]) -> list[str]:
    """The same of several."""
    return [drawn(spec) for spec in specs]


def drawn(spec: Spec) -> str:
    """A chart's dictionary drawn; a process beside can do it, which needs nothing else of the program."""
    import vl_convert

    svg: str = vl_convert.vegalite_to_svg(spec, vl_version="5.20")
    return svg
