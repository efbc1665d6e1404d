"""An outline's file (GeoJSON, RFC 7946) held against what an outline can be, before any geometry is made of it."""

import json
import math
from collections.abc import Iterator, Mapping
from typing import Any

from topwire.values.fault import FileNotice, fault

LARGEST = 5_000_000  # bytes
MOST_CORNERS = 20_000
MOST_POLYGONS = 2_000
DEEPEST = 12  # collections in one another
WIDEST = 30_000.0  # [m]
DEGREE = 111_320.0  # [m] of a degree of latitude
_REMEDY = "An outline is a GeoJSON file of Polygons."
_METRES = ("m", "metre", "metres", "meter", "meters")
_DEGREES_NAMED = ("4326", "CRS84", "crs84")

Ring = list[list[float]]


class _Wrong(ValueError):
    """What cannot be in an outline, in a sentence."""


def outline_of(
    text: str, where: str, name: str, place: tuple[float, float] | None
) -> tuple[Any, list[FileNotice], float]:
    """The document, what is wrong with it, and the ground it encloses.

    Parameters
    ----------
    where, name : place in the plan, and the file as the plan names it
    place : (longitude, latitude) of the orchard; None where the plan does not say

    Returns
    -------
    document, faults, area [m2]
    """
    try:
        document = json.loads(text, parse_constant=_no_constant)
        rings = list(_rings(document, 0))
        if not rings:
            raise _Wrong("there is no Polygon or MultiPolygon in it")
        if sum(len(ring) for ring, _ in rings) > MOST_CORNERS or len(rings) > MOST_POLYGONS:
            raise _Wrong(f"it has more than {MOST_CORNERS:,} corners or {MOST_POLYGONS:,} rings")
        metric = _metric(document)
        east, north = (1.0, 1.0) if metric else _metres_of_degree(rings, place)
        if not metric:
            _one_way_around(rings)
        _hold_together([ring for ring, _ in rings], east, north, metric, place)
        return document, [], sum(_area(ring, east, north) for ring, outer in rings if outer)
    except json.JSONDecodeError as error:
        says = f"“{name}” is not JSON: {error.msg} at line {error.lineno}, column {error.colno}."
        return None, [fault(where, says, _REMEDY)], 0.0
    except RecursionError:
        return None, [fault(where, f"“{name}” stands too deep in itself: {DEEPEST} levels are read.")], 0.0
    except _Wrong as wrong:
        return None, [fault(where, f"“{name}”: {wrong}.", _REMEDY)], 0.0
    except ValueError:  # the reader's own bound on digits
        return None, [fault(where, f"“{name}” holds a number of too many digits.", _REMEDY)], 0.0


def _no_constant(word: str) -> float:
    raise _Wrong(f"{word} is no coordinate")


def _rings(node: Any, depth: int) -> Iterator[tuple[Ring, bool]]:
    """Every ring of every polygon, with whether it is an outer one."""
    if depth > DEEPEST:
        raise _Wrong(f"collections stand more than {DEEPEST} deep in one another")
    if not isinstance(node, Mapping):
        raise _Wrong("a member that should be an object is not")
    kind = node.get("type")
    if not isinstance(kind, str):
        raise _Wrong("an object does not say its type")
    if not isinstance(node.get("properties") or {}, Mapping):
        raise _Wrong("properties are an object, or null")
    if kind == "Polygon":
        yield from _polygon(node.get("coordinates"))
    elif kind == "MultiPolygon":
        for polygon in _listed(node.get("coordinates"), "a MultiPolygon's coordinates"):
            yield from _polygon(polygon)
    elif kind == "Feature":
        if node.get("geometry") is not None:
            yield from _rings(node["geometry"], depth + 1)
    elif kind in ("FeatureCollection", "GeometryCollection"):
        member = "features" if kind == "FeatureCollection" else "geometries"
        for part in _listed(node.get(member), member):
            yield from _rings(part, depth + 1)


def _polygon(coordinates: Any) -> Iterator[tuple[Ring, bool]]:
    for index, ring in enumerate(_listed(coordinates, "a Polygon's coordinates")):
        made = [_position(position) for position in _listed(ring, "a ring")]
        if len({tuple(position) for position in made}) < 3:
            raise _Wrong("a ring has fewer than three corners that differ")
        yield made, index == 0


def _listed(value: Any, what: str) -> list[Any]:
    if not isinstance(value, list) or not value:
        raise _Wrong(f"for {what} a list is wanted that is not empty")
    return value


def _position(value: Any) -> list[float]:
    numbers = value[:2] if isinstance(value, list) and 2 <= len(value) <= 4 else []
    if not numbers or any(isinstance(one, bool) or not isinstance(one, int | float) for one in value):
        raise _Wrong("a corner is two numbers, [east, north]")
    if not all(abs(one) <= 1e7 for one in value):  # false for what is no number, too
        raise _Wrong("a corner lies beyond 10,000,000")
    return [float(one) for one in numbers]


def _metric(document: Any) -> bool:
    """True for a document in metres. Raises where it names another system than degrees."""
    if "units" in document:
        if str(document["units"]).lower() not in _METRES:
            said = str(document["units"])[:40]
            raise _Wrong(f'units “{said}” are not read; write "units": "metres" or leave it out')
        return True
    named = json.dumps(document.get("crs") or "")
    if document.get("crs") and not any(word in named for word in _DEGREES_NAMED):
        raise _Wrong(
            'its “crs” is not longitude and latitude (WGS 84); save it so, or in metres with "units"'
        )
    return False


def _metres_of_degree(
    rings: list[tuple[Ring, bool]], place: tuple[float, float] | None
) -> tuple[float, float]:
    latitude = place[1] if place is not None else rings[0][0][0][1]
    for ring, _ in rings:
        for longitude_, latitude_ in ring:
            if abs(longitude_) > 180 or abs(latitude_) > 90:
                raise _Wrong(
                    f"{longitude_:g}, {latitude_:g} are no degrees; for metres east and north of the place write "
                    '"units": "metres" into it'
                )
    return DEGREE * math.cos(math.radians(latitude)), DEGREE


def _one_way_around(rings: list[tuple[Ring, bool]]) -> None:
    """Longitudes counted on over the 180th meridian, so that an outline across it is not as wide as the globe."""
    first = rings[0][0][0][0]
    for ring, _ in rings:
        for position in ring:
            position[0] = first + (position[0] - first + 180.0) % 360.0 - 180.0


def _hold_together(
    rings: list[Ring], east: float, north: float, metric: bool, place: tuple[float, float] | None
) -> None:
    xs, ys = ([position[axis] for ring in rings for position in ring] for axis in (0, 1))
    width, height = (max(xs) - min(xs)) * east, (max(ys) - min(ys)) * north
    if max(width, height) > WIDEST:
        raise _Wrong(
            f"it is {max(width, height) / 1000:,.0f} km wide; outlines up to {WIDEST / 1000:.0f} km are read"
        )
    if metric and place is not None:
        near = abs(xs[0] - place[0]) < 1 and abs(ys[0] - place[1]) < 1
        if near and max(width, height) < 1:
            raise _Wrong(
                "its corners are degrees by the look of them, and it says metres; take “units” out of it"
            )


def _area(ring: Ring, east: float, north: float) -> float:
    x0, y0 = ring[0]
    shifted = [((x - x0) * east, (y - y0) * north) for x, y in ring]
    turned = zip(shifted, [*shifted[1:], shifted[0]], strict=True)
    return abs(sum(x * v - u * y for (x, y), (u, v) in turned)) / 2
