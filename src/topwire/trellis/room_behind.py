"""Free ground behind a row's end posts, measured on the map as the row runs."""

import numpy as np
import numpy.typing as npt
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from topwire.layout.findings import Ground, GroundBlock, GroundRow

Point2 = npt.NDArray[np.float64]

FARTHEST = 200.0  # [m] looked
_SAME_LINE = 0.5  # [m] to the side of a row: what begins there is a piece of it


def room_behind(ground: Ground, block: GroundBlock, row: GroundRow, anchor: float) -> tuple[float, float]:
    """Behind the start post and behind the end post of a row: to the edge of the block, to an obstacle, to the anchor
    of the next piece of the row. [m]

    Parameters
    ----------
    anchor : [m] that anchors stand behind end posts
    """
    start, end = np.asarray(row.start), np.asarray(row.end)
    along = (end - start) / max(float(np.hypot(*(end - start))), 1e-9)
    near, far = (
        _free(ground, block, row, post, away, anchor) for post, away in ((start, -along), (end, along))
    )
    return near, far


def _free(
    ground: Ground, block: GroundBlock, row: GroundRow, post: Point2, away: Point2, anchor: float
) -> float:
    line = LineString([post, post + FARTHEST * away])
    from_post = Point(post)
    rings = [block.outline, *block.further_outlines]
    yard = next((ring for ring in map(Polygon, rings) if ring.buffer(0.01).covers(from_post)), None)
    if yard is None:
        return 0.0
    edges: list[BaseGeometry] = [
        yard.exterior,
        *map(Polygon, block.holes),
        *map(Polygon, ground.obstacles),
    ]
    met = [from_post.distance(edge.intersection(line)) for edge in edges if edge.intersects(line)]
    for other in block.rows:
        for place in (other.start, other.end):
            step = np.asarray(place) - post
            ahead = float(step @ away)
            aside = abs(float(step[0] * away[1] - step[1] * away[0]))
            if other is not row and aside < _SAME_LINE and ahead > 0:
                met.append(max(ahead - anchor, 0.0))
    return float(min(met, default=FARTHEST))
