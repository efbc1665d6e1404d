"""Outlines as people and files give them, made into sound shapes, with a flaw for everything that is wrong.

A shape is a list of plain polygons (shapely), in metres east and north. Nothing here raises for a bad outline: what
can be mended is mended and told, what cannot comes back as no polygon and the reason.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
import numpy.typing as npt
from shapely import MultiPolygon, Polygon, is_valid_reason, make_valid, union_all
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from topwire.layout.projection import to_metres
from topwire.values.notice import Measured
from topwire.values.units import Kind

SMALLEST_AREA = 1.0  # [m2] less holds no tree
NARROWEST = 0.2  # [m] a sliver left by drawing, no ground
FINEST = 4  # decimals of a metre kept of a corner; finer ones are dust that upsets geometry
FARTHEST = 100_000.0  # [m] an outline farther than this from the stated place is a slip of the pen
METRES = ("m", "metre", "metres", "meter", "meters")

Ring = Sequence[tuple[float, float]]


class FlawKind(StrEnum):
    """What can be wrong with an outline."""

    NOT_NUMBERS = "not_numbers"
    FEW_CORNERS = "few_corners"
    CROSSES = "crosses"
    UNCLEAN = "unclean"
    CROSSING_MENDED = "crossing_mended"
    PARTS_JOINED = "parts_joined"
    SLIVER = "sliver"
    NO_GROUND = "no_ground"
    NO_OBJECT = "no_object"
    UNITS = "units"
    NO_POLYGON = "no_polygon"
    LEFT_OUT = "left_out"
    COORDINATES = "coordinates"
    NO_TYPE = "no_type"
    NOT_DEGREES = "not_degrees"
    SWAPPED = "swapped"
    FAR_AWAY = "far_away"


@dataclass(frozen=True)
class Flaw:
    """One thing wrong with an outline, and the figures that tell where."""

    kind: FlawKind
    facts: tuple[tuple[str, Measured | int | str], ...] = ()


@dataclass(frozen=True)
class Shape:
    """Sound polygons, largest first, and what was found wrong with the drawing."""

    polygons: tuple[Polygon, ...]
    mended: tuple[Flaw, ...] = ()  # told, and gone on
    wrong: tuple[Flaw, ...] = ()  # cannot be used

    @property
    def area(self) -> float:
        return float(sum(polygon.area for polygon in self.polygons))


def from_corners(corners: Ring) -> Shape:
    """Shape of one outline walked corner by corner, [m]; closing it again at the first corner is allowed."""
    points = [(round(float(x), FINEST), round(float(y), FINEST)) for x, y in corners]
    if not all(np.isfinite(value) for point in points for value in point):
        return Shape((), wrong=(Flaw(FlawKind.NOT_NUMBERS),))
    points = [point for index, point in enumerate(points) if index == 0 or point != points[index - 1]]
    if len(points) > 1 and points[0] == points[-1]:
        points.pop()
    if len(set(points)) < 3:
        return Shape((), wrong=(Flaw(FlawKind.FEW_CORNERS, (("corners", len(set(points))),)),))
    polygon = Polygon(points)
    if not polygon.is_valid:
        return Shape((), wrong=(_crossing(polygon, FlawKind.CROSSES),))
    return sound([polygon])


def sound(shapes: Iterable[BaseGeometry]) -> Shape:
    """Sound shape out of drawn polygons, which may overlap, touch, or carry slivers."""
    mended: list[Flaw] = []
    wrong: list[Flaw] = []
    kept: list[Polygon] = []
    for shape in shapes:
        for part in _polygons(shape):
            if part.is_valid:
                kept.append(part)
                continue
            kept.extend(_polygons(make_valid(part)))
            mended.append(_crossing(part, FlawKind.CROSSING_MENDED))
    merged = _polygons(union_all(kept)) if kept else []
    if len(merged) < len(kept):
        mended.append(Flaw(FlawKind.PARTS_JOINED))
    whole: list[Polygon] = []
    for part in merged:
        opened = part.buffer(-NARROWEST / 2)
        if opened.is_empty or part.area < SMALLEST_AREA:
            mended.append(Flaw(FlawKind.SLIVER, (("area", Measured(part.area, Kind.GROUND)),)))
            continue
        filled = [ring for ring in part.interiors if Polygon(ring).area >= 1e-4]
        whole.append(orient(Polygon(part.exterior, filled)))
    if not whole:
        wrong.append(Flaw(FlawKind.NO_GROUND))
    whole.sort(key=lambda part: (-part.area, part.bounds))
    return Shape(tuple(whole), tuple(dict.fromkeys(mended)), tuple(wrong))


def from_geojson(document: Any, *, origin: tuple[float, float]) -> Shape:
    """Shape of the polygons of a GeoJSON document, in metres from `origin` (longitude, latitude) [deg].

    Coordinates are longitude and latitude (RFC 7946). A document in metres east and north of the place says so with a
    member "units": "metres"; sizes are never guessed at.
    """
    if not isinstance(document, Mapping):
        return Shape((), wrong=(Flaw(FlawKind.NO_OBJECT),))
    metric = str(document.get("units", "")).lower() in METRES
    if "units" in document and not metric:
        return Shape((), wrong=(Flaw(FlawKind.UNITS, (("units", str(document["units"])),)),))
    found: list[list[list[tuple[float, float]]]] = []
    wrong: list[Flaw] = []
    _collect(document, found, wrong)
    if wrong:
        return Shape((), wrong=tuple(wrong))
    if not found:
        return Shape((), wrong=(Flaw(FlawKind.NO_POLYGON),))
    if not all(np.isfinite(point).all() for rings in found for ring in rings for point in ring):
        return Shape((), wrong=(Flaw(FlawKind.NOT_NUMBERS),))
    polygons, mended = [], []
    for rings in found:
        if not metric:
            fault = _not_degrees(rings, origin)
            if fault:
                return Shape((), wrong=(fault,))
            rings = [_project(ring, origin) for ring in rings]
        rings = [[(round(x, FINEST), round(y, FINEST)) for x, y in ring] for ring in rings]
        usable = [ring for ring in rings if len(set(ring)) >= 3]
        if not usable or usable[0] is not rings[0]:
            mended.append(Flaw(FlawKind.LEFT_OUT))
            continue
        polygons.append(Polygon(usable[0], usable[1:]))
    shape = sound(polygons)
    return Shape(shape.polygons, tuple(mended) + shape.mended, shape.wrong)


def rectangle(
    length: float, width: float, *, bearing: float, corner: tuple[float, float] = (0.0, 0.0)
) -> Polygon:
    """Rectangle of `length` along `bearing` [deg] and `width` to its right, from `corner` [m]."""
    along, right = directions(bearing)
    start = np.asarray(corner)
    points = [start, start + along * length, start + along * length + right * width, start + right * width]
    return orient(Polygon([(float(x), float(y)) for x, y in points]))


def directions(bearing: float) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Unit vectors (east, north) along a bearing [deg from north] and to the right of it."""
    angle = np.radians(bearing)
    # rounded so that a bearing of 90 is due east to the last bit and equal plans stay equal
    sin, cos = round(float(np.sin(angle)), 15), round(float(np.cos(angle)), 15)
    return np.array([sin, cos]), np.array([cos, -sin])


def long_axis(polygon: Polygon) -> float:
    """Bearing [deg, 0 to 180) of the long side of the smallest rectangle around `polygon`."""
    box = polygon.minimum_rotated_rectangle
    points = np.asarray(box.exterior.coords)
    sides = np.diff(points[:3], axis=0)
    east, north = sides[int(np.argmax(np.hypot(sides[:, 0], sides[:, 1])))]
    return float(np.degrees(np.arctan2(east, north)) % 180.0)


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    if isinstance(shape, MultiPolygon) or hasattr(shape, "geoms"):
        return [part for piece in shape.geoms for part in _polygons(piece)]
    return []


def _crossing(polygon: Polygon, kind: FlawKind) -> Flaw:
    reason = str(is_valid_reason(polygon))
    if "Too few points" in reason:
        return Flaw(FlawKind.FEW_CORNERS, (("corners", 2),))
    place = reason[reason.find("[") + 1 : reason.find("]")] if "[" in reason else ""
    x, y = (float(value) for value in place.split()[:2]) if place else polygon.exterior.coords[0]
    where = (("east", Measured(x, Kind.LENGTH)), ("north", Measured(y, Kind.LENGTH)))
    return Flaw(kind if "Self-intersection" in reason else FlawKind.UNCLEAN, where)


def _collect(node: Any, found: list[list[list[tuple[float, float]]]], wrong: list[Flaw]) -> None:
    """Rings of every polygon below `node`; other geometry is passed over."""
    if not isinstance(node, Mapping):
        wrong.append(Flaw(FlawKind.NO_OBJECT))
        return
    kind = node.get("type")
    if kind == "FeatureCollection":
        features = node.get("features")
        for feature in features if isinstance(features, list) else ():
            _collect(feature, found, wrong)
    elif kind == "Feature":
        if node.get("geometry") is not None:
            _collect(node["geometry"], found, wrong)
    elif kind == "GeometryCollection":
        for part in node.get("geometries") or ():
            _collect(part, found, wrong)
    elif kind in ("Polygon", "MultiPolygon"):
        coordinates = node.get("coordinates")
        try:
            polygons = [coordinates] if kind == "Polygon" else coordinates
            found.extend(
                [[(float(point[0]), float(point[1])) for point in ring] for ring in rings]
                for rings in polygons  # type: ignore[union-attr]
                if rings
            )
        except (TypeError, ValueError, IndexError):
            wrong.append(Flaw(FlawKind.COORDINATES, (("type", str(kind)),)))
    elif kind not in ("Point", "MultiPoint", "LineString", "MultiLineString"):
        wrong.append(Flaw(FlawKind.NO_TYPE, (("type", str(kind)),)))


def _not_degrees(rings: list[list[tuple[float, float]]], origin: tuple[float, float]) -> Flaw | None:
    points = np.array([point for ring in rings for point in ring], float)
    if points.size == 0:
        return None
    longitude, latitude = points[:, 0], points[:, 1]
    if np.abs(longitude).max() > 180 or np.abs(latitude).max() > 90:
        return Flaw(FlawKind.NOT_DEGREES)

    # a great-circle distance is enough to see a slip; the projection is only meant for near ground
    def distance(lon: float, lat: float) -> float:
        a = np.radians([lat, origin[1]])
        step = np.radians(lon - origin[0])
        cosine = np.sin(a[0]) * np.sin(a[1]) + np.cos(a[0]) * np.cos(a[1]) * np.cos(step)
        return 6.371e6 * float(np.arccos(np.clip(cosine, -1, 1)))

    east = (longitude - origin[0] + 180.0) % 360.0 - 180.0  # the nearer way around the globe
    lon, lat = origin[0] + float(east.mean()), float(latitude.mean())
    away = distance(lon, lat)
    if away <= FARTHEST:
        return None
    if abs(lon) <= 90 and distance(lat, lon) <= FARTHEST:
        return Flaw(FlawKind.SWAPPED)
    return Flaw(FlawKind.FAR_AWAY, (("away", Measured(away, Kind.LENGTH, 0)),))


def _project(ring: list[tuple[float, float]], origin: tuple[float, float]) -> list[tuple[float, float]]:
    points = np.asarray(ring)
    east, north = to_metres(points[:, 0], points[:, 1], origin=origin)
    return list(zip(east.tolist(), north.tolist(), strict=True))
