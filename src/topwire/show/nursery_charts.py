"""The chart of the Nursery department: grafts beside the trees wanted."""

from topwire.engine.orchard import Orchard
from topwire.nursery.findings import NurseryFindings
from topwire.show.chart_style import BAND, INK, WIDTH, Chart, Spec, chart, count, layer, names, stack

ROW = 15  # height of a line


def nursery_charts(orchard: Orchard) -> list[Chart]:
    """What is grafted for each cultivar; none where all is bought."""
    found = orchard.nursery
    return [grafts(found)] if found is not None and any(line.grafts for line in found.lines) else []


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
    title, most = "grafts or trees", max(line.grafts + line.bought_trees for line in lines)
    made, trees = count("made", title, most), count("trees", title, most)
    y = names("cultivar", [line.cultivar for line in lines], labelLimit=200)
    return chart(
        "grafts",
        "Grafts beside the trees wanted",
        "Bar with its figure: grafts to make, or trees to buy; upright tick: trees wanted; the rest is for failures.",
        stack(
            rows,
            {"step": ROW},
            layer("bar", {"color": BAND, "size": 10}, y=y, x=made),
            layer("tick", {"color": INK, "thickness": 2.5, "size": 13}, y=y, x=trees),
            layer("text", {"align": "left", "dx": 4}, y=y, x=made, text="label"),
            width=WIDTH - 120,
        ),
    )
