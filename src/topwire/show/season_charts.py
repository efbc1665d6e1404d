"""Charts of the year: climate, bloom, harvest, frost, and the kitchen served week by week."""

import numpy as np
import numpy.typing as npt

from topwire.arrays import Floats
from topwire.choice.result import Choice, NeedLine
from topwire.engine.orchard import Orchard
from topwire.estimate import estimate
from topwire.phenology.result import PlaceSeasons
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
from topwire.show.place_tables import cultivars_of_interest
from topwire.show.reader import Reader
from topwire.units import Kind
from topwire.weeks import WEEKS

SEASON_START = 27  # the week from 2 July: a harvest year is told from the first pick on
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
ROW = 17  # height of a cultivar's line


def place_charts(orchard: Orchard) -> list[Chart]:
    place = orchard.place
    if place is None:
        return []
    names = cultivars_of_interest(orchard)
    reader = Reader(orchard.origin.units)
    found = [climate(place, reader), bloom(place, names), harvest(place, names)]
    if place.frost_chance.size:
        found.append(frost(place, names))
    return found


def climate(place: PlaceSeasons, reader: Reader) -> Chart:
    rows = []
    for index, (low, high, wet) in enumerate(place.normals):
        month = {"month": _MONTHS[index], "rain": number(reader.convert(wet, Kind.RAIN))}
        for what, value in (("mean day high", high), ("mean night low", low)):
            rows.append(
                {**month, "what": what, "degrees": number(reader.convert(value, Kind.TEMPERATURE), 1)}
            )
    months: Spec = {"field": "month", "type": "ordinal", "sort": list(_MONTHS), "title": None}
    months["axis"] = {"labelAngle": 0}
    rain = quantity("rain", f"rain, {reader.unit(Kind.RAIN)}", aggregate="max")
    dash: Spec = {"field": "what", "type": "nominal", "title": None, "legend": {"orient": "top"}}
    return chart(
        "climate",
        "The year's warmth and rain",
        "Solid line: mean day high; dashed: mean night low. Bars: rain of the month.",
        {
            "data": values(rows),
            "vconcat": [
                {
                    "width": WIDTH,
                    "height": 130,
                    "mark": {"type": "line", "point": {"color": INK}, "color": INK},
                    "encoding": {
                        "x": months,
                        "y": quantity("degrees", reader.unit(Kind.TEMPERATURE)),
                        "strokeDash": dash,
                    },
                },
                {
                    "width": WIDTH,
                    "height": 60,
                    "mark": {"type": "bar", "color": "#8fa9bb", "size": 18},
                    "encoding": {"x": months, "y": rain},
                },
            ],
        },
    )  # fmt: skip


def _span(
    first: Floats, middle: Floats | None, last: Floats, names: list[str], place: PlaceSeasons
) -> list[Spec]:
    """For each cultivar: the span over all years, the middle year's span and its middle day."""
    rows: list[Spec] = []
    for name in names:
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


def _bars(names: list[str], tick: bool) -> list[Spec]:
    cultivar: Spec = {
        "field": "cultivar",
        "type": "nominal",
        "sort": names,
        "title": None,
        "axis": {"labelLimit": 200, "grid": True, "tickBand": "extent"},
    }
    layers: list[Spec] = [
        {
            "mark": {"type": "rule", "color": FAINT, "strokeWidth": 2},
            "encoding": {"y": cultivar, "x": when("from"), "x2": {"field": "to"}},
        },
        {
            "mark": {"type": "bar", "color": MIDDLE, "size": 9},
            "encoding": {"y": cultivar, "x": when("first"), "x2": {"field": "last"}},
        },
    ]
    if tick:
        layers.append(
            {
                "mark": {"type": "tick", "color": INK, "thickness": 2, "size": 15},
                "encoding": {"y": cultivar, "x": when("peak")},
            }
        )
    return layers


def bloom(place: PlaceSeasons, names: list[str]) -> Chart:
    layers = _bars(names, tick=True)
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
        rule = {
            "data": values(marks),
            "layer": [
                {
                    "mark": {"type": "rule", "color": ACCENT, "strokeDash": [5, 3]},
                    "encoding": {"x": when("day")},
                },
                {
                    "mark": {"type": "text", "align": "left", "dx": 3, "y": -7, "color": ACCENT},
                    "encoding": {"x": when("day"), "text": {"field": "says"}},
                },
            ],
        }
        layers.append(rule)
        says += " Dashed uprights: the last frost of spring in the middle year and in one year of ten."
    body: Spec = {
        "data": values(_span(place.first_bloom, place.full_bloom, place.petal_fall, names, place)),
        "width": WIDTH - 120,
        "height": {"step": ROW},
        "layer": [_with_days(layer) for layer in layers],
    }
    return chart("bloom", "Bloom calendar", says, body)


def _with_days(layer: Spec) -> Spec:
    """Bloom and harvest are told by the day, not by the month."""
    encoding = layer.get("encoding", {})
    if "x" in encoding:
        encoding["x"]["axis"] = {"format": "%-d %b", "tickCount": 10}
    for inner in layer.get("layer", ()):
        _with_days(inner)
    return layer


def harvest(place: PlaceSeasons, names: list[str]) -> Chart:
    order = sorted(names, key=lambda name: _middle(place, name))
    return chart(
        "harvest",
        "Harvest calendar",
        "Thick bar: first to last pick in the middle year; thin line: from the earliest year in ten to the latest.",
        {
            "data": values(_span(place.harvest_first, None, place.harvest_last, order, place)),
            "width": WIDTH - 120,
            "height": {"step": ROW},
            "layer": [_with_days(layer) for layer in _bars(order, tick=False)],
        },
    )


def _middle(place: PlaceSeasons, name: str) -> float:
    found = place.harvest_of(name)
    return found.middle if found else np.inf


def frost(place: PlaceSeasons, names: list[str]) -> Chart:
    losses = ("a tenth or more", "half or more", "nine tenths or more")
    rows = [
        {"cultivar": name, "loss": loss, "chance": number(100 * float(chance), 0)}
        for name in names
        for loss, chance in zip(losses, place.frost_chance[place.cultivars.index(name)], strict=True)
    ]
    legend = {"orient": "top"}
    return chart(
        "frost",
        "How often frost takes the bloom",
        "Circle: years that lose a tenth of the bloom or more; square: half; triangle: nine tenths. A tree needs only "
        "a small part of its flowers.",
        {
            "data": values(rows),
            "width": WIDTH - 120,
            "height": {"step": ROW},
            "mark": {"type": "point", "filled": True, "size": 70, "opacity": 0.9},
            "encoding": {
                "y": {"field": "cultivar", "type": "nominal", "sort": names, "title": None, "axis": {"grid": True}},
                "x": quantity("chance", "weather years, %", scale={"domain": [0, 100]}),
                "shape": {
                    "field": "loss",
                    "type": "nominal",
                    "sort": list(losses),
                    "scale": {"range": ["circle", "square", "triangle-up"]},
                    "title": "of the bloom lost",
                    "legend": legend,
                },
                "color": {
                    "field": "loss",
                    "type": "nominal",
                    "sort": list(losses),
                    "scale": {"range": [FAINT, MIDDLE, ACCENT]},
                    "legend": None,
                },
            },
        },
    )  # fmt: skip


def choice_charts(orchard: Orchard) -> list[Chart]:
    choice = orchard.choice
    if choice is None:
        return []
    reader = Reader(orchard.origin.units)
    found = []
    weekly = [need for need in choice.needs if not need.season_total]
    if weekly:
        found.append(service(weekly, reader))
    if len(weekly) < len(choice.needs):
        found.append(seasons([need for need in choice.needs if need.season_total], reader))
    found += [board(choice), cellar(choice, reader)]
    if choice.proof is not None:
        found.append(rivals(choice, reader))
    return found


def _week_day(index: int) -> str:
    """First day of a week, in a year that begins in July."""
    return iso(7 * index + 1 + (365 if index + 1 < SEASON_START else 0))


def _weekly(amounts: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Low, middle, high by week of (years, weeks)."""
    found: npt.NDArray[np.float64] = np.percentile(np.asarray(amounts, dtype=float), [10, 50, 90], axis=0)
    return found


def service(needs: list[NeedLine], reader: Reader) -> Chart:
    rows = []
    for need in needs:
        low, middle, high = _weekly(need.served)
        for index in range(WEEKS):
            if need.wanted[index] <= 0 and high[index] <= 0:
                continue
            cells = {
                "wanted": need.wanted[index],
                "low": low[index],
                "middle": middle[index],
                "high": high[index],
            }
            shown = {name: number(reader.convert(value, Kind.MASS), 1) for name, value in cells.items()}
            rows.append({"need": need.label, "week": _week_day(index), **shown})
    rows.sort(key=lambda row: (str(row["need"]), str(row["week"])))
    mass = quantity("middle", f"{reader.unit(Kind.MASS)} a week")
    return chart(
        "service",
        "The kitchen, week by week",
        "Steps: wanted. Line: served in the middle year. Band: from one year in ten below to one above.",
        {
            "data": values(rows),
            "facet": {"row": _facet("need", [need.label for need in needs])},
            "spec": {
                "width": WIDTH,
                "height": 95,
                "layer": [
                    {
                        "mark": {"type": "area", "color": BAND, "interpolate": "step-after"},
                        "encoding": {"x": when("week"), "y": quantity("low", mass["title"]), "y2": {"field": "high"}},
                    },
                    {
                        "mark": {"type": "line", "color": MIDDLE, "interpolate": "step-after", "strokeWidth": 2},
                        "encoding": {"x": when("week"), "y": mass},
                    },
                    {
                        "mark": {"type": "line", "color": INK, "strokeDash": [4, 3], "interpolate": "step-after"},
                        "encoding": {"x": when("week"), "y": quantity("wanted", mass["title"])},
                    },
                ],
            },
            "resolve": {"scale": {"y": "independent"}},
        },
    )  # fmt: skip


def _facet(field: str, order: list[str]) -> Spec:
    return {"field": field, "type": "nominal", "sort": order, "header": {"orient": "top"}}


def seasons(needs: list[NeedLine], reader: Reader) -> Chart:
    rows = []
    for need in needs:
        got = estimate(need.served.sum(axis=1))
        assert got is not None
        cells = {"wanted": float(need.wanted.sum()), "low": got.low, "middle": got.middle, "high": got.high}
        rows.append(
            {
                "need": need.label,
                **{name: number(reader.convert(value, Kind.MASS)) for name, value in cells.items()},
            }
        )
    y: Spec = {
        "field": "need",
        "type": "nominal",
        "sort": [need.label for need in needs],
        "title": None,
        "axis": {"labelLimit": 200},
    }
    title = f"{reader.unit(Kind.MASS)} a season"
    return chart(
        "seasons",
        "What is made once a season",
        "Bar: served in the middle year; thin line: low to high year; upright tick: wanted.",
        {
            "data": values(rows),
            "width": WIDTH - 120,
            "height": {"step": 24},
            "layer": [
                {
                    "mark": {"type": "bar", "color": BAND, "size": 14},
                    "encoding": {"y": y, "x": quantity("middle", title)},
                },
                {
                    "mark": {"type": "rule", "color": MIDDLE, "strokeWidth": 2},
                    "encoding": {"y": y, "x": quantity("low", title), "x2": {"field": "high"}},
                },
                {
                    "mark": {"type": "tick", "color": INK, "thickness": 2.5, "size": 20},
                    "encoding": {"y": y, "x": quantity("wanted", title)},
                },
            ],
        },
    )  # fmt: skip


def board(choice: Choice) -> Chart:
    low, middle, high = _weekly(choice.board)
    rows = [
        {
            "week": _week_day(index),
            "wanted": int(choice.board_wanted[index]),
            "low": number(low[index], 1),
            "middle": number(middle[index], 1),
            "high": number(high[index], 1),
        }
        for index in range(WEEKS)
    ]
    rows.sort(key=lambda row: str(row["week"]))
    return chart(
        "board",
        "Different table apples on hand",
        "Line: middle year; band: low to high year; dashed steps: wanted.",
        _band(rows, "cultivars"),
    )


def cellar(choice: Choice, reader: Reader) -> Chart:
    low, middle, high = _weekly(choice.stored)
    rows = [
        {
            "week": _week_day(index),
            "low": number(reader.convert(low[index], Kind.MASS), 0),
            "middle": number(reader.convert(middle[index], Kind.MASS), 0),
            "high": number(reader.convert(high[index], Kind.MASS), 0),
        }
        for index in range(WEEKS)
    ]
    rows.sort(key=lambda row: str(row["week"]))
    body = _band(rows, f"in the cellar, {reader.unit(Kind.MASS)}")
    body["layer"] = body["layer"][:2]
    return chart("cellar", "Fruit in the cellar", "Line: middle year; band: low to high year.", body)


def _band(rows: list[Spec], title: str) -> Spec:
    return {
        "data": values(rows),
        "width": WIDTH,
        "height": 110,
        "layer": [
            {
                "mark": {"type": "area", "color": BAND, "interpolate": "step-after"},
                "encoding": {"x": when("week"), "y": quantity("low", title), "y2": {"field": "high"}},
            },
            {
                "mark": {"type": "line", "color": MIDDLE, "interpolate": "step-after", "strokeWidth": 2},
                "encoding": {"x": when("week"), "y": quantity("middle", title)},
            },
            {
                "mark": {"type": "line", "color": INK, "strokeDash": [4, 3], "interpolate": "step-after"},
                "encoding": {"x": when("week"), "y": quantity("wanted", title)},
            },
        ],
    }


def rivals(choice: Choice, reader: Reader) -> Chart:
    assert choice.proof is not None
    mass = reader.unit(Kind.MASS)
    rows = [
        {
            "plan": rival.name,
            "short": number(reader.convert(rival.shortfall, Kind.MASS), 0),
            "worst": number(reader.convert(rival.worst_fifth, Kind.MASS), 0),
            "label": f"{reader.convert(rival.shortfall, Kind.MASS):,.0f}",
        }
        for rival in choice.proof.rivals
    ]
    y: Spec = {
        "field": "plan",
        "type": "nominal",
        "sort": [rival.name for rival in choice.proof.rivals],
        "title": None,
        "axis": {"labelLimit": 230},
    }
    title = f"avoidably short in a year, weighted {mass}"
    return chart(
        "rivals",
        "This plan beside others, in years none of them had seen",
        "Bar with its figure: mean shortfall; diamond: mean of the worst fifth of years. Shorter is better.",
        {
            "data": values(rows),
            "width": WIDTH - 150,
            "height": {"step": 26},
            "layer": [
                {
                    "mark": {"type": "bar", "color": BAND, "size": 15},
                    "encoding": {"y": y, "x": quantity("short", title)},
                },
                {
                    "mark": {"type": "text", "align": "right", "dx": -4},
                    "encoding": {"y": y, "x": quantity("short", title), "text": {"field": "label"}},
                },
                {
                    "mark": {"type": "point", "shape": "diamond", "filled": True, "color": ACCENT, "size": 80},
                    "encoding": {"y": y, "x": quantity("worst", title)},
                },
            ],
        },
    )  # fmt: skip
