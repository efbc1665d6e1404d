"""Charts of the Choice department: the kitchen served week by week, the cellar, the rivals."""

import numpy as np
import numpy.typing as npt

from topwire.choice.findings import Choice, NeedLine
from topwire.engine.orchard import Orchard
from topwire.show.chart_style import (
    ACCENT,
    BAND,
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
from topwire.tell.choice import RIVALS, need_label
from topwire.tell.reader import Reader
from topwire.values.calendar import WEEKS
from topwire.values.estimate import estimate
from topwire.values.units import Kind

SEASON_START = 27  # the week from 2 July: a harvest year is told from the first pick on


def choice_charts(orchard: Orchard) -> list[Chart]:
    choice = orchard.choice
    if choice is None:
        return []
    reader = Reader(orchard.origin.units)
    found = []
    weekly = [need for need in choice.needs if need.a_week]
    if weekly:
        found.append(service(weekly, reader))
    if len(weekly) < len(choice.needs):
        found.append(seasons([need for need in choice.needs if not need.a_week], reader))
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
    rows: list[Spec] = []
    for need in needs:
        low, middle, high = _weekly(need.served)
        of_need: list[Spec] = []
        for index in range(WEEKS):
            cells = {
                "wanted": need.wanted[index],
                "low": low[index],
                "middle": middle[index],
                "high": high[index],
            }
            shown = {name: number(reader.convert(value, Kind.MASS), 1) for name, value in cells.items()}
            of_need.append({"need": need_label(need, reader), "week": _week_day(index), **shown})
        rows += _whole_weeks(of_need)
    title = f"{reader.unit(Kind.MASS)} a week"
    return chart(
        "service",
        "The kitchen, week by week",
        "Grey: wanted. Line: served in the middle year; band: from one year in ten below to one above. Grey above the "
        "line is what is missing.",
        {
            "data": values(rows),
            "facet": {"row": _facet("need", [need_label(need, reader) for need in needs])},
            "spec": {
                "width": WIDTH,
                "height": 80,
                "layer": [
                    {
                        "mark": {"type": "area", "color": "#e4e2d8", "interpolate": "step-after"},
                        "encoding": {"x": when("week"), "y": quantity("wanted", title)},
                    },
                    *_served(title),
                ],
            },
            "resolve": {"scale": {"y": "independent"}},
        },
    )


def _served(title: str) -> list[Spec]:
    """Band from low to high year, line of the middle year."""
    return [
        {
            "mark": {"type": "area", "color": BAND, "interpolate": "step-after"},
            "encoding": {"x": when("week"), "y": quantity("low", title), "y2": {"field": "high"}},
        },
        {
            "mark": {"type": "line", "color": MIDDLE, "interpolate": "step-after", "strokeWidth": 2},
            "encoding": {"x": when("week"), "y": quantity("middle", title)},
        },
    ]


def _whole_weeks(rows: list[Spec]) -> list[Spec]:
    """In the order of a year that begins in July, the last week drawn to its end."""
    ordered = sorted(rows, key=lambda row: str(row["week"]))
    return [*ordered, {**ordered[-1], "week": iso(7 * (SEASON_START - 1) + 365)}]


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
                "need": need_label(need, reader),
                **{name: number(reader.convert(value, Kind.MASS)) for name, value in cells.items()},
            }
        )
    y: Spec = {
        "field": "need",
        "type": "nominal",
        "sort": [need_label(need, reader) for need in needs],
        "title": None,
        "axis": {"labelLimit": 310},
    }
    title = f"{reader.unit(Kind.MASS)} a season"
    return chart(
        "seasons",
        "What is made once a season",
        "Bar: served in the middle year; thin line: low to high year; upright tick: wanted.",
        {
            "data": values(rows),
            "width": WIDTH - 290,
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
    return chart(
        "board",
        "Different table apples on hand",
        "Line: middle year; band: low to high year; dashed steps: wanted.",
        _band(_whole_weeks(rows), "cultivars"),
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
    body = _band(_whole_weeks(rows), f"in the cellar, {reader.unit(Kind.MASS)}")
    body["layer"] = body["layer"][:2]
    return chart("cellar", "Fruit in the cellar", "Line: middle year; band: low to high year.", body)


def _band(rows: list[Spec], title: str) -> Spec:
    return {
        "data": values(rows),
        "width": WIDTH,
        "height": 110,
        "layer": [
            *_served(title),
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
            "plan": RIVALS[rival.way],
            "short": number(reader.convert(rival.shortfall, Kind.MASS), 0),
            "worst": number(reader.convert(rival.worst_fifth, Kind.MASS), 0),
            "label": f"{reader.convert(rival.shortfall, Kind.MASS):,.0f}",
        }
        for rival in choice.proof.rivals
    ]
    y: Spec = {
        "field": "plan",
        "type": "nominal",
        "sort": [RIVALS[rival.way] for rival in choice.proof.rivals],
        "title": None,
        "axis": {"labelLimit": 280},
    }
    title = f"avoidably short in a year, weighted {mass}"
    return chart(
        "rivals",
        "This plan beside others, in years none of them had seen",
        "Bar with its figure: mean shortfall; diamond: mean of the worst fifth of years. Shorter is better.",
        {
            "data": values(rows),
            "width": WIDTH - 240,
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
