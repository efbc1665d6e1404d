"""The places on a map: how many cultivars fit at each, told by size and by grey, so that it prints without colour."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.show.chart_style import INK, Chart, chart, layer, number, quantity, stack

MOST_DRAWN = 1500  # places drawn each for itself; more are gathered in squares
SQUARES = 48  # across the longer side
_GREYS = ["#f0f0f0", "#111111"]


@dataclass(frozen=True)
class MapPoint:
    """A place on the map: where it lies [deg], and cultivars that fit today and when warmer too."""

    longitude: float
    latitude: float
    fits: int
    lasting: int


def region_map(points: Sequence[MapPoint]) -> Chart:
    """Every place, or squares of several where there are many; degrees as long as they are at the map's middle."""
    drawn = points if len(points) <= MOST_DRAWN else _squares(points)
    rows = [
        {
            "east": number(one.longitude, 4),
            "north": number(one.latitude, 4),
            "fits": one.fits,
            "lasting": one.lasting,
        }
        for one in drawn
    ]
    east, north = (_ends([getattr(one, name) for one in points]) for name in ("longitude", "latitude"))
    narrow = np.cos(np.radians(sum(north) / 2.0))
    height = int(np.clip(560 * (north[1] - north[0]) / max((east[1] - east[0]) * narrow, 1e-6), 160, 620))
    most = max((one.fits for one in drawn), default=1)
    axis = {"grid": True, "tickCount": 6}
    marks = layer(
        "circle",
        {"stroke": INK, "strokeWidth": 0.6, "opacity": 1.0},
        x=quantity("east", "degrees east", scale={"domain": east, "zero": False}, axis=axis),
        y=quantity("north", "degrees north", scale={"domain": north, "zero": False}, axis=axis),
        size=quantity("lasting", "when warmer too", scale={"domain": [0, most], "range": [14, 130]}),
        fill=quantity("fits", "fit today", scale={"domain": [0, most], "range": _GREYS}),
    )
    gathered = "" if drawn is points else " Places near each other stand as one circle at their means."
    says = (
        "The darker a circle, the more cultivars fit there today; the larger, the more of them still fit in the warmer "
        f"climate asked for.{gathered}"
    )
    return chart("map", "Cultivars that fit, place by place", says, stack(rows, height, marks, width=560))


def _ends(values: Sequence[float]) -> list[float]:
    low, high = min(values), max(values)
    margin = 0.04 * (high - low) or 0.05
    return [low - margin, high + margin]


def _squares(points: Sequence[MapPoint]) -> list[MapPoint]:
    where = np.array([(one.longitude, one.latitude) for one in points])
    counts = np.array([(one.fits, one.lasting) for one in points], dtype=float)
    low = where.min(axis=0)
    side = float((where.max(axis=0) - low).max()) / SQUARES or 1.0
    _, square = np.unique(np.floor((where - low) / side), axis=0, return_inverse=True)
    square = square.ravel()
    size = np.bincount(square)
    means = [np.bincount(square, column) / size for column in (*where.T, *counts.T)]
    return [
        MapPoint(float(east), float(north), round(fits), round(lasting))
        for east, north, fits, lasting in zip(*means, strict=True)
    ]
