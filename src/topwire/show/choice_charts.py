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
    by_row,
    chart,
    count,
    iso,
    layer,
    names,
    number,
    quantity,
    stack,
    when,
)
from topwire.show.kitchen_weeks import SEASON_START
from topwire.tell.choice import RIVALS, need_label
from topwire.tell.reader import Reader
from topwire.values.calendar import WEEKS
from topwire.values.estimate import estimate
from topwire.values.units import Kind

_STEPS = {"interpolate": "step-after"}


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
    if choice.proof is not None and choice.proof.rivals:
        found.append(rivals(choice, reader))
    return found


def _week_day(index: int) -> str:
    """First day of a week, in a year that begins in July."""
    return iso(7 * index + 1 + (365 if index + 1 < SEASON_START else 0))


def _weekly(amounts: npt.ArrayLike) -> dict[str, npt.NDArray[np.float64]]:
    """Low, middle, high by week of (years, weeks)."""
    found = np.percentile(np.asarray(amounts, dtype=float), [10, 50, 90], axis=0)
    return dict(zip(("low", "middle", "high"), found, strict=True))


def service(needs: list[NeedLine], reader: Reader) -> Chart:
    rows: list[Spec] = []
    for need in needs:
        cells = {"wanted": need.wanted} | _weekly(need.served)
        rows += _whole_weeks(
            [
                {"need": need_label(need, reader), "week": _week_day(index)}
                | {name: number(reader.convert(kg[index], Kind.MASS), 1) for name, kg in cells.items()}
                for index in range(WEEKS)
            ]
        )
    title = f"{reader.unit(Kind.MASS)} a week"
    wanted = layer("area", {"color": "#e4e2d8", **_STEPS}, x=when("week"), y=quantity("wanted", title))
    order = [need_label(need, reader) for need in needs]
    return chart(
        "service",
        "The kitchen, week by week",
        "Grey: wanted. Line: served in the middle year; band: from one year in ten below to one above. Grey above the "
        "line is what is missing.",
        {**by_row(rows, "need", order, wanted, *_served(title)), "resolve": {"scale": {"y": "independent"}}},
    )


def _served(title: str, **more: Spec) -> list[Spec]:
    """Band from low to high year, line of the middle year."""
    low, middle = quantity("low", title, **more), quantity("middle", title, **more)
    return [
        layer("area", {"color": BAND, **_STEPS}, x=when("week"), y=low, y2="high"),
        layer("line", {"color": MIDDLE, **_STEPS, "strokeWidth": 2}, x=when("week"), y=middle),
    ]


def _whole_weeks(rows: list[Spec]) -> list[Spec]:
    """In the order of a year that begins in July, the last week drawn to its end."""
    ordered = sorted(rows, key=lambda row: str(row["week"]))
    return [*ordered, {**ordered[-1], "week": iso(7 * (SEASON_START - 1) + 365)}]


def seasons(needs: list[NeedLine], reader: Reader) -> Chart:
    rows = []
    for need in needs:
        got = estimate(need.served.sum(axis=1))
        assert got is not None
        cells = {"wanted": float(need.wanted.sum()), "low": got.low, "middle": got.middle, "high": got.high}
        shown = {name: number(reader.convert(value, Kind.MASS)) for name, value in cells.items()}
        rows.append({"need": need_label(need, reader), **shown})
    y = names("need", [need_label(need, reader) for need in needs], labelLimit=400)
    title = f"{reader.unit(Kind.MASS)} a season"
    return chart(
        "seasons",
        "What is made once a season",
        "Bar: served in the middle year; thin line: low to high year; upright tick: wanted.",
        stack(
            rows,
            {"step": 24},
            layer("bar", {"color": BAND, "size": 14}, y=y, x=quantity("middle", title)),
            layer("rule", {"color": MIDDLE, "strokeWidth": 2}, y=y, x=quantity("low", title), x2="high"),
            layer("tick", {"color": INK, "thickness": 2.5, "size": 20}, y=y, x=quantity("wanted", title)),
            width=WIDTH - 290,
        ),
    )


def board(choice: Choice) -> Chart:
    bands = _weekly(choice.board)
    rows = [
        {"week": _week_day(index), "wanted": int(choice.board_wanted[index])}
        | {name: number(band[index], 1) for name, band in bands.items()}
        for index in range(WEEKS)
    ]
    dashes = {"color": INK, "strokeDash": [4, 3], **_STEPS}
    most = max(float(bands["high"].max()), float(choice.board_wanted.max()))
    counted = count("wanted", "cultivars", most)
    wanted = layer("line", dashes, x=when("week"), y=counted)
    return chart(
        "board",
        "Different table apples on hand",
        "Line: middle year; band: low to high year; dashed steps: wanted.",
        stack(_whole_weeks(rows), 110, *_served("cultivars", axis=counted["axis"]), wanted),
    )


def cellar(choice: Choice, reader: Reader) -> Chart:
    bands = _weekly(choice.stored)
    rows: list[Spec] = [
        {"week": _week_day(index)}
        | {name: number(reader.convert(kg[index], Kind.MASS), 0) for name, kg in bands.items()}
        for index in range(WEEKS)
    ]
    body = stack(_whole_weeks(rows), 110, *_served(f"in the cellar, {reader.unit(Kind.MASS)}"))
    return chart("cellar", "Fruit in the cellar", "Line: middle year; band: low to high year.", body)


def rivals(choice: Choice, reader: Reader) -> Chart:
    assert choice.proof is not None
    rows = [
        {
            "plan": RIVALS[rival.way],
            "short": number(reader.convert(rival.shortfall, Kind.MASS), 0),
            "worst": number(reader.convert(rival.worst_fifth, Kind.MASS), 0),
            "label": f"{reader.convert(rival.shortfall, Kind.MASS):,.0f}",
        }
        for rival in choice.proof.rivals
    ]
    y = names("plan", [RIVALS[rival.way] for rival in choice.proof.rivals], labelLimit=280)
    title = f"avoidably short in a year, weighted {reader.unit(Kind.MASS)}"
    diamond = {"shape": "diamond", "filled": True, "color": ACCENT, "size": 80}
    return chart(
        "rivals",
        "This plan beside others, in years none of them had seen",
        "Bar and figure: mean shortfall; diamond: mean of the worst fifth of years. Shorter is better.",
        stack(
            rows,
            {"step": 26},
            layer("bar", {"color": BAND, "size": 15}, y=y, x=quantity("short", title)),
            layer("point", diamond, y=y, x=quantity("worst", title)),
            layer("text", {"align": "left", "dx": 14}, y=y, x={"value": "width"}, text="label"),
            width=WIDTH - 285,
        ),
    )
