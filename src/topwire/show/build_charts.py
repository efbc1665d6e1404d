"""Charts of what is grafted and built: grafts beside the trees wanted, and the gust at which each part gives."""

from topwire.engine.orchard import Orchard
from topwire.nursery.findings import NurseryFindings
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
from topwire.tell.trellis import condition_words, part_words
from topwire.trellis.findings import TrellisFindings
from topwire.values.units import Kind

ROW = 15  # height of a line


def nursery_charts(orchard: Orchard) -> list[Chart]:
    """What is grafted for each cultivar; none where all is bought."""
    found = orchard.nursery
    return [grafts(found)] if found is not None and any(line.grafts for line in found.lines) else []


def gust_charts(orchard: Orchard) -> list[Chart]:
    """What gives first; none where no trellis is built."""
    found = orchard.trellis
    if found is None or not weakest(found):
        return []
    return [gusts(found, Reader(orchard.origin.units))]


def grafts(found: NurseryFindings) -> Chart:
    """Bars of grafts and of trees bought, a tick for the trees wanted, most first."""
    lines = sorted(found.lines, key=lambda line: (-line.trees, line.cultivar))
    rows: list[Spec] = [
        {
            "cultivar": line.cultivar,
            "made": line.grafts + line.bought_trees,
            "trees": line.trees,
            "label": f"{line.grafts:,}" if line.grafts else f"{line.bought_trees:,} bought",
        }
        for line in lines
    ]
    y = names("cultivar", [line.cultivar for line in lines], labelLimit=200)
    return chart(
        "grafts",
        "Grafts beside the trees wanted",
        "Bar with its figure: grafts to make, or trees to buy; upright tick: trees wanted. What lies between is for "
        "grafts that fail.",
        stack(
            rows,
            {"step": ROW},
            layer("bar", {"color": BAND, "size": 10}, y=y, x=quantity("made", "grafts or trees")),
            layer(
                "tick",
                {"color": INK, "thickness": 2.5, "size": 13},
                y=y,
                x=quantity("trees", "grafts or trees"),
            ),
            layer(
                "text", {"align": "left", "dx": 4}, y=y, x=quantity("made", "grafts or trees"), text="label"
            ),
            width=WIDTH - 120,
        ),
    )


def gusts(found: TrellisFindings, reader: Reader) -> Chart:
    """From the gust at high drag to that at low drag, beside the gust the rows are built for."""
    rows: list[Spec] = []
    for _, gust in weakest(found):
        low, middle, high = (
            number(reader.convert(at, Kind.SPEED), 0) for at in (gust.low, gust.middle, gust.high)
        )
        part = f"{part_words(gust)}: {condition_words(gust)}"
        rows.append({"part": part, "low": low, "middle": middle, "high": high})
    order = [row["part"] for row in rows]
    y = names("part", order, labelLimit=310, grid=True, tickBand="extent")
    title = f"gust, {reader.unit(Kind.SPEED)}"
    asked = values([{"gust": number(reader.convert(found.design_gust, Kind.SPEED), 0), "says": "built for"}])
    return chart(
        "gusts",
        "At which gust what gives first",
        "Thick bar: from high to low drag of the leaves; upright tick: middle. Dashed: the gust the rows are built "
        "for. What begins left of it gives first.",
        stack(
            rows,
            {"step": 20},
            layer("bar", {"color": BAND, "size": 11}, y=y, x=quantity("low", title), x2="high"),
            layer("tick", {"color": MIDDLE, "thickness": 3, "size": 15}, y=y, x=quantity("middle", title)),
            {
                "data": asked,
                "layer": [
                    layer("rule", {"color": ACCENT, "strokeDash": [5, 3]}, x=quantity("gust", title)),
                    layer(
                        "text",
                        {"align": "left", "dx": 3, "y": -7, "color": ACCENT},
                        x=quantity("gust", title),
                        text="says",
                    ),
                ],
            },
            width=WIDTH - 300,
        ),
    )
