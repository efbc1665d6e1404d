"""The ground as GeoJSON (RFC 7946) on WGS 84: every layer of the map in one feature collection."""

import json
from typing import Any

import numpy as np
import numpy.typing as npt

from topwire.engine.orchard import Orchard
from topwire.export.comma import needed
from topwire.export.map_items import MapItem, Shape2D, map_items
from topwire.layout.findings import Ground
from topwire.layout.projection import to_degrees

Position = list[float]
Feature = dict[str, Any]
DIGITS = 7  # of a degree: about a centimetre
ROUND = 360.0


def geojson(orchard: Orchard) -> bytes:
    """One feature collection; `kind` in the properties names the layer.

    Outlines run counter-clockwise, holes clockwise, rings are closed; what crosses the 180th meridian is cut there
    (section 3.1.9).

    Raises
    ------
    Absent
        When the ground was not computed.
    """
    ground = needed(orchard.ground, "ground")
    collection = {
        "type": "FeatureCollection",
        "features": [_feature(ground, item) for item in map_items(orchard)],
    }
    return (json.dumps(collection, ensure_ascii=False, separators=(",", ":")) + "\n").encode()


def _feature(ground: Ground, item: MapItem) -> Feature:
    named = {"name": item.name} if item.name else {}
    return {
        "type": "Feature",
        "geometry": geometry(ground, item),
        "properties": {"kind": item.layer, **named, **item.properties},
    }


def geometry(ground: Ground, item: MapItem) -> dict[str, Any]:
    """The item's geometry in longitude and latitude."""
    if item.shape is Shape2D.POINT:
        return {"type": "Point", "coordinates": _rounded(_degrees(ground, item.points))[0]}
    if item.shape is Shape2D.LINE:
        parts = _cut_line(_degrees(ground, item.points, unbroken=True))
        return _one_or_many("LineString", [_rounded(part) for part in parts])
    polygons = []
    for rings in item.rings:
        turned = [ring(_degrees(ground, one, unbroken=True), hole=bool(at)) for at, one in enumerate(rings)]
        polygons += [[_rounded(one) for one in part] for part in _cut_area(turned)]
    return _one_or_many("Polygon", polygons)


def _one_or_many(kind: str, parts: list[Any]) -> dict[str, Any]:
    if len(parts) == 1:
        return {"type": kind, "coordinates": parts[0]}
    return {"type": f"Multi{kind}", "coordinates": parts}


def _degrees(ground: Ground, points: npt.ArrayLike, *, unbroken: bool = False) -> npt.NDArray[np.float64]:
    """(n, 2) longitude and latitude of points in metres; `unbroken`: without the leap at the 180th meridian."""
    places = np.asarray(points, dtype=float).reshape(-1, 2)
    origin = (ground.origin_longitude, ground.origin_latitude)
    longitude, latitude = to_degrees(places[:, 0], places[:, 1], origin=origin)
    if unbroken:
        longitude = origin[0] + (longitude - origin[0] + ROUND / 2) % ROUND - ROUND / 2
    return np.stack([longitude, latitude], axis=1)


def _rounded(points: npt.NDArray[np.float64]) -> list[Position]:
    return [[round(float(x), DIGITS), round(float(y), DIGITS)] for x, y in points]


def ring(points: npt.NDArray[np.float64], *, hole: bool) -> npt.NDArray[np.float64]:
    """A closed ring that follows the right-hand rule: the area lies to the left of its outer ring."""
    if len(points) > 1 and np.allclose(points[0], points[-1], rtol=0, atol=1e-9):
        points = points[:-1]
    x, y = points[:, 0] - points[0, 0], points[:, 1] - points[0, 1]
    doubled_area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    if (doubled_area < 0) != hole:
        points = points[::-1]
    return np.vstack([points, points[:1]])


def _cut_line(points: npt.NDArray[np.float64]) -> list[npt.NDArray[np.float64]]:
    if np.abs(points[:, 0]).max() <= ROUND / 2:
        return [points]
    from shapely import LineString

    found = []
    for shift, part in _sides(LineString(points)):
        found += [np.asarray(piece.coords) - [shift, 0] for piece in getattr(part, "geoms", [part])]
    return found


def _cut_area(rings: list[npt.NDArray[np.float64]]) -> list[list[npt.NDArray[np.float64]]]:
    if np.abs(rings[0][:, 0]).max() <= ROUND / 2:
        return [rings]
    from shapely import Polygon

    found = []
    for shift, part in _sides(Polygon(rings[0], rings[1:])):
        for piece in getattr(part, "geoms", [part]):
            outer = ring(np.asarray(piece.exterior.coords) - [shift, 0], hole=False)
            holes = [ring(np.asarray(inner.coords) - [shift, 0], hole=True) for inner in piece.interiors]
            found.append([outer, *holes])
    return found


def _sides(shape: Any) -> list[tuple[float, Any]]:
    """What of a shape lies on either side of the 180th meridian, with what its longitudes have too much."""
    from shapely import box

    found = []
    for shift in (-ROUND, 0.0, ROUND):
        part = shape.intersection(box(shift - ROUND / 2, -90, shift + ROUND / 2, 90))
        if part.length > 0:
            found.append((shift, part))
    return found
