"""The ground before anything is chosen: blocks, rows and every place a tree can stand."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt
from shapely import MultiPolygon, Point, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from topwire.catalogue.model import Catalogue
from topwire.layout import bearing as bearings
from topwire.layout import spacing as room
from topwire.layout.advice import block_notices, general_notices
from topwire.layout.blocks import Placed, fence_line, fence_remark, gate_of, place_blocks, read_obstacles
from topwire.layout.light import Array
from topwire.layout.pitch import ABOVE_WIRE, Spaced, bounds_of, space, wall_of
from topwire.layout.polygons import directions, long_axis
from topwire.layout.result import Candidate, Ground, GroundBlock, GroundRow
from topwire.layout.rows import Fit, Line, fit_rows
from topwire.layout.shade import block_light
from topwire.layout.sunpath import season_sun
from topwire.notices import Faults, Notice, fault, warning
from topwire.plan.model import Plan
from topwire.plan.place import Block
from topwire.plan.standing import StandingTree

SHORTEST_ROW = 4  # trees worth two end posts: common practice, no source


def survey_ground(
    plan: Plan, catalogue: Catalogue, outlines: Mapping[str, Any], standing: Sequence[StandingTree]
) -> Ground:
    """Blocks, rows and places of the plan's ground, with the trees that already stand.

    Parameters
    ----------
    outlines : parsed GeoJSON by the file name written in the plan
    standing : trees already there, by address

    Raises
    ------
    Faults
        When an outline cannot be used or no tree fits anywhere.
    """
    sun = season_sun(plan.place.latitude)
    free = {block.name: _free_bearing(plan, catalogue, block, sun) for block in plan.ground.blocks}
    placed, notices = place_blocks(plan, outlines, free_bearing=free)
    closed, found = read_obstacles(plan, outlines)
    notices += found
    obstacles = union_all(list(closed)) if closed else None
    gate = gate_of(plan, placed)
    blocks: list[GroundBlock] = []
    faults: list[Notice] = []
    for item in placed:
        block, found = _survey_block(plan, catalogue, item, free, obstacles, gate, sun, standing)
        notices += found
        blocks.append(block)
        if not block.rows:
            says = "no row of trees fits between its headlands and margins."
            remedy = "Make the block larger, or headland and margin smaller."
            (notices if len(placed) > 1 else faults).append(fault(f"ground, {block.name}", says, remedy))
    if faults or not any(block.rows for block in blocks):
        raise Faults(faults or [fault("ground", "no tree fits on any block.", "Make the blocks larger.")])
    notices += general_notices(plan)
    if not all(block.along_fence for block in blocks):
        fence = fence_line([item.shape for item in placed])
        notices.append(fence_remark(float(sum(ring.length for ring in fence)), plan.unit_system))
    else:
        fence = ()
    ground = _gather(plan, blocks, closed, fence, gate)
    return _with_standing(ground, standing, notices)


def _free_bearing(plan: Plan, catalogue: Catalogue, block: Block, sun: tuple[Array, Array]) -> float:
    """Bearing to lay a rectangle along when the plan leaves it open: light and slope decide, its trees do not."""
    if block.rectangle is None or block.row_bearing != "choose":
        return 0.0
    weighed = []
    for value in bearings.candidates(block.slope, block.slope_bearing, 0.0):
        spacing = space(plan, catalogue, block, value, sun)
        beam, light = bearings.mixed_light(wall_of(plan, catalogue, spacing.rows), *sun, value)
        weighed.append(
            bearings.weigh(
                value,
                0,
                block.rectangle.length * block.rectangle.width,
                beam=beam,
                light=light,
                slope=block.slope,
                slope_bearing=block.slope_bearing,
                wind_from=plan.place.wind_from,
            )
        )
    return bearings.best(weighed).bearing


def _survey_block(
    plan: Plan,
    catalogue: Catalogue,
    placed: Placed,
    free: Mapping[str, float],
    obstacles: BaseGeometry | None,
    gate: tuple[float, float] | None,
    sun: tuple[Array, Array],
    standing: Sequence[StandingTree],
) -> tuple[GroundBlock, list[Notice]]:
    block, shape = placed.block, placed.shape
    where = f"ground, {block.name}"
    parts = _parts(shape)
    axis = long_axis(max(parts, key=lambda part: part.area)) if parts else 0.0
    stated = None if block.row_bearing == "choose" else float(block.row_bearing)
    chosen: float | None = stated
    if placed.turns:
        chosen = free[block.name]
    elif block.along_fence and stated is None:
        chosen = axis
    values = [] if chosen is None else [chosen]
    wanted = bearings.candidates(block.slope, block.slope_bearing, axis)
    # a single row along a fence, and ground that turns with its rows, have nothing to weigh but light and slope
    values = [*values, *(value for value in wanted if value not in values)]
    if block.along_fence:
        values = values[:1]

    fitted: dict[float, tuple[tuple[Line, ...], Spaced]] = {}
    weighed: list[bearings.Weighed] = []
    for value in values:
        spacing = space(plan, catalogue, block, value, sun)
        ground = _turned(placed, value, chosen) if placed.turns else shape
        lines = _fit(plan, block, ground, placed.first_corner, obstacles, gate, value, spacing)
        beam, light = bearings.mixed_light(wall_of(plan, catalogue, spacing.rows), *sun, value)
        fitted[value] = (lines, spacing)
        weighed.append(
            bearings.weigh(
                value,
                places := sum(line.places for line in lines),
                places * spacing.trees * spacing.rows,
                beam=beam,
                light=light,
                slope=block.slope,
                slope_bearing=block.slope_bearing,
                wind_from=plan.place.wind_from,
            )
        )
    taken = weighed[0] if chosen is not None else bearings.best(weighed)
    lines, spacing = fitted[taken.bearing]
    lines = _to_standing(lines, shape, block, standing)
    most = max(item.places for item in weighed)
    listed = tuple(
        Candidate(item.bearing, item.places, item.beam, bearings.said(item, most))
        for item in sorted(weighed, key=lambda item: (item is not taken, -item.score, item.bearing))
    )
    rows = tuple(
        _ground_row(block, line, taken.bearing, spacing.trees, lines, placed.first_corner) for line in lines
    )
    outlines = [np.asarray(part.exterior.coords)[:-1] for part in parts]
    holes = [np.asarray(ring.coords)[:-1] for part in parts for ring in part.interiors]
    made = GroundBlock(
        name=block.name,
        outline=outlines[0] if outlines else np.empty((0, 2)),
        holes=tuple(holes),
        area=float(shape.area),
        slope=block.slope,
        slope_bearing=block.slope_bearing,
        row_bearing=taken.bearing,
        row_spacing=spacing.rows,
        tree_spacing=spacing.trees,
        rows=rows,
        candidates=listed,
        along_fence=block.along_fence,
        spacing_reason=spacing.reason,
        further_outlines=tuple(outlines[1:]),
        light=None
        if block.along_fence
        else block_light(
            wall_of(plan, catalogue, spacing.rows),
            latitude=plan.place.latitude,
            bearing=taken.bearing,
            bounds=bounds_of(plan, catalogue, taken.bearing),
            tree_height=plan.trellis.wire_heights[-1] + ABOVE_WIRE,
        ),
    )
    return made, block_notices(plan, catalogue, made, where, taken, stated, standing)


def _fit(
    plan: Plan,
    block: Block,
    ground: BaseGeometry,
    first_corner: tuple[float, float],
    obstacles: BaseGeometry | None,
    gate: tuple[float, float] | None,
    value: float,
    spacing: Spaced,
) -> tuple[Line, ...]:
    if ground.is_empty:
        return ()
    climb, _ = bearings.climb_and_tilt(block.slope, block.slope_bearing, value)
    fit = Fit(
        bearing=value,
        row_spacing=spacing.rows,
        # spaced along the ground, fitted on the map
        tree_spacing=spacing.trees / float(np.hypot(1.0, climb)),
        headland=0.0
        if block.along_fence
        else (plan.ground.headland if block.headland is None else block.headland),
        margin=0.0 if block.along_fence else plan.ground.margin,
        clearance=plan.ground.machine_width / 2 + room.ROOM_BESIDE_MACHINE,
        fewest=1 if block.along_fence else SHORTEST_ROW,
    )
    return fit_rows(
        ground,
        fit,
        obstacles=obstacles,
        first_corner=first_corner,
        start=gate or first_corner,
        one_row=block.along_fence,
    )


def _turned(placed: Placed, value: float, drawn: float | None) -> BaseGeometry:
    """A rectangle whose bearing is free, turned about its first corner."""
    from shapely.affinity import rotate

    # shapely turns against the clock for positive angles, bearings run with it
    return rotate(placed.shape, (drawn or 0.0) - value, origin=placed.first_corner)


def _to_standing(
    lines: tuple[Line, ...], shape: BaseGeometry, block: Block, standing: Sequence[StandingTree]
) -> tuple[Line, ...]:
    """Rows lengthened into the headland where a tree is recorded beyond the last place: it does stand there."""
    deepest: dict[int, int] = {}
    for tree in standing:
        if tree.block == block.name:
            deepest[tree.row] = max(deepest.get(tree.row, 0), tree.place)
    longer = []
    for line in lines:
        wanted = deepest.get(line.number, 0)
        if wanted > line.places > 1:
            first, last = np.asarray(line.first), np.asarray(line.last)
            end = first + (last - first) / (line.places - 1) * (wanted - 1)
            if shape.buffer(1e-6).covers(Point(end)):
                line = replace(line, last=(float(end[0]), float(end[1])), places=wanted)
        longer.append(line)
    return tuple(longer)


def _ground_row(
    block: Block,
    line: Line,
    value: float,
    tree_spacing: float,
    lines: tuple[Line, ...],
    level: tuple[float, float],
) -> GroundRow:
    first, last = np.asarray(line.first), np.asarray(line.last)
    along, _ = directions(value)
    if np.dot(last - first, along) < 0:
        along = -along
    climb = float(np.dot(along, _downhill(block)))
    post = tree_spacing / 2  # end posts half a spacing beyond the end trees, in the headland
    step = post / float(np.hypot(1.0, climb))
    start, end = first - along * step, last + along * step
    sides = sorted({item.line for item in lines})
    outer = line.line in sides[:2] or line.line in sides[-2:]
    compass = float(np.degrees(np.arctan2(along[0], along[1])) % 360.0)
    return GroundRow(
        block=block.name,
        number=line.number,
        start=(float(start[0]), float(start[1])),
        end=(float(end[0]), float(end[1])),
        start_height=_height(block, start, level),
        end_height=_height(block, end, level),
        bearing=compass,
        length=(line.places - 1) * tree_spacing + 2 * post,
        tree_spacing=tree_spacing,
        first_tree=post,
        places=line.places,
        outer=outer,
        start_end=f"{_compass(compass + 180.0)} end",
    )


def _downhill(block: Block) -> npt.NDArray[np.float64]:
    """Fall for each metre east and north, negative = down."""
    down, _ = directions(block.slope_bearing)
    return np.asarray(-block.slope * down)


def _height(block: Block, point: npt.NDArray[np.float64], level: tuple[float, float]) -> float:
    """Height [m] above the block's first corner; the ground is taken as one plane."""
    return float(np.dot(point - np.asarray(level), _downhill(block)))


def _gather(
    plan: Plan,
    blocks: Sequence[GroundBlock],
    closed: Sequence[Polygon],
    fence: Sequence[Polygon],
    gate: tuple[float, float] | None,
) -> Ground:
    index: list[tuple[int, int, int]] = []
    points, heights = [], []
    for b, block in enumerate(blocks):
        for r, row in enumerate(block.rows):
            share = (row.first_tree + np.arange(row.places) * row.tree_spacing) / row.length
            start, end = np.asarray(row.start), np.asarray(row.end)
            points.append(start + share[:, None] * (end - start))
            heights.append(row.start_height + share * (row.end_height - row.start_height))
            index += [(b, r, place) for place in range(1, row.places + 1)]
    table = np.array(index, dtype=np.int64)
    xy = np.concatenate(points)
    return Ground(
        origin_latitude=plan.place.latitude,
        origin_longitude=plan.place.longitude,
        blocks=tuple(blocks),
        block=table[:, 0],
        row=table[:, 1],
        place=table[:, 2],
        x=xy[:, 0],
        y=xy[:, 1],
        height=np.concatenate(heights),
        standing_cultivar=("",) * len(table),
        standing_rootstock=("",) * len(table),
        standing_year=np.zeros(len(table), dtype=np.int64),
        wall_height=plan.trellis.wire_heights[-1] + ABOVE_WIRE,
        obstacles=tuple(np.asarray(polygon.exterior.coords)[:-1] for polygon in closed),
        gate=gate,
        notices=(),
        fence=tuple(np.asarray(ring.exterior.coords)[:-1] for ring in fence),
    )


def _with_standing(ground: Ground, standing: Sequence[StandingTree], notices: list[Notice]) -> Ground:
    at = {
        (ground.blocks[b].name, ground.blocks[b].rows[r].number, int(p)): i
        for i, (b, r, p) in enumerate(zip(ground.block, ground.row, ground.place, strict=True))
    }
    cultivars, stocks = list(ground.standing_cultivar), list(ground.standing_rootstock)
    years = ground.standing_year.copy()
    lost: Counter[str] = Counter()
    for tree in standing:
        found = at.get((tree.block, tree.row, tree.place))
        if found is None:
            lost[f"{tree.block} {tree.row}"] += 1
            continue
        cultivars[found], stocks[found], years[found] = tree.cultivar, tree.rootstock, tree.year
    for row, count in sorted(lost.items()):
        notices.append(
            warning(
                f"ground, {row}",
                f"{count} standing tree{'s' if count > 1 else ''} of this row find no place on the fitted ground.",
                "State row_spacing, tree_spacing and row_bearing of the block as it is planted, or correct the list.",
            )
        )
    return replace(
        ground,
        standing_cultivar=tuple(cultivars),
        standing_rootstock=tuple(stocks),
        standing_year=years,
        notices=tuple(dict.fromkeys(notices)),
    )


def _parts(shape: BaseGeometry) -> list[Polygon]:
    parts = list(shape.geoms) if isinstance(shape, MultiPolygon) or hasattr(shape, "geoms") else [shape]
    kept = [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
    return sorted(kept, key=lambda part: -part.area)


def _compass(bearing: float) -> str:
    names = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
    return names[int(((bearing % 360.0) + 22.5) // 45.0) % 8]
