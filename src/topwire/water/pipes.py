"""Where the pipes lie: mains and manifolds from point to point, what stands on them, and how deep the trench is."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from topwire.water.findings import PipeKind, PipeMap, PipePoint, PipeRun, PointKind, Position, Trench
from topwire.water.system import Stretch, System, WaterInlet
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


def pipe_map(system: System, source: WaterInlet, frost: float | None) -> PipeMap:
    """Every buried pipe with its ends, and the points on it."""
    mains = [run for part in system.main for run in _main(part, system.begin)]
    begins = PointKind.SOURCE if source.placed else PointKind.ARRIVAL
    runs, points = list(mains), [PipePoint(begins, "", system.begin)]
    points += _drains("", mains, [system.begin, *(zone.valve for zone in system.zones)], source.height)
    highest = max([system.begin, *(zone.valve for zone in system.zones)], key=lambda spot: spot[2])
    points.append(PipePoint(PointKind.AIR, "", highest))
    for number, zone in enumerate(system.zones):
        name = f"zone {number + 1}"
        manifold = _manifold(zone, name)
        runs += manifold
        points += [PipePoint(PointKind.VALVE, name, zone.valve), PipePoint(PointKind.AIR, name, zone.valve)]
        if manifold:
            points += _drains(name, manifold, [zone.valve], source.height)
            ends = sorted(zone.rows[tip].feed for tip in zone.net.tips)
            points += [PipePoint(PointKind.FLUSH, name, end) for end in ends]
    if system.from_tap:  # a kit that is screwed off in autumn needs no drain and no air valve, and has none
        points = [point for point in points if point.kind not in (PointKind.AIR, PointKind.DRAIN)]
    return PipeMap(source.height, source.distance, tuple(runs), tuple(points), trench(frost))


def _main(part: Stretch, begin: Position) -> list[PipeRun]:
    """A stretch of the main, from bend to bend; the source's pipe in one."""
    ends: list[Position | None] = [*part.way] or [None, begin]
    straight = [
        1.0 if one is None else float(np.hypot(*np.subtract(other, one)[:2])) for one, other in _legs(ends)
    ]
    return [
        PipeRun(
            PipeKind.MAIN,
            "",
            part.size.name,
            one,
            other,
            part.length * leg / sum(straight),
            part.size.diameter,
            part.flow,
        )
        for (one, other), leg in zip(_legs(ends), straight, strict=True)
    ]


def _legs(ends: Sequence[Position | None]) -> list[tuple[Position | None, Position]]:
    return [(one, other) for one, other in pairwise(ends) if other is not None]


def _manifold(zone: SizedZone, name: str) -> list[PipeRun]:
    """Pipes from row to row, each with the flow of all rows beyond it."""
    per_emitter = zone.flow / zone.emitters
    flows = zone.net.beyond(np.array(zone.row_emitters) * per_emitter)
    return [
        PipeRun(
            PipeKind.MANIFOLD,
            name,
            zone.manifold_sizes[row].name,
            one,
            other,
            float(np.linalg.norm(np.subtract(other, one))),
            zone.manifold_sizes[row].diameter,
            float(flows[row]),
        )
        for row in sorted(zone.manifold_sizes)
        for one, other in pairwise(zone.net.ways[row])
    ]


def _drains(
    zone: str, runs: Sequence[PipeRun], alone: Sequence[Position], source_height: float
) -> list[PipePoint]:
    """A drain in each hollow of a net of pipes, the source's end of it too; `alone` are points that belong to it
    though no pipe may lead there."""
    places: list[Position | None] = list(
        dict.fromkeys([*alone, *(end for run in runs for end in (run.start, run.end))])
    )
    joined = [(places.index(run.start), places.index(run.end)) for run in runs]
    heights = [source_height if place is None else place[2] for place in places]
    return [PipePoint(PointKind.DRAIN, zone, places[at]) for at in lowest(heights, joined)]


def lowest(heights: Sequence[float], joined: Sequence[tuple[int, int]]) -> list[int]:
    """One point of every hollow of a net of pipes: water that stands there has nowhere to run.

    Parameters
    ----------
    heights : [m] of the points
    joined : pairs of points with a pipe between them
    """
    near: dict[int, set[int]] = {point: set() for point in range(len(heights))}
    for one, other in joined:
        near[one].add(other)
        near[other].add(one)
    seen: set[int] = set()
    found = []
    for point in sorted(near, key=lambda at: (heights[at], at)):
        if point in seen:
            continue
        flat, edge, waiting = {point}, False, [point]
        while waiting:
            for other in near[waiting.pop()] - flat:
                rise = heights[other] - heights[point]
                if abs(rise) <= _LEVEL:
                    flat.add(other)
                    waiting.append(other)
                elif rise < 0:
                    edge = True
        seen |= flat
        if not edge:
            found.append(point)
    return found
