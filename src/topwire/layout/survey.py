"""The ground before anything is chosen: blocks, rows and every place a tree can stand."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely import MultiPolygon, Polygon, union_all
from shapely.geometry.base import BaseGeometry

from topwire.layout import bearing as bearings
from topwire.layout import spacing as room
from topwire.layout.asked import BlockAsked, GroundQuestion, TreeStanding
from topwire.layout.blocks import Placed, fence_line, gate_of, place_blocks, read_obstacles
from topwire.layout.built_rows import SHORTEST_ROW, ground_row, grouped, in_braces, to_standing
from topwire.layout.findings import Candidate, Ground, GroundBlock
from topwire.layout.light import Array
from topwire.layout.pitch import ABOVE_WIRE, Spaced, bounds_of, fence_light, space, wall_of
from topwire.layout.polygons import long_axis
from topwire.layout.rows import Fit, FittedRow, fit_rows
from topwire.layout.shade import block_light
from topwire.layout.standing_places import displaced_blocks
from topwire.layout.strips import kept_clear, outlines
from topwire.layout.sunpath import season_sun
from topwire.layout.surface import Surface, least_climb, pool_depth
from topwire.layout.surfaced import on_surface, surface_notices
from topwire.layout.telling import block_notices, fence_remark, general_notices, without_place
from topwire.values.address import row_name
from topwire.values.notice import CannotAnswer, Notice, refusal, warning
from topwire.values.terms import MOST_TREES


def survey_ground(asked: GroundQuestion) -> Ground:
    """Blocks, rows and places of the plan's ground, with the trees that already stand.

    Raises
    ------
    CannotAnswer
        When an outline cannot be used, no tree fits anywhere, or far more than are planned here.
    """
    sun = season_sun(asked.latitude)
    asked, surface = on_surface(asked)
    free = {block.name: _free_bearing(asked, block, sun) for block in asked.blocks}
    placed, notices = place_blocks(asked, free_bearing=free)
    closed, found = read_obstacles(asked)
    notices += found
    gate = gate_of(asked, placed)
    shut = _shut(asked, closed, placed[0].first_corner)
    blocks: list[GroundBlock] = []
    faults: list[Notice] = []
    for item in placed:
        block, found = _survey_block(asked, item, free, shut, gate, sun, surface)
        notices += found
        blocks.append(block)
        if not block.rows:
            tell = refusal if len(placed) == 1 else warning
            found = [tell("ground.no_row_fits", setting="ground.headland", concerns=[block.name])]
            (notices if len(placed) > 1 else faults).extend(found)
    if faults or not any(block.rows for block in blocks):
        raise CannotAnswer(faults or [refusal("ground.no_tree_fits", setting="ground.blocks")])
    notices += general_notices(asked)
    if not all(block.along_fence for block in blocks):
        fence = fence_line([item.shape for item in placed])
        notices.append(fence_remark(float(sum(ring.length for ring in fence))))
    else:
        fence = ()
    ground = _gather(asked, blocks, closed, fence, gate)
    corner = placed[0].first_corner
    ground = replace(
        ground,
        kept_clear=outlines(asked, corner, [item.shape for item in placed]),
        first_corner=corner,
    )
    if surface is not None:
        ground = _raised(ground, surface, union_all([item.shape for item in placed]))
        notices += surface_notices(asked, ground, surface)
    return _with_standing(ground, asked.standing, notices)


def _free_bearing(asked: GroundQuestion, block: BlockAsked, sun: tuple[Array, Array]) -> float:
    """Bearing to lay a rectangle along when the plan leaves it open: light and slope decide, its trees do not."""
    if block.length is None or block.width is None or block.bearing is not None:
        return 0.0
    weighed = []
    for value in bearings.candidates(block.slope, block.slope_bearing, 0.0):
        spacing = space(asked, block, value, sun)
        beam, light = bearings.mixed_light(wall_of(asked, spacing.rows), *sun, value)
        weighed.append(
            bearings.weigh(
                value,
                0,
                block.length * block.width,
                beam=beam,
                light=light,
                slope=block.slope,
                slope_bearing=block.slope_bearing,
                wind_from=asked.wind_from,
            )
        )
    return bearings.best(weighed).bearing


def _survey_block(
    asked: GroundQuestion,
    placed: Placed,
    free: Mapping[str, float],
    shut: "_Shut",
    gate: tuple[float, float] | None,
    sun: tuple[Array, Array],
    surface: Surface | None,
) -> tuple[GroundBlock, list[Notice]]:
    block, shape = placed.block, placed.shape
    parts = _parts(shape)
    axis = long_axis(max(parts, key=lambda part: part.area)) if parts else 0.0
    stated = block.bearing
    chosen = stated
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

    fitted: dict[float, tuple[tuple[FittedRow, ...], Spaced]] = {}
    weighed: list[bearings.Weighed] = []
    for value in values:
        spacing = space(asked, block, value, sun)
        ground = _turned(placed, value, chosen) if placed.turns else shape
        lines = _fit(asked, block, ground, placed.first_corner, shut, gate, value, spacing, surface)
        beam, light = bearings.mixed_light(wall_of(asked, spacing.rows), *sun, value)
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
                wind_from=asked.wind_from,
            )
        )
    taken = weighed[0] if chosen is not None else bearings.best(weighed)
    lines, spacing = fitted[taken.bearing]
    lines = tuple(grouped(block, line, spacing.trees) for line in lines)
    lines = to_standing(lines, shape, block.name, asked.standing)
    listed = tuple(
        Candidate(
            bearing=item.bearing,
            places=item.places,
            light=item.beam,
            mixed_light=item.light,
            climb=item.climb,
            tilt=item.tilt,
            broadside=item.broadside,
            allowed=item.allowed,
        )
        for item in sorted(weighed, key=lambda item: (item is not taken, -item.score, item.bearing))
    )
    rows = tuple(
        ground_row(
            asked,
            block,
            line,
            taken.bearing,
            block.between_trees(line.number, spacing.trees),
            lines,
            placed.first_corner,
            surface,
        )
        for line in lines
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
        spacing=spacing.reason,
        further_outlines=tuple(outlines[1:]),
        lies_where_stated=not block.is_rectangle or block == asked.blocks[0],
        fence=fence_light(asked, block, taken.bearing) if block.along_fence else None,
        light=None
        if block.along_fence
        else block_light(
            wall_of(asked, spacing.rows),
            latitude=asked.latitude,
            bearing=taken.bearing,
            bounds=bounds_of(asked, taken.bearing),
            tree_height=asked.top_wire + ABOVE_WIRE,
        ),
    )
    return made, block_notices(asked, made, taken)


def _fit(
    asked: GroundQuestion,
    block: BlockAsked,
    ground: BaseGeometry,
    first_corner: tuple[float, float],
    shut: "_Shut",
    gate: tuple[float, float] | None,
    value: float,
    spacing: Spaced,
    surface: Surface | None,
) -> tuple[FittedRow, ...]:
    if ground.is_empty:
        return ()
    most = ground.area / (spacing.rows * spacing.trees)
    if most > MOST_TREES and not block.along_fence:
        raise CannotAnswer(
            [
                refusal(
                    "ground.too_many_trees",
                    setting="ground.blocks",
                    concerns=[block.name],
                    trees=round(most),
                    most=MOST_TREES,
                )
            ]
        )
    climb, _ = bearings.climb_and_tilt(block.slope, block.slope_bearing, value)
    if surface is not None:
        climb = least_climb(surface, ground, value)
    fit = Fit(
        bearing=value,
        row_spacing=spacing.rows,
        # spaced along the ground, fitted on the map
        tree_spacing=spacing.trees / float(np.hypot(1.0, climb)),
        headland=0.0 if block.along_fence else block.headland,
        margin=0.0 if block.along_fence else asked.margin,
        clearance=asked.machine_width / 2 + room.ROOM_BESIDE_MACHINE,
        fewest=_fewest(asked, block, spacing.trees),
        end_room=block.behind_ends,
    )
    return fit_rows(
        ground,
        fit,
        obstacles=shut.obstacles,
        setbacks=shut.setbacks,
        paths=shut.paths,
        alleys=[(middle, asked.cross_alley) for middle in block.cross_alleys],
        first_corner=first_corner,
        start=gate or first_corner,
        one_row=block.along_fence,
    )


def _fewest(asked: GroundQuestion, block: BlockAsked, tree_spacing: float) -> int:
    """Places a row needs to be set out: trees worth two end posts, and those that its braces take."""
    if block.along_fence:
        return 1
    stands = any(tree.address.block == block.name for tree in asked.standing)
    return SHORTEST_ROW if stands else SHORTEST_ROW + sum(in_braces(block, tree_spacing))


def _turned(placed: Placed, value: float, drawn: float | None) -> BaseGeometry:
    """A rectangle whose bearing is free, turned about its first corner."""
    from shapely.affinity import rotate

    # shapely turns against the clock for positive angles, bearings run with it
    return rotate(placed.shape, (drawn or 0.0) - value, origin=placed.first_corner)


def _gather(
    asked: GroundQuestion,
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
        origin_latitude=asked.latitude,
        origin_longitude=asked.longitude,
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
        wall_height=asked.top_wire + ABOVE_WIRE,
        obstacles=tuple(np.asarray(polygon.exterior.coords)[:-1] for polygon in closed),
        gate=gate,
        notices=(),
        fence=tuple(np.asarray(ring.exterior.coords)[:-1] for ring in fence),
        declination=asked.declination,
    )


def _raised(ground: Ground, surface: Surface, drawn: BaseGeometry) -> Ground:
    """The ground with every place at its height on the surface."""
    return replace(
        ground,
        height=surface.height(ground.x, ground.y),
        height_points=surface.points
        if len(surface.points)
        else np.empty(0),  # as it comes back from the store
        pool_depth=pool_depth(surface, drawn, ground.x, ground.y),
    )


@dataclass(frozen=True)
class _Shut:
    """Ground without trees, [m] on the map; None where there is none of a kind."""

    obstacles: BaseGeometry | None
    setbacks: BaseGeometry | None
    paths: BaseGeometry | None


def _shut(asked: GroundQuestion, closed: Sequence[Polygon], corner: tuple[float, float]) -> _Shut:
    return _Shut(
        union_all(list(closed)) if closed else None,
        kept_clear(asked.setbacks, corner, rounded=True),
        kept_clear(asked.paths, corner, beside=asked.training.canopy_width_m / 2),
    )


def _with_standing(ground: Ground, standing: Sequence[TreeStanding], notices: list[Notice]) -> Ground:
    at = {ground.address(index): index for index in range(ground.capacity)} if standing else {}
    displaced = displaced_blocks(ground, standing, at)
    if displaced:
        raise CannotAnswer(displaced)
    cultivars, stocks = list(ground.standing_cultivar), list(ground.standing_rootstock)
    years = ground.standing_year.copy()
    lost: Counter[str] = Counter()
    for tree in standing:
        found = at.get(tree.address)
        if found is None:
            lost[row_name(tree.address.block, tree.address.row)] += 1
            continue
        cultivars[found], stocks[found], years[found] = tree.cultivar, tree.rootstock, tree.year
    notices += without_place(lost)
    return replace(
        ground,
        standing_cultivar=tuple(cultivars),
        standing_rootstock=tuple(stocks),
        standing_year=years,
        notices=tuple(notices),
    )


def _parts(shape: BaseGeometry) -> list[Polygon]:
    parts = list(shape.geoms) if isinstance(shape, MultiPolygon) or hasattr(shape, "geoms") else [shape]
    kept = [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
    return sorted(kept, key=lambda part: -part.area)
