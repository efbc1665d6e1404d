"""The blocks of the plan as shapes on one map: rectangles, walked corners, outlines, obstacles, the fence around."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shapely import MultiPolygon, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from topwire.layout.asked import BlockAsked, GroundQuestion
from topwire.layout.polygons import Flaw, Shape, from_corners, from_geojson, rectangle
from topwire.layout.projection import to_metres
from topwire.values.notice import CannotAnswer, Measured, Notice, Severity, assumption, warning
from topwire.values.units import Kind

ROAD = 6.0  # [m] between rectangles whose place on the map is not stated (20 ft, BARNEY2012-ORCHARD)
BRIDGE = 10.0  # [m] a fence is drawn straight across gaps up to twice this


@dataclass(frozen=True)
class Placed:
    """A block on the map. `turns` is True where its bearing, and so its shape on the map, is still free."""

    block: BlockAsked
    shape: BaseGeometry
    first_corner: tuple[float, float]
    turns: bool


def place_blocks(
    asked: GroundQuestion, *, free_bearing: Mapping[str, float]
) -> tuple[tuple[Placed, ...], list[Notice]]:
    """Every block's ground in metres east and north of the place's latitude and longitude.

    Parameters
    ----------
    free_bearing : bearing [deg] to lay a rectangle along whose bearing is to be chosen, by block name

    Raises
    ------
    CannotAnswer
        When a block's outline cannot be used, every such block named.
    """
    faults: list[Notice] = []
    notices: list[Notice] = []
    placed: list[Placed] = []
    origin = (asked.longitude, asked.latitude)
    right_edge = 0.0
    for block in asked.blocks:
        if block.length is not None and block.width is not None:
            turns = block.bearing is None
            bearing = free_bearing.get(block.name, 0.0) if block.bearing is None else block.bearing
            corner = _free_corner(block, bearing, right_edge, first=not placed)
            if placed:
                notices.append(
                    assumption("ground.drawn_beside", setting="ground.blocks", concerns=[block.name])
                )
            first = corner
            shape = Shape((rectangle(block.length, block.width, bearing=bearing, corner=corner),))
        elif block.corners is not None:
            turns, shape = False, from_corners(block.corners)
            first = (float(block.corners[0][0]), float(block.corners[0][1]))
        else:
            document = _named(block.outline, block.name)
            turns, shape = False, from_geojson(document, origin=origin)
            first = (0.0, 0.0) if shape.wrong else _drawn_first(document, origin)
        faults += _told(shape.wrong, Severity.FAULT, "ground.blocks", block.name)
        notices += _told(shape.mended, Severity.WARNING, "ground.blocks", block.name)
        if shape.wrong:
            continue
        ground: BaseGeometry = (
            shape.polygons[0] if len(shape.polygons) == 1 else MultiPolygon(list(shape.polygons))
        )
        for other in placed:
            shared = ground.intersection(other.shape).area
            if shared > 0.01:
                notices.append(
                    warning(
                        "ground.overlap",
                        setting="ground.blocks",
                        concerns=[block.name],
                        area=Measured(shared, Kind.GROUND),
                        other=other.block.name,
                    )
                )
                ground = ground.difference(other.shape)
        placed.append(Placed(block, ground, first, turns))
        right_edge = max(right_edge, ground.bounds[2] if not ground.is_empty else right_edge)
    if faults:
        raise CannotAnswer(faults)
    return tuple(placed), notices


def read_obstacles(asked: GroundQuestion) -> tuple[tuple[Polygon, ...], list[Notice]]:
    """Ground to keep clear of, and what was found wrong with the file."""
    if asked.obstacles is None:
        return (), []
    setting = "ground.obstacles"
    shape = from_geojson(asked.obstacles, origin=(asked.longitude, asked.latitude))
    if shape.wrong:
        raise CannotAnswer(_told(shape.wrong, Severity.FAULT, setting, "obstacles"))
    return shape.polygons, _told(shape.mended, Severity.WARNING, setting, "obstacles")


def _told(flaws: Iterable[Flaw], severity: Severity, setting: str, what: str) -> list[Notice]:
    """Flaws of an outline, mended ones and those that leave it of no use."""
    return [
        Notice(f"ground.outline_{flaw.kind.value}", severity, setting, (what,), dict(flaw.facts))
        for flaw in flaws
    ]


def fence_line(shapes: Sequence[BaseGeometry]) -> tuple[Polygon, ...]:
    """Outer line of a deer fence around all blocks, straight across gaps narrower than a road or two."""
    joined = union_all(list(shapes)).buffer(BRIDGE, join_style="mitre").buffer(-BRIDGE, join_style="mitre")
    parts = list(joined.geoms) if hasattr(joined, "geoms") else [joined]
    return tuple(Polygon(part.exterior) for part in parts if not part.is_empty)


def gate_of(asked: GroundQuestion, placed: Sequence[Placed]) -> tuple[float, float] | None:
    """The gate on the map [m]; None where the plan has none."""
    if asked.gate is None or not placed:
        return None
    corner = placed[0].first_corner
    return (corner[0] + asked.gate[0], corner[1] + asked.gate[1])


def _free_corner(block: BlockAsked, bearing: float, right_edge: float, *, first: bool) -> tuple[float, float]:
    if first or block.length is None or block.width is None:
        return (0.0, 0.0)
    drawn = rectangle(block.length, block.width, bearing=bearing)
    return (right_edge + ROAD - drawn.bounds[0], 0.0)


def _drawn_first(document: Any, origin: tuple[float, float]) -> tuple[float, float]:
    """The corner drawn first in a GeoJSON document, [m]: rows are counted from its side, however it was mended."""
    longitude, latitude = (float(value) for value in _first_position(document)[:2])
    if "units" in document:
        return (longitude, latitude)
    east, north = to_metres(longitude, latitude, origin=origin)
    return (float(east), float(north))


def _named(document: Any, name: str) -> Any:
    """Of a file that outlines several blocks by name, the features of this one; else the file as it is."""
    features = document.get("features") if isinstance(document, Mapping) else None
    if not isinstance(features, list):
        return document
    own = [
        feature
        for feature in features
        if isinstance(feature, Mapping)
        and str((feature.get("properties") or {}).get("name", "")).strip().lower() == name.lower()
    ]
    return {**document, "features": own} if own else document


def _first_position(node: Any) -> Any:
    """The first position of the first polygon in a GeoJSON document, None where there is none."""
    if not isinstance(node, Mapping):
        return None
    if node.get("type") == "Polygon":
        return node["coordinates"][0][0]
    if node.get("type") == "MultiPolygon":
        return node["coordinates"][0][0][0]
    if node.get("geometry") is not None:
        return _first_position(node["geometry"])
    for part in (node.get("features") or []) + (node.get("geometries") or []):
        found = _first_position(part)
        if found is not None:
            return found
    return None
