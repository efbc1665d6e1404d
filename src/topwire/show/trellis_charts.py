"""Charts of the Trellis: at which gust what gives first, and what posts cost against the chance that rows go over."""

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
    layer,
    names,
    number,
    quantity,
    stack,
    values,
)
from topwire.show.trellis_sheets import weakest
from topwire.tell.reader import Reader
from topwire.tell.trellis import YARDSTICKS, part_words
from topwire.trellis.findings import TrellisFindings
from topwire.trellis.risk_findings import KitRisk, KitStep, Yardstick
from topwire.values.units import Kind

SHOWN = 8  # parts: the first to give
LEAST = 0.01  # [%] what is less likely is drawn here
_SIDES = {True: "outer rows", False: "inner rows"}
_OURS = "this plan"


def trellis_charts(orchard: Orchard) -> list[Chart]:
    found = orchard.trellis
    if found is None:
        return []
    made = [gives(found, Reader(orchard.origin.units))] if weakest(found) else []
    return [*made, posts_and_chance(found)] if found.risks and found.steps else made


def gives(found: TrellisFindings, reader: Reader) -> Chart:
    """Gusts by part, the weakest on top, beside the design gust."""

    def speed(value: float) -> float | None:
        return number(reader.convert(value, Kind.SPEED), 0)

    rows = [
        {
            "part": f"{part_words(gust)}, {'outer' if row.outer else 'inner'} row",
            "low": speed(gust.low),
            "middle": speed(gust.middle),
            "high": speed(gust.high),
        }
        for row, gust in weakest(found)[:SHOWN]
    ]
    y = names("part", [str(row["part"]) for row in rows], labelLimit=300)
    title = f"gust, {reader.unit(Kind.SPEED)}"
    design = {"datum": speed(found.design_gust)}
    return chart(
        "gives",
        "At which gust what gives first",
        "Tick: the middle; band: as the leaves drag much or little. Upright line: the gust it is built for "
        f"({reader.text(found.design_gust, Kind.SPEED)}). The part on top gives first.",
        stack(
            rows,
            {"step": 26},
            layer(
                "bar",
                {"color": BAND, "size": 13},
                y=y,
                x=quantity("low", title, scale={"zero": True}),
                x2="high",
            ),
            layer("tick", {"color": INK, "thickness": 3, "size": 17}, y=y, x=quantity("middle", title)),
            {"data": values([{}]), **layer("rule", {"color": ACCENT, "strokeWidth": 2}, x=design)},
            width=WIDTH - 260,
        ),
    )


def posts_and_chance(found: TrellisFindings) -> Chart:
    """One picture: stouter posts step by step, the plan's own, and the yardsticks beside it."""
    steps = [_spot(found, one, "") for one in found.steps]
    marked = [_spot(found, one, _OURS) for one in found.risks]
    marked += [_spot(found, one, YARDSTICKS[one.kit]) for one in found.yardsticks]
    kinds = [_OURS, *YARDSTICKS.values()]
    x = quantity("cost", f"posts, set, {found.currency}", scale={"type": "log", "nice": False})
    y = quantity("chance", "% over in the plan’s years", scale={"type": "log", "domain": [LEAST, 100]})
    shape: Spec = {
        "field": "kit", "type": "nominal", "title": None, "legend": {"orient": "top", "symbolFillColor": ACCENT},
        "scale": {"domain": kinds, "range": ["diamond", "circle", "square"]},
    }  # fmt: skip
    sides = [side for outer, side in _SIDES.items() if any(one.outer is outer for one in found.risks)]
    panels = [
        {
            "title": {"text": side, "anchor": "start", "fontWeight": "normal", "fontSize": 12},
            "width": WIDTH / len(sides) - 80,
            "height": 200,
            "layer": [
                {"data": values([one for one in steps if one["rows"] == side])}
                | layer("line", {"color": MIDDLE, "point": {"color": MIDDLE, "size": 18}}, x=x, y=y),
                {"data": values([one for one in marked if one["rows"] == side])}
                | layer("point", {"filled": True, "color": ACCENT, "size": 130}, x=x, y=y, shape=shape),
                {"data": values([one for one in marked if one["rows"] == side])}
                | layer("text", {"dy": -12, "color": INK, "fontSize": 10}, x=x, y=y, text="label"),
            ],
        }
        for side in sides
    ]
    return chart(
        "posts_and_chance",
        "What posts cost, and how likely the rows go over",
        "Line: the cheapest posts of the yard for each chance. Diamond: this plan. Circle: posts as the trade "
        "usually sets them. Square: posts that stand by the building code’s own soil in the design gust, however "
        "deep that is. Where this plan stands right of the line, its wires and ends come out cheaper for it. Both "
        f"scales grow by tens; what is less likely than {LEAST} % is drawn there.",
        {"hconcat": panels},
    )


def _spot(found: TrellisFindings, one: KitStep | KitRisk | Yardstick, kit: str) -> Spec:
    chance = 100 * one.in_life
    return {
        "rows": _SIDES[one.outer],
        "kit": kit,
        "cost": number(one.posts_cost, 0),
        "chance": number(max(chance, LEAST), 3),
        "label": f"{chance:.0f} %"
        if chance >= 1
        else f"{chance:.1f} %"
        if chance >= 0.1
        else f"under {0.1} %",
    }
