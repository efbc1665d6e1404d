"""The blocks of the plan as shapes on one map: rectangles, walked corners, outlines, obstacles, the fence around."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shapely import MultiPolygon, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from topwire.layout.polygons import Shape, from_corners, from_geojson, rectangle
from topwire.layout.projection import to_metres
from topwire.notices import Faults, Notice, assumption, fault, remark, warning
from topwire.plan.model import Plan
from topwire.plan.place import Block
from topwire.values.units import Kind, UnitSystem, shown

ROAD = 6.0  # [m] between rectangles whose place on the map is not stated (20 ft, GO-ORCH)
BRIDGE = 10.0  # [m] a fence is drawn straight across gaps up to twice this


@dataclass(frozen=True)
class Placed:
    """A block on the map. `turns` is True where its bearing, and so its shape on the map, is still free."""

    block: Block
    shape: BaseGeometry
    first_corner: tuple[float, float]
    turns: bool


def place_blocks(
    plan: Plan, outlines: Mapping[str, Any], *, free_bearing: Mapping[str, float]
) -> tuple[tuple[Placed, ...], list[Notice]]:
    """Every block's ground in metres east and north of the place's latitude and longitude.

    Parameters
    ----------
    outlines : parsed GeoJSON by the file name in the plan
    free_bearing : bearing [deg] to lay a rectangle along whose bearing is to be chosen, by block name

    Raises
    ------
    Faults
        When a block's outline cannot be used, every such block named.
    """
    faults: list[Notice] = []
    notices: list[Notice] = []
    placed: list[Placed] = []
    origin = (plan.place.longitude, plan.place.latitude)
    right_edge = 0.0
    for block in plan.ground.blocks:
        where = f"ground, {block.name}"
        if block.rectangle is not None:
            turns = block.row_bearing == "choose"
            bearing = free_bearing.get(block.name, 0.0) if turns else float(block.row_bearing)
            corner = _free_corner(block, bearing, right_edge, first=not placed)
            if placed:
                notices.append(
                    assumption(
                        where,
                        "no place on the map is stated for this rectangle: it is drawn beside the other blocks.",
                        "Give corners or an outline to have distances between blocks right.",
                    )
                )
            sized = block.rectangle
            first = corner
            shape = Shape((rectangle(sized.length, sized.width, bearing=bearing, corner=corner),))
        elif block.corners is not None:
            turns, shape = False, from_corners(block.corners)
            first = (float(block.corners[0][0]), float(block.corners[0][1]))
        else:
            document = _named(outlines[block.outline or ""], block.name)
            turns, shape = False, from_geojson(document, origin=origin)
            first = (0.0, 0.0) if shape.wrong else _drawn_first(document, origin)
        for says in shape.wrong:
            faults.append(fault(where, says, "Mend the outline."))
        for says in shape.mended:
            notices.append(
                warning(where, says, "Look at the map and redraw the outline if this is not meant.")
            )
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
                        where,
                        f"{shared:,.0f} m2 of this block lie in block {other.block.name} too and are left to that one.",
                        "Correct the corners of one of the two.",
                    )
                )
                ground = ground.difference(other.shape)
        placed.append(Placed(block, ground, first, turns))
        right_edge = max(right_edge, ground.bounds[2] if not ground.is_empty else right_edge)
    if faults:
        raise Faults(faults)
    return tuple(placed), notices


def read_obstacles(plan: Plan, outlines: Mapping[str, Any]) -> tuple[tuple[Polygon, ...], list[Notice]]:
    """Ground to keep clear of, and what was found wrong with the file."""
    name = plan.ground.obstacles
    if name is None:
        return (), []
    shape = from_geojson(outlines[name], origin=(plan.place.longitude, plan.place.latitude))
    notices = [warning(f"ground, {name}", says, "Look at the map.") for says in shape.mended]
    if shape.wrong:
        raise Faults([fault(f"ground, {name}", says, "Mend the file of obstacles.") for says in shape.wrong])
    return shape.polygons, notices


def fence_line(shapes: Sequence[BaseGeometry]) -> tuple[Polygon, ...]:
    """Outer line of a deer fence around all blocks, straight across gaps narrower than a road or two."""
    joined = union_all(list(shapes)).buffer(BRIDGE, join_style="mitre").buffer(-BRIDGE, join_style="mitre")
    parts = list(joined.geoms) if hasattr(joined, "geoms") else [joined]
    return tuple(Polygon(part.exterior) for part in parts if not part.is_empty)


def gate_of(plan: Plan, placed: Sequence[Placed]) -> tuple[float, float] | None:
    """The gate on the map [m]; None where the plan has none."""
    if plan.ground.gate is None or not placed:
        return None
    corner = placed[0].first_corner
    return (corner[0] + plan.ground.gate[0], corner[1] + plan.ground.gate[1])


def fence_remark(length: float, system: UnitSystem) -> Notice:
    """How much deer fence the blocks take."""
    metres = [shown(value, Kind.LENGTH, system, digits=digits) for value, digits in ((length, 0), (2.4, 1))]
    return remark(
        "ground",
        f"a deer fence around the blocks is {metres[0]} long; woven wire {metres[1]} high keeps deer out.",
        source="GO-ORCH",
    )


def _free_corner(block: Block, bearing: float, right_edge: float, *, first: bool) -> tuple[float, float]:
    if first or block.rectangle is None:
        return (0.0, 0.0)
    drawn = rectangle(block.rectangle.length, block.rectangle.width, bearing=bearing)
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
