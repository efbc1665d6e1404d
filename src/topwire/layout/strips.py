"""Ground kept clear along lines: setbacks and paths."""

from collections.abc import Iterable, Iterator

import numpy as np
from shapely import LineString, Polygon, union_all
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from topwire.layout.asked import GroundQuestion, Strip
from topwire.layout.findings import ClearFor, KeptClear


def kept_clear(
    strips: Iterable[Strip], corner: tuple[float, float], *, beside: float = 0.0, rounded: bool = False
) -> BaseGeometry | None:
    """The strips' ground [m], and `beside` of it; None where there are none.

    Parameters
    ----------
    corner : that their lines count from
    rounded : also that far beyond a line's ends
    """
    shapes = [_shape(strip, corner, beside, rounded) for strip in strips]
    return union_all(shapes) if shapes else None


def outlines(
    asked: GroundQuestion, corner: tuple[float, float], blocks: Iterable[BaseGeometry]
) -> tuple[KeptClear, ...]:
    """Setbacks and paths as they are drawn: where they touch the blocks."""
    ground = union_all(list(blocks))

    def drawn(strips: Iterable[Strip], what: ClearFor) -> Iterator[KeptClear]:
        for strip in strips:
            shape = _shape(strip, corner, 0.0, what is ClearFor.SETBACK).intersection(ground)
            for part in getattr(shape, "geoms", [shape]):
                if isinstance(part, Polygon):
                    yield KeptClear(strip.name, what, np.asarray(part.exterior.coords)[:-1])

    return (*drawn(asked.setbacks, ClearFor.SETBACK), *drawn(asked.paths, ClearFor.PATH))


def _shape(strip: Strip, corner: tuple[float, float], beside: float, rounded: bool) -> BaseGeometry:
    line = LineString(strip.line)
    wide = line.buffer(
        strip.half + beside,
        cap_style="round" if rounded else "flat",
        join_style="round" if rounded else "mitre",
    )
    return translate(wide, *corner)
