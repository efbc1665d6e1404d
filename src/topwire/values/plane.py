"""Whether points lie about on the ground or in one line."""

from collections.abc import Sequence
from math import dist

NARROWEST = (
    0.02  # width of a scatter of points over its length that still says how ground falls to both sides
)
APART = 0.01  # [m] nearer points are one


def spans_ground(points: Sequence[tuple[float, float]]) -> bool:
    """Whether points [m] are three or more, no two alike and not all in one line."""
    if len(points) < 3:
        return False
    if any(dist(a, b) < APART for k, a in enumerate(points) for b in points[:k]):
        return False
    one = points[0]
    other = max(points, key=lambda point: dist(one, point))
    long = dist(one, other)
    aside = max(
        abs((other[0] - one[0]) * (y - one[1]) - (other[1] - one[1]) * (x - one[0])) / long for x, y in points
    )
    return aside > NARROWEST * long
