"""Every end post tied to corners of the block that can be found again: two tapes each, whatever the block's shape.

A point lies where two tapes of known length cross. The two corners are those whose tapes fix it best: short ones, and
crossing near a right angle.
"""

from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import numpy.typing as npt

from topwire.layout.findings import Ground, GroundBlock, Layout
from topwire.layout.projection import to_degrees
from topwire.layout.staking import EndPost, RowEnd, has_trees
from topwire.layout.surface import Surface
from topwire.values.quantities import Degrees, Metres
from topwire.values.terms import Compass, compass

Point = npt.NDArray[np.float64]  # east, north, height [m]

MOST_CORNERS = 6  # of an outline, those farthest from one another: more are not found again
READING, STRETCH = 0.01, 0.001  # [m], share of its length that a tape is off by: common practice, no source
FLATTEST = 5.0  # [deg] at which two tapes may cross at least
LETTERS = "ABCDEF"


@dataclass(frozen=True)
class Corner:
    """A corner of a block; `east`, `north` of the orchard's origin, `height` above the block's first corner."""

    letter: str
    east: Metres
    north: Metres
    height: Metres
    longitude: Degrees
    latitude: Degrees


@dataclass(frozen=True)
class CornerLine:
    """From corner to corner, along the ground; `bearing` from true north."""

    start: str
    end: str
    length: Metres
    bearing: Degrees


@dataclass(frozen=True)
class TwoTapes:
    """A point where two tapes cross, along the ground.

    side : where it lies, seen from the line between the two corners
    crossing : of the tapes, 90 is best
    error : that tapes read to a centimetre and a thousandth leave
    """

    first: str
    first_length: Metres
    second: str
    second_length: Metres
    side: Compass
    crossing: Degrees
    error: Metres


@dataclass(frozen=True)
class BlockTies:
    """One block's corners, its sides and what checks them across, two tapes to every end post.

    to_other : tapes from corners of `other`, an earlier block, to this one's; none where the plan does not say how the
    blocks lie to each other.
    from_other : two lines from corners of that block to corners of this one, where no two tapes reach
    """

    block: str
    corners: tuple[Corner, ...]
    sides: tuple[CornerLine, ...]
    posts: tuple[tuple[EndPost, TwoTapes], ...]
    other: str
    to_other: tuple[tuple[str, TwoTapes], ...]
    from_other: tuple[CornerLine, ...] = ()


def block_ties(ground: Ground, layout: Layout | None = None) -> tuple[BlockTies, ...]:
    """Of every block that has rows, in their order; where a layout is given, of its rows with trees alone."""
    found: list[BlockTies] = []
    earlier: tuple[str, tuple[Corner, ...]] | None = None
    for number, block in enumerate(ground.blocks):
        rows = [row for index, row in enumerate(block.rows) if has_trees(ground, layout, number, index)]
        if not rows or len(block.outline) < 3:
            continue
        corners = _corners(ground, block)
        posts = []
        for row in rows:
            for end, at, height in (
                (RowEnd.START, row.start, row.start_height),
                (RowEnd.END, row.end, row.end_height),
            ):
                tapes = two_tapes(corners, np.array([*at, height]))
                if tapes is not None:
                    posts.append((EndPost(row.number, end), tapes))
        tied: list[tuple[str, TwoTapes]] = []
        lines: tuple[CornerLine, ...] = ()
        if earlier is not None and block.lies_where_stated:
            # heights are counted block by block: between blocks the tapes are told as on level ground
            # (on one surface they are not)
            level = (lambda one: one) if ground.has_surface else _level
            theirs, own = tuple(map(level, earlier[1])), tuple(map(level, corners))
            lines = _across_blocks(earlier[0], theirs, own)
            for corner in own[:3]:
                tapes = two_tapes(theirs, _at(corner))
                if tapes is not None:
                    tied.append((corner.letter, tapes))
        other = earlier[0] if tied and earlier is not None else ""
        found.append(BlockTies(block.name, corners, _sides(corners), tuple(posts), other, tuple(tied), lines))
        if block.lies_where_stated:
            earlier = (block.name, corners)
    return tuple(found)


def two_tapes(corners: tuple[Corner, ...], point: Point) -> TwoTapes | None:
    """The two tapes that fix a point best; None where it lies on one line with every pair of corners."""
    best: TwoTapes | None = None
    for a, b in combinations(corners, 2):
        to_a, to_b = _at(a) - point, _at(b) - point
        long_a, long_b = float(np.linalg.norm(to_a)), float(np.linalg.norm(to_b))
        if min(long_a, long_b) < 1e-6:
            continue
        turn = float(to_a[0] * to_b[1] - to_a[1] * to_b[0]), float(np.dot(to_a[:2], to_b[:2]))
        crossing = abs(float(np.degrees(np.arctan2(*turn))))
        crossing = min(crossing, 180.0 - crossing)
        if crossing < FLATTEST:
            continue
        off = np.hypot(READING + STRETCH * long_a, READING + STRETCH * long_b)
        error = float(off / np.sin(np.radians(crossing)))
        if best is None or error < best.error - 1e-9:
            side = compass(_normal(_at(a), _at(b), point))
            best = TwoTapes(a.letter, long_a, b.letter, long_b, side, crossing, error)
    return best


def _normal(a: Point, b: Point, point: Point) -> float:
    """[deg from north] of the side of the line from a to b on which a point lies."""
    along = b[:2] - a[:2]
    left = np.array([-along[1], along[0]])
    towards = left if float(np.dot(left, point[:2] - a[:2])) >= 0 else -left
    return float(np.degrees(np.arctan2(towards[0], towards[1])))


def _at(corner: Corner) -> Point:
    return np.array([corner.east, corner.north, corner.height])


def _level(corner: Corner) -> Corner:
    return Corner(corner.letter, corner.east, corner.north, 0.0, corner.longitude, corner.latitude)


def _corners(ground: Ground, block: GroundBlock) -> tuple[Corner, ...]:
    """Corners of the block's first part, lettered in the order they are walked; of many those farthest apart."""
    points = np.asarray(block.outline, dtype=float)
    if len(points) > 1 and np.allclose(points[0], points[-1]):
        points = points[:-1]
    kept = [0]
    while len(kept) < min(MOST_CORNERS, len(points)):
        away = np.min(np.linalg.norm(points[:, None] - points[kept][None], axis=2), axis=1)
        kept.append(int(np.argmax(away)))
    chosen = points[sorted(kept)]
    longitude, latitude = to_degrees(
        chosen[:, 0], chosen[:, 1], origin=(ground.origin_longitude, ground.origin_latitude)
    )
    return tuple(
        Corner(letter, float(x), float(y), _height(ground, block, x, y), float(lon), float(lat))
        for letter, (x, y), lon, lat in zip(LETTERS, chosen, longitude, latitude, strict=False)
    )


def _height(ground: Ground, block: GroundBlock, x: float, y: float) -> float:
    """As the ground's heights are counted: by its surface, or the plane the block's rows lie on."""
    if ground.has_surface:
        return float(Surface(ground.height_points).height(np.array(x), np.array(y)))
    row = block.rows[0]
    turn = np.radians(block.slope_bearing)
    fall = (x - row.start[0]) * np.sin(turn) + (y - row.start[1]) * np.cos(turn)
    return float(row.start_height - block.slope * fall)


def _sides(corners: tuple[Corner, ...]) -> tuple[CornerLine, ...]:
    found = []
    around = list(pairwise((*corners, corners[0])))
    if len(corners) == 4:
        across = [(corners[0], corners[2]), (corners[1], corners[3])]
    else:
        across = [(corners[0], other) for other in corners[2:-1]]  # triangles, which no side can bend
    for a, b in [*around, *across]:
        found.append(_line(a, b))
    return tuple(found)


def _line(a: Corner, b: Corner, before: str = "") -> CornerLine:
    step = _at(b) - _at(a)
    bearing = float(np.degrees(np.arctan2(step[0], step[1])) % 360.0)
    return CornerLine(f"{before}{a.letter}", b.letter, float(np.linalg.norm(step)), bearing)


def _across_blocks(other: str, theirs: tuple[Corner, ...], own: tuple[Corner, ...]) -> tuple[CornerLine, ...]:
    """The shortest line from a corner of another block, and the shortest to another corner of this one."""
    lines = sorted((_line(a, b, f"{other} ") for a in theirs for b in own), key=lambda line: line.length)
    second = next((line for line in lines if line.end != lines[0].end), None)
    return (lines[0], second) if second else (lines[0],)
