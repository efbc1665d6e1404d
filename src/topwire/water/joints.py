"""Where pipes meet: tees, couplings and reducers, each by the widest pipe it takes."""

from collections import Counter
from collections.abc import Sequence
from math import ceil

from topwire.water.system import System
from topwire.water.tables import TubeRow
from topwire.water.zone import SizedZone

COIL = 100.0  # [m] of pipe on a coil, common practice

Joints = Counter[tuple[str, TubeRow]]  # pieces by kind of fitting and widest pipe


def joints(system: System) -> Joints:
    """All of mains and manifolds; the lines' own fittings are not among them."""
    found: Joints = Counter()
    spots = [system.begin, *(zone.valve for zone in system.zones)]
    for stretch in system.main:
        found["coupling", stretch.size] += ceil(stretch.length / COIL) - 1
    for spot in dict.fromkeys(spots):  # a valve may stand where the source's pipe arrives
        here = {at for at, place in enumerate(spots) if place == spot}
        leaving = [stretch.size for stretch in system.main if stretch.start in here]
        into = [stretch.size for stretch in system.main if stretch.end in here]
        valves = [zone for zone in system.zones if zone.valve == spot]
        _meet(found, [*into, *leaving], len(leaving) + len(valves))
        for zone in valves:
            _zone(found, zone, max([*into, *leaving], key=_width, default=None))
    return +found


def _zone(found: Joints, zone: SizedZone, main: TubeRow | None) -> None:
    """A manifold's, with the change from the main's width to its own at the valve."""
    sizes, above = zone.manifold_sizes, zone.net.above
    lengths = zone.net.lengths
    for size in dict.fromkeys(sizes.values()):
        metres = sum(float(lengths[row]) for row, mine in sizes.items() if mine is size)
        found["coupling", size] += ceil(metres / COIL) - 1
    for point in range(len(above)):
        leaving = [size for row, size in sizes.items() if above[row] == point]
        into = [sizes[point]] if point in sizes else []
        _meet(found, [*into, *leaving], len(leaving))
        if not into and leaving and main is not None:
            _meet(found, [main, max(leaving, key=_width)], 1)


def _meet(found: Joints, pipes: Sequence[TubeRow], ways: int) -> None:
    """A tee for every way out beyond the first, as wide as the widest pipe, and a reducer for each narrower pipe."""
    if pipes:
        widest = max(pipes, key=_width)
        found["tee", widest] += max(ways - 1, 0)
        found["reducer", widest] += sum(pipe is not widest for pipe in pipes)


def _width(pipe: TubeRow) -> float:
    return pipe.diameter
