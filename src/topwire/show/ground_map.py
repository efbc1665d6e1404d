"""The map as data for a page that draws it itself: outlines, rows, trees, and their classes in every view."""

from typing import Any

import numpy as np
import numpy.typing as npt

from topwire.engine.orchard import Orchard
from topwire.layout.findings import Layout
from topwire.show.ground_drawing import HATCHES, colours_of
from topwire.show.ground_views import View, ViewOfTrees, view_of, week_name
from topwire.show.tree_sheet import cultivar_weeks
from topwire.values.address import row_name
from topwire.values.calendar import WEEKS

CENTIMETRES = 2  # decimals of a place on the map [m]


def map_data(orchard: Orchard) -> dict[str, Any] | None:
    """Plain lists for JSON, in metres east and north; None where there is no layout."""
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return None
    here = np.flatnonzero(layout.cultivar >= 0)
    starts = np.concatenate([[0], np.cumsum([len(block.rows) for block in ground.blocks])])
    names = list(layout.cultivars)
    views = []
    for one in View:
        found = view_of(one, ground, layout, orchard.choice, orchard.place)
        views.append(view_data(one.name.lower(), str(one), found, layout))
    return {
        "blocks": [
            {
                "name": block.name,
                "rings": [_ring(ring) for ring in (block.outline, *block.further_outlines) if len(ring)],
                "holes": [_ring(ring) for ring in block.holes],
            }
            for block in ground.blocks
        ],
        "rows": [
            {
                "name": row_name(block.name, row.number), "number": row.number,
                "start": _at(row.start), "end": _at(row.end),
            }
            for block in ground.blocks
            for row in block.rows
        ],
        "fence": [_ring(np.asarray(ring)) for ring in ground.fence],
        "obstacles": [_ring(ring) for ring in ground.obstacles],
        "gate": None if ground.gate is None else _at(ground.gate),
        "x": np.round(ground.x[here], CENTIMETRES).tolist(),
        "y": np.round(ground.y[here], CENTIMETRES).tolist(),
        "row": (starts[ground.block[here]] + ground.row[here]).tolist(),
        "place": ground.place[here].tolist(),
        "cultivar": layout.cultivar[here].tolist(),
        "spacing": [float(block.tree_spacing) for block in ground.blocks for _ in block.rows],
        "pitch": [float(block.row_spacing) for block in ground.blocks for _ in block.rows],
        "cultivars": [
            {
                "name": line.cultivar,
                "code": line.code,
                "bloom": line.bloom_weeks,
                "pick": [line.first_pick, line.last_pick] if line.first_pick and line.last_pick else None,
                "donors": [names.index(donor) for donor in line.donors if donor in names],
            }
            for line in cultivar_weeks(orchard)
        ],
        "weeks": [week_name(week) for week in range(1, WEEKS + 1)],
        "views": views,
        "foot": 0.3048 if orchard.origin.units == "us" else None,
    }  # fmt: skip


def view_data(key: str, says: str, found: ViewOfTrees, layout: Layout) -> dict[str, Any]:
    """One view for JSON; its classes of the places where trees stand, in the order of `map_data`."""
    classes = [
        {"sign": item.sign, "name": item.name, "trees": item.trees, "colour": colour, "hatch": number % HATCHES}
        for number, (item, colour) in enumerate(zip(found.classes, colours_of(found), strict=True))
    ]  # fmt: skip
    of = found.class_of[layout.cultivar >= 0].tolist()
    return {"key": key, "title": found.title, "says": says, "classes": classes, "of": of}


def _ring(ring: npt.NDArray[np.float64]) -> list[list[float]]:
    return [_at((float(x), float(y))) for x, y in ring]


def _at(place: tuple[float, float]) -> list[float]:
    return [round(float(place[0]), CENTIMETRES), round(float(place[1]), CENTIMETRES)]
