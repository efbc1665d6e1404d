"""Everything that stands on the ground, layer by layer, in metres east and north of the orchard's origin."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache

import numpy as np
import numpy.typing as npt

from topwire.engine.orchard import Orchard
from topwire.export.comma import needed
from topwire.layout.findings import Ground, GroundBlock, GroundRow
from topwire.layout.ties import block_ties
from topwire.phenology.findings import PlaceSeasons
from topwire.trellis.row_findings import EndDetail
from topwire.values.address import row_name
from topwire.values.calendar import week_of_day
from topwire.values.estimate import Estimate

Points = npt.NDArray[np.float64]  # (n, 2)


class Shape2D(StrEnum):
    POINT = "point"
    LINE = "line"
    AREA = "area"  # parts, each its outer ring and its holes


@dataclass(frozen=True)
class MapItem:
    """One thing on the map. `rings`: one point, one line, or of an area its parts' rings, the outer one first."""

    layer: str
    shape: Shape2D
    rings: tuple[tuple[Points, ...], ...]
    name: str = ""
    properties: Mapping[str, object] = field(default_factory=dict)

    @property
    def points(self) -> Points:
        """Of a point or a line."""
        return self.rings[0][0]


def map_items(orchard: Orchard) -> Iterator[MapItem]:
    """Blocks first, trees last.

    Raises
    ------
    Absent
        When the ground was not computed.
    """
    ground = needed(orchard.ground, "ground")
    yield from _blocks(ground)
    yield from _corners(ground)
    yield from _rows(ground)
    yield from _surroundings(ground)
    yield from _trellis(orchard, ground)
    yield from _water(orchard)
    yield from _places(orchard, ground)


def _point(layer: str, at: tuple[float, float], name: str = "", **properties: object) -> MapItem:
    return MapItem(layer, Shape2D.POINT, ((np.array([at], dtype=float),),), name, properties)


def _line(layer: str, points: npt.ArrayLike, name: str = "", **properties: object) -> MapItem:
    return MapItem(layer, Shape2D.LINE, ((np.asarray(points, dtype=float),),), name, properties)


def _blocks(ground: Ground) -> Iterator[MapItem]:
    for block in ground.blocks:
        outlines = [outline for outline in (block.outline, *block.further_outlines) if len(outline) >= 3]
        parts: list[list[Points]] = [[outline] for outline in outlines]
        for hole in block.holes:
            if len(hole) >= 3:
                within = next(at for at, outline in enumerate(outlines) if _holds(outline, hole))
                parts[within].append(hole)
        if parts:
            yield MapItem(
                "block",
                Shape2D.AREA,
                tuple(tuple(part) for part in parts),
                block.name,
                {"area_m2": round(block.area, 1), "slope": round(block.slope, 4)},
            )


def _holds(outline: npt.ArrayLike, hole: npt.ArrayLike) -> bool:
    """Whether the part of a block that `outline` bounds is the one `hole` is cut from."""
    from shapely import Polygon

    return bool(Polygon(outline).covers(Polygon(hole)))


def _corners(ground: Ground) -> Iterator[MapItem]:
    for ties in block_ties(ground):
        for corner in ties.corners:
            yield _point("corner", (corner.east, corner.north), f"{ties.block} corner {corner.letter}")


def _each_row(ground: Ground) -> Iterator[tuple[GroundBlock, GroundRow]]:
    for block in ground.blocks:
        for row in block.rows:
            yield block, row


def _rows(ground: Ground) -> Iterator[MapItem]:
    for _, row in _each_row(ground):
        yield _line(
            "row",
            [row.start, row.end],
            row_name(row.block, row.number),
            counted_from=f"{row.start_side} end",
            length_m=round(row.length, 2),
            places=row.places,
        )


def _surroundings(ground: Ground) -> Iterator[MapItem]:
    for outline in ground.obstacles:
        if len(outline) >= 3:
            yield MapItem("obstacle", Shape2D.AREA, ((outline,),))
    for clear in ground.kept_clear:
        yield MapItem(str(clear.what), Shape2D.AREA, ((clear.outline,),), clear.name)
    for x, y, height in ground.height_points:
        yield _point("height", (float(x), float(y)), f"{height:.2f} m", height_m=round(float(height), 2))
    for fence in ground.fence:
        if len(fence) >= 2:
            closed = np.vstack([fence, fence[:1]])
            yield _line("deer fence", closed)
    if ground.gate is not None:
        yield _point("gate", ground.gate, "gate")


def _trellis(orchard: Orchard, ground: Ground) -> Iterator[MapItem]:
    """Posts and anchors of every row that was sized."""
    if orchard.trellis is None:
        return
    built = {name: alike for alike in orchard.trellis.rows for name in alike.rows}
    for _, row in _each_row(ground):
        name = row_name(row.block, row.number)
        alike = built.get(name)
        if alike is None:
            continue
        start, end = np.array(row.start), np.array(row.end)
        along = (end - start) / row.length
        for number, at in enumerate(alike.positions):
            is_end = number in (0, len(alike.positions) - 1)
            spot = start + at * along
            yield _point(
                "end post" if is_end else "line post",
                (float(spot[0]), float(spot[1])),
                f"{name}, post {number + 1}",
                row=name,
                from_start_m=round(float(at), 2),
            )
        far = alike.far_end or alike.end
        for detail, foot, away, side in ((alike.end, start, -along, "start"), (far, end, along, "end")):
            yield from _anchor(detail, foot, away, f"{name}, {side} anchor", name)


def _anchor(detail: EndDetail, foot: Points, away: Points, name: str, row: str) -> Iterator[MapItem]:
    if detail.anchor is not None:
        across = np.array([-away[1], away[0]])
        for number, beside in enumerate(detail.beside_line, start=1):
            east, north = (float(metres) for metres in foot + detail.reach * away + beside * across)
            which, many = f"{name} {number}" if detail.anchors > 1 else name, detail.anchors
            yield _point("anchor", (east, north), which, row=row, anchors=many, item=detail.anchor)


def _water(orchard: Orchard) -> Iterator[MapItem]:
    if orchard.water is None:
        return
    for run in orchard.water.pipes.runs:
        if run.start is not None:
            yield _line(
                "pipe",
                [run.start[:2], run.end[:2]],
                run.zone or "main",
                item=run.item,
                inside_mm=round(1e3 * run.diameter, 1),
            )
    for point in orchard.water.pipes.points:
        if point.position is not None:
            yield _point(str(point.kind), point.position[:2], orchard.water.pipes.name_of(point))


def _places(orchard: Orchard, ground: Ground) -> Iterator[MapItem]:
    layout = orchard.layout
    if layout is None:
        return
    bloom, harvest = _weeks(orchard, PlaceSeasons.full_bloom_of), _weeks(orchard, PlaceSeasons.harvest_of)
    donors = _donors(orchard)
    for index in range(ground.capacity):
        address = ground.address(index)
        at = (float(ground.x[index]), float(ground.y[index]))
        row = row_name(address.block, address.row)
        kind = int(layout.cultivar[index])
        if kind < 0:
            yield _point("free place", at, str(address), row=row, place=address.place)
            continue
        name = layout.cultivars[kind]
        stands = bool(layout.standing[index])
        yield _point(
            "tree",
            at,
            str(address),
            address=str(address),
            row=row,
            place=address.place,
            cultivar=name,
            code=layout.codes[kind],
            rootstock=ground.standing_rootstock[index] if stands else layout.rootstock[kind],
            year_planted=int(layout.year_planted[index]),
            bloom_week=bloom(name),
            harvest_week=harvest(name),
            donors=donors.get(name),
            donors_in_reach=int(layout.donors_in_reach[index]),
        )


def _weeks(
    orchard: Orchard, date_of: Callable[[PlaceSeasons, str], Estimate | None]
) -> Callable[[str], int | None]:
    """Week of a date in the middle year, by cultivar; None where not known."""
    place = orchard.place

    @cache
    def of(name: str) -> int | None:
        found = date_of(place, name) if place is not None and name in place.cultivars else None
        return int(week_of_day(found.middle)) if found is not None else None

    return of


def _donors(orchard: Orchard) -> dict[str, str]:
    chosen = orchard.choice.chosen if orchard.choice is not None else ()
    return {row.name: "; ".join(row.donors) for row in chosen}
