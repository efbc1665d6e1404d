"""The ground as GeoJSON (RFC 7946) on WGS 84: every layer of the map in one feature collection."""

import json
from collections.abc import Iterator
from typing import Any

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.export.comma import needed
from topwire.export.map_items import MapItem, Points, Shape2D, map_items
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
    items = list(map_items(orchard))
    degrees = iter(_degrees(ground, [ring for item in items for rings in item.rings for ring in rings]))
    collection = {
        "type": "FeatureCollection",
        "features": [_feature(ground, item, degrees) for item in items],
    }
    return (json.dumps(collection, ensure_ascii=False, separators=(",", ":")) + "\n").encode()


def _feature(ground: Ground, item: MapItem, degrees: Iterator[Points]) -> Feature:
    named = {"name": item.name} if item.name else {}
    return {
        "type": "Feature",
        "geometry": _geometry(ground, item, degrees),
        "properties": {"kind": item.layer, **named, **item.properties},
    }


def _geometry(ground: Ground, item: MapItem, degrees: Iterator[Points]) -> dict[str, Any]:
    """The item's geometry; `degrees` gives longitude and latitude of its rings, one after the other."""
    if item.shape is Shape2D.POINT:
        return {"type": "Point", "coordinates": _rounded(next(degrees))[0]}
    if item.shape is Shape2D.LINE:
        parts = _cut_line(_unbroken(ground, next(degrees)))
        return _one_or_many("LineString", [_rounded(part) for part in parts])
    polygons = []
    for rings in item.rings:
        turned = [ring(_unbroken(ground, next(degrees)), hole=at > 0) for at in range(len(rings))]
        polygons += [[_rounded(one) for one in part] for part in _cut_area(turned)]
    return _one_or_many("Polygon", polygons)


def _one_or_many(kind: str, parts: list[Any]) -> dict[str, Any]:
    if len(parts) == 1:
        return {"type": kind, "coordinates": parts[0]}
    return {"type": f"Multi{kind}", "coordinates": parts}


def _degrees(ground: Ground, rings: list[Points]) -> list[Points]:
    """Longitude and latitude of rings in metres, (n, 2) each: of all together, which takes no longer than of one."""
    if not rings:
        return []
    places = np.concatenate(rings)
    origin = (ground.origin_longitude, ground.origin_latitude)
    found = np.stack(to_degrees(places[:, 0], places[:, 1], origin=origin), axis=1)
    return np.split(found, np.cumsum([len(one) for one in rings])[:-1])


def _unbroken(ground: Ground, degrees: Points) -> Points:
    """Without the leap at the 180th meridian."""
    first = ground.origin_longitude
    longitude = first + (degrees[:, 0] - first + ROUND / 2) % ROUND - ROUND / 2
    return np.stack([longitude, degrees[:, 1]], axis=1)


def _rounded(points: Points) -> list[Position]:
    return [[round(x, DIGITS), round(y, DIGITS)] for x, y in points.tolist()]


def ring(points: Points, *, hole: bool) -> Points:
    """A closed ring that follows the right-hand rule: the area lies to the left of its outer ring."""
    if len(points) > 1 and np.allclose(points[0], points[-1], rtol=0, atol=1e-9):
        points = points[:-1]
    x, y = points[:, 0] - points[0, 0], points[:, 1] - points[0, 1]
    doubled_area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    if (doubled_area < 0) != hole:
        points = points[::-1]
    return np.vstack([points, points[:1]])


def _cut_line(points: Points) -> list[Points]:
    if np.abs(points[:, 0]).max() <= ROUND / 2:
        return [points]
    from shapely import LineString

    found = []
    for shift, part in _sides(LineString(points)):
        found += [np.asarray(piece.coords) - [shift, 0] for piece in getattr(part, "geoms", [part])]
    return found


def _cut_area(rings: list[Points]) -> list[list[Points]]:
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
