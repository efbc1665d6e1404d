"""The ground as GeoJSON (RFC 7946): blocks, rows, trees, obstacles, gate and fence, on WGS 84."""

import json
from typing import Any

import numpy as np
import numpy.typing as npt

from topwire.engine.orchard import Orchard
from topwire.export.comma import needed
from topwire.layout.findings import Ground
from topwire.layout.projection import to_degrees

Position = list[float]
Feature = dict[str, Any]
DIGITS = 7  # of a degree: about a centimetre


def geojson(orchard: Orchard) -> bytes:
    """One feature collection. Outlines run counter-clockwise, holes clockwise, rings are closed.

    Raises
    ------
    Absent
        When the ground was not computed.
    """
    ground = needed(orchard.ground, "ground")
    features = [*_blocks(ground), *_rows(ground), *_surroundings(ground), *_trees(orchard)]
    collection = {"type": "FeatureCollection", "features": features}
    return (json.dumps(collection, ensure_ascii=False, separators=(",", ":")) + "\n").encode()


def _feature(kind: str, geometry: str, coordinates: object, **properties: object) -> Feature:
    return {
        "type": "Feature",
        "geometry": {"type": geometry, "coordinates": coordinates},
        "properties": {"kind": kind, **properties},
    }


def _positions(ground: Ground, points: npt.ArrayLike) -> list[Position]:
    """[longitude, latitude] of points in metres east and north."""
    places = np.asarray(points, dtype=float).reshape(-1, 2)
    origin = (ground.origin_longitude, ground.origin_latitude)
    longitude, latitude = to_degrees(places[:, 0], places[:, 1], origin=origin)
    return [
        [round(float(x), DIGITS), round(float(y), DIGITS)] for x, y in zip(longitude, latitude, strict=True)
    ]


def ring(ground: Ground, outline: npt.ArrayLike, *, hole: bool = False) -> list[Position]:
    """A closed ring that follows the right-hand rule: the area lies to the left of its outer ring."""
    points = np.asarray(outline, dtype=float)
    if len(points) > 1 and np.allclose(points[0], points[-1]):
        points = points[:-1]
    x, y = points[:, 0], points[:, 1]
    doubled_area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    if (doubled_area < 0) != hole:
        points = points[::-1]
    positions = _positions(ground, points)
    return [*positions, positions[0]]


def _blocks(ground: Ground) -> list[Feature]:
    found = []
    for block in ground.blocks:
        outlines = [outline for outline in (block.outline, *block.further_outlines) if len(outline) >= 3]
        polygons = [[ring(ground, outline)] for outline in outlines]
        if not polygons:
            continue
        for hole in block.holes:
            if len(hole) >= 3:
                within = next(at for at, outline in enumerate(outlines) if _holds(outline, hole))
                polygons[within].append(ring(ground, hole, hole=True))
        single = len(polygons) == 1
        found.append(
            _feature(
                "block",
                "Polygon" if single else "MultiPolygon",
                polygons[0] if single else polygons,
                name=block.name,
                area_m2=round(block.area, 1),
                slope=round(block.slope, 4),
            )
        )
    return found


def _holds(outline: npt.ArrayLike, hole: npt.ArrayLike) -> bool:
    """Whether the part of a block that `outline` bounds is the one `hole` is cut from."""
    from shapely import Polygon

    return bool(Polygon(outline).covers(Polygon(hole)))


def _rows(ground: Ground) -> list[Feature]:
    return [
        _feature(
            "row",
            "LineString",
            _positions(ground, [row.start, row.end]),
            name=f"{row.block} {row.number}",
            counted_from=f"{row.start_side} end",
            length_m=round(row.length, 2),
            places=row.places,
        )
        for block in ground.blocks
        for row in block.rows
    ]


def _surroundings(ground: Ground) -> list[Feature]:
    found = [
        _feature("obstacle", "Polygon", [ring(ground, outline)])
        for outline in ground.obstacles
        if len(outline) >= 3
    ]
    found += [
        _feature("deer fence", "LineString", _positions(ground, line))
        for line in ground.fence
        if len(line) >= 2
    ]
    if ground.gate is not None:
        found.append(_feature("gate", "Point", _positions(ground, [ground.gate])[0]))
    return found


def _trees(orchard: Orchard) -> list[Feature]:
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return []
    return [
        _feature(
            "tree",
            "Point",
            [round(float(layout.longitude[index]), DIGITS), round(float(layout.latitude[index]), DIGITS)],
            address=str(ground.address(int(index))),
            cultivar=layout.cultivars[layout.cultivar[index]],
            code=layout.codes[layout.cultivar[index]],
            place=int(ground.place[index]),
            year_planted=int(layout.year_planted[index]),
        )
        for index in np.flatnonzero(layout.cultivar >= 0)
    ]
