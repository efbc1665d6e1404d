"""Charts of the Ledger: money over the years, work by week. They read the same in every unit system."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.ledger.findings import Ledger
from topwire.show.chart_style import (
    ACCENT,
    BAND,
    FAINT,
    INK,
    MIDDLE,
    Chart,
    Spec,
    by_row,
    chart,
    count,
    iso,
    layer,
    number,
    quantity,
    stack,
    values,
    when,
)


def ledger_charts(orchard: Orchard) -> list[Chart]:
    ledger = orchard.ledger
    if ledger is None:
        return []
    made = [cash(ledger), labour(ledger)]
    return [*made, sizes(ledger)] if len(ledger.sizes) > 1 else made


def cash(ledger: Ledger) -> Chart:
    """Cash flow by year, summed up: when the orchard has paid for itself."""
    total = np.cumsum(ledger.cash_flow, axis=0)
    years = [int(year) for year in ledger.years]
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
        stack(
            rows,
            190,
            layer("area", {"color": BAND, "opacity": 0.8}, x=year, y=quantity("low", title), y2="high"),
            layer("bar", {"color": FAINT, "size": 9}, x=year, y=quantity("flow", title)),
            layer("line", {"color": MIDDLE, "strokeWidth": 2}, x=year, y=quantity("middle", title)),
            {"data": values([{}]), **layer("rule", {"color": INK}, y={"datum": 0})},
        ),
    )


def sizes(ledger: Ledger) -> Chart:
    """Share served against the number of trees; the plan's own size marked."""
    lines = [
        {
            "trees": line.trees,
            "served": number(100 * line.served, 1),
            "worst": number(100 * line.worst_fifth, 1),
            "own": number(100 * line.served, 1) if line.own else None,
        }
        for line in ledger.sizes
    ]
    rows: list[Spec] = [{"trees": 0, "served": 0, "worst": 0, "own": None}, *lines]
    trees, title = count("trees", "trees", max(row["trees"] for row in rows)), "% of what is wanted"
    return chart(
        "sizes",
        "How many trees feed this kitchen",
        "Line: share served in the mean year; lower edge of the band: in the worst fifth of years; diamond: this plan.",
        stack(
            rows,
            170,
            layer("area", {"color": BAND, "opacity": 0.8}, x=trees, y=quantity("worst", title), y2="served"),
            layer("line", {"color": MIDDLE, "strokeWidth": 2}, x=trees, y=quantity("served", title)),
            layer(
                "point",
                {"shape": "diamond", "filled": True, "color": ACCENT, "size": 90},
                x=trees,
                y=quantity("own", title),
            ),
        ),
    )


def labour(ledger: Ledger) -> Chart:
    """Hours of all tasks by week: planting year, fourth year, last year."""
    horizon = len(ledger.yearly_cost)
    shown = sorted({index for index in (0, 1, 4, horizon - 1) if index < horizon})
    names = {index: _year_name(ledger, index) for index in shown}
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
    title, week = "hours a week", when("week")
    more = layer(
        "bar",
        {"color": "#f1d9d2", "stroke": ACCENT, "strokeWidth": 1.2},
        x=week,
        x2="until",
        y=quantity("hands", title),
        y2="over",
    )
    return chart(
        "labour",
        "Work by week",
        f"Bars: hours of all tasks. Dashed: hands for {hands:,.0f} hours a week; what rises above it, outlined, needs "
        "more hands.",
        by_row(
            rows,
            "year",
            list(names.values()),
            layer("bar", {"color": MIDDLE}, x=week, x2="until", y=quantity("hours", title), y2={"datum": 0}),
            {"transform": [{"filter": "datum.over > datum.hands"}], **more},
            layer("rule", {"color": INK, "strokeDash": [5, 3]}, y=quantity("hands", title, aggregate="max")),
        ),
    )


def _year_name(ledger: Ledger, index: int) -> str:
    year = int(ledger.years[index])
    return f"{year}, planting" if index == 0 else f"{year}, leaf {index}"
