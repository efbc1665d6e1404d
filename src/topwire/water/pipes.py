"""Where the pipes lie: mains and manifolds from point to point, what stands on them, and how deep the trench is."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.water.findings import PipeKind, PipeMap, PipePoint, PipeRun, PointKind, Position, Trench
from topwire.water.system import System
from topwire.water.zone import BURIED, SizedZone

Array = npt.NDArray[np.float64]

_LEVEL = 0.02  # [m] points this near in height drain into one another
DEEPEST = 0.75  # [m] a trencher of a small orchard digs; deeper frost is met by draining, common practice
BELOW = 0.1  # [m] below the frost, common practice
# Depth of freezing by Stefan's equation: ground of middling moisture under turf (values from memory).
_CONDUCTIVITY = 1.6  # [W/(m K)] of frozen loam
_LATENT = 334e3 * 225.0  # [J/m3] of the water in it: 15 % of 1500 kg/m3
_UNDER_TURF = 0.5  # [-] of the air's freezing index that reaches the surface, source STEFAN
_WARM_GROUND = (
    0.7  # [-] what the heat of the ground below leaves of the depth in a mild climate, source STEFAN
)
_DAY = 86400.0  # [s]


def freezing_depth(freezing_index: npt.ArrayLike) -> Array:
    """Depth to which the ground freezes, Stefan's equation with the heat of the ground below; source STEFAN. [m]

    Parameters
    ----------
    freezing_index : array_like
        [K d] degree-days of frost of the air over a winter.
    """
    index = np.maximum(np.asarray(freezing_index, dtype=float), 0.0)
    depth: Array = _WARM_GROUND * np.sqrt(2 * _CONDUCTIVITY * _UNDER_TURF * index * _DAY / _LATENT)
    return depth


def freezing_index(mean: Array, year: npt.NDArray[np.int64], month: npt.NDArray[np.int64]) -> Array:
    """Degree-days of frost of each whole winter, July to June: the deepest fall of their running sum. [K d]

    Parameters
    ----------
    mean : (days,) [deg C] daily mean, NaN where not known
    year, month : (days,) of the calendar
    """
    winter = np.where(month >= 7, year, year - 1)
    found = []
    for one in np.unique(winter):
        days = mean[winter == one]
        known = np.isfinite(days)
        if days.size < 365 or known.mean() < 0.9:
            continue
        running = np.concatenate([[0.0], np.cumsum(np.where(known, days, 0.0))])
        found.append(float((np.maximum.accumulate(running) - running).max()))
    return np.array(found)


def trench(frost: float | None) -> Trench:
    """Depth of the trench: below the frost where a small trencher reaches, else shallow and drained each autumn.

    Parameters
    ----------
    frost : float or None
        [m] to which the ground freezes in nine winters of ten; None where nobody knows.
    """
    wanted = None if frost is None else max(BURIED, frost + BELOW)
    below = wanted is not None and wanted <= DEEPEST
    return Trench(wanted if below and wanted is not None else BURIED, frost, below)


def pipe_map(system: System, source_height: float, frost: float | None) -> PipeMap:
    """Every buried pipe with its ends, and the points on it."""
    valves = [zone.valve for zone in system.zones]
    begin = system.begin
    spots: list[Position] = [begin, *valves]
    runs, points = [], []
    for part in system.main:
        start = None if part.start < 0 else spots[part.start]
        runs.append(
            PipeRun(
                PipeKind.MAIN,
                "",
                part.size.name,
                start,
                spots[part.end],
                part.length,
                part.size.diameter,
                part.flow,
            )
        )
    points.append(PipePoint(PointKind.FILTER, "", begin))
    places = list(dict.fromkeys(spots))  # a valve may stand where the source's pipe arrives
    joined = [
        (places.index(spots[part.start]), places.index(spots[part.end]))
        for part in system.main
        if part.start >= 0
    ]
    points += _marked(PointKind.DRAIN, "", lowest(places, joined, range(len(places))))
    points += _marked(PointKind.AIR, "", [max(spots, key=lambda spot: spot[2])])
    for number, zone in enumerate(system.zones):
        name = f"zone {number + 1}"
        runs += _manifold(zone, name)
        points.append(PipePoint(PointKind.VALVE, name, zone.valve))
        feeds = [row.feed for row in zone.rows]
        points += _marked(PointKind.AIR, name, [zone.valve])
        if len(feeds) > 1:
            pairs = [(at, at + 1) for at in range(len(feeds) - 1)]
            points += _marked(PointKind.DRAIN, name, lowest(feeds, pairs, range(len(feeds))))
            ends = {feeds[0], feeds[-1]} - {zone.valve}
            points += _marked(PointKind.FLUSH, name, sorted(ends))
    if system.from_tap:  # a kit that is screwed off in autumn needs no drain and no air valve, and has none
        points = [point for point in points if point.kind not in (PointKind.AIR, PointKind.DRAIN)]
    return PipeMap(source_height, tuple(runs), tuple(points), trench(frost))


def _marked(kind: PointKind, zone: str, spots: Sequence[Position]) -> list[PipePoint]:
    return [PipePoint(kind, zone, spot) for spot in spots]


def _manifold(zone: SizedZone, name: str) -> list[PipeRun]:
    """Pipes between neighbouring rows, each with the flow of all rows beyond it."""
    per_emitter = zone.flow / zone.emitters
    flows = np.array([emitters * per_emitter for emitters in zone.row_emitters])
    middle = len(zone.rows) // 2
    return [
        PipeRun(
            PipeKind.MANIFOLD,
            name,
            size.name,
            zone.rows[at].feed,
            zone.rows[at + 1].feed,
            float(length),
            size.diameter,
            float(flows[: at + 1].sum() if at < middle else flows[at + 1 :].sum()),
        )
        for at, (size, length) in enumerate(zip(zone.manifold_sizes, zone.manifold_lengths, strict=True))
    ]


def lowest(
    spots: Sequence[Position], joined: Sequence[tuple[int, int]], among: Sequence[int]
) -> list[Position]:
    """One point of every hollow of a net of pipes: water that stands there has nowhere to run.

    Parameters
    ----------
    spots : (x, y, height) [m] of the points
    joined : pairs of points with a pipe between them
    among : points that belong to the net
    """
    near: dict[int, set[int]] = {point: set() for point in among}
    for one, other in joined:
        near[one].add(other)
        near[other].add(one)
    seen: set[int] = set()
    found = []
    for point in sorted(among, key=lambda at: (spots[at][2], at)):
        if point in seen:
            continue
        flat, edge, waiting = {point}, False, [point]
        while waiting:
            for other in near[waiting.pop()] - flat:
                rise = spots[other][2] - spots[point][2]
                if abs(rise) <= _LEVEL:
                    flat.add(other)
                    waiting.append(other)
                elif rise < 0:
                    edge = True
        seen |= flat
        if not edge:
            found.append(spots[point])
    return found
