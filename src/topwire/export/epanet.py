"""The water's network as an EPANET input file: every pipe, valve and emitter.

EPANET 2.2 manual, appendix C; litres a second, metres, Darcy-Weisbach. Sets of zones run one after another: each has
a copy of source and main of its own, since the program cannot solve a zone that is shut off.
"""

from collections.abc import Iterable, Iterator

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.export.comma import needed
from topwire.water.findings import LossPart, PipeRun, Position, WaterPlan, Zone
from topwire.water.friction import DENSITY, GRAVITY, VISCOSITY
from topwire.water.network import Tree
from topwire.water.ways import downward
from topwire.water.zone import BURIED, zone_tree

_LINE = 0.0015  # [mm] roughness of drip line, smooth polyethylene; common practice
_PIPE = 0.007  # [mm] of polyethylene pipe as laid, joints counted; common practice
_STUB = 0.1  # [m] of wide pipe where points touch; EPANET has no pipe of no length
_WIDE = 100.0  # [mm]
_TITLE = (
    "Written by topwire. Regulators stand as pressure-reducing valves, filter, meter and valves as losses.",
    "Sets of zones run one after another: source and main stand once for each (the number after the underline).",
)


def network(orchard: Orchard) -> bytes:
    """The whole network; Absent where the water was not computed."""
    water = needed(orchard.water, "water")
    sections: tuple[tuple[str, Iterable[str]], ...] = (
        ("TITLE", [orchard.origin.name, *_TITLE]),
        ("RESERVOIRS", [_row(f"source_{run}", _grade(water)) for run in _sets(water)]),
        ("JUNCTIONS", _junctions(water)),
        ("PIPES", _pipes(water)),
        ("VALVES", _valves(water)),
        ("EMITTERS", _emitters(water)),
        ("COORDINATES", _coordinates(water)),
        ("TIMES", [_row("Duration", "0:00")]),
        ("OPTIONS", _options(water)),
        ("END", []),
    )
    text = "".join(f"[{name}]\n" + "".join(f"{line}\n" for line in lines) + "\n" for name, lines in sections)
    return text.encode()


def _row(*cells: object) -> str:
    return "\t".join(f"{cell:.6g}" if isinstance(cell, float) else str(cell) for cell in cells)


def _head(pressure: float) -> float:
    """[m] of water that a pressure [Pa] stands for."""
    return pressure / (DENSITY * GRAVITY)


def _numbered(water: WaterPlan) -> Iterator[tuple[int, Zone]]:
    return enumerate(water.zones, start=1)


def _sets(water: WaterPlan) -> list[int]:
    return sorted({zone.runs_in_set for zone in water.zones})


def _grade(water: WaterPlan) -> float:
    """[m] hydraulic grade at the source, a booster pump counted."""
    return water.pipes.source_height + _head(max(water.source_pressure, water.pressure_wanted))


def _spots(water: WaterPlan) -> dict[Position, str]:
    """Names of the places the main leads to, from one to the next."""
    return {water.pipes.begin: "begin"} | {zone.valve: f"M{number}" for number, zone in _numbered(water)}


def _ends(water: WaterPlan) -> list[tuple[str, str]]:
    """Names of the nodes of each pipe of the main; bends belong to their stretch, two may lie at one corner."""
    spots, found = _spots(water), [("filtered", "filtered")]
    for number, pipe in enumerate(water.pipes.mains, start=1):
        start = "filtered" if pipe.start is None else spots.get(pipe.start, found[-1][1])
        found.append((start, spots.get(pipe.end, f"B{number}")))
    return found[1:]


def _mains(water: WaterPlan, run: int) -> list[tuple[int, tuple[str, str], PipeRun]]:
    """Pipes of the main on the way to the zones of one set; no water moves in the others."""
    ends, taken = _ends(water), set()
    into = {end: number for number, (_, end) in enumerate(ends)}
    for node in (_spots(water)[zone.valve] for zone in water.zones if zone.runs_in_set == run):
        while node in into:
            taken.add(into[node])
            node = ends[into[node]][0]
    return [(number + 1, ends[number], water.pipes.mains[number]) for number in sorted(taken)]


def _places(water: WaterPlan, run: int) -> dict[str, Position]:
    """Nodes of the main that a set's water passes."""
    begin = water.pipes.begin
    return {_spots(water)[begin]: begin} | {end: pipe.end for _, (_, end), pipe in _mains(water, run)}


def _tree(water: WaterPlan, zone: Zone) -> tuple[Tree, int]:
    """The network behind a valve, and the number of its first emitter."""
    inside, lengths = np.array(zone.manifold_diameters), np.array(zone.manifold_lengths)
    return zone_tree(zone.lines, water.hydraulics, zone.manifold_above, inside, lengths)


def _junctions(water: WaterPlan) -> Iterator[str]:
    """Node, elevation, demand in L/s."""
    for run in _sets(water):
        yield _row(f"inlet_{run}", water.pipes.source_height, 0)
        yield _row(f"filtered_{run}", water.pipes.source_height, 0)
        for name, place in _places(water, run).items():
            yield _row(f"{name}_{run}", place[2], 0)
    for number, zone in _numbered(water):
        tree, plain = _tree(water, zone)
        yield _row(f"A{number}", zone.valve[2] - BURIED, 0)
        given = _regulated(water, zone)
        for node, height in enumerate(tree.height.tolist()):
            yield _row(f"Z{number}_{node}", height, f"{1000 * given:.9g}" if node >= plain else 0)


def _pipes(water: WaterPlan) -> Iterator[str]:
    """Node, node, length, inside diameter in mm, roughness in mm, minor loss, status."""
    rest = (0, "Open")
    for run in _sets(water):
        mains = _mains(water, run)
        yield _row(f"S_{run}", f"source_{run}", f"inlet_{run}", _STUB, _WIDE, _PIPE, *rest)
        if all(start != "filtered" for _, (start, _), _ in mains):
            begin = f"{next(iter(_places(water, run)))}_{run}"
            yield _row(f"F_{run}", f"filtered_{run}", begin, _STUB, _WIDE, _PIPE, *rest)
        for number, (start, end), pipe in mains:
            ends = (f"{start}_{run}", f"{end}_{run}")
            yield _row(f"main{number}_{run}", *ends, pipe.length, 1000 * pipe.diameter, _PIPE, *rest)
    for number, zone in _numbered(water):
        tree, plain = _tree(water, zone)
        for node in range(1, tree.parent.size):
            length, inside = float(tree.length[node]), min(1000 * float(tree.diameter[node]), _WIDE)
            ends = (f"Z{number}_{tree.parent[node]}", f"Z{number}_{node}")
            rough = _PIPE if node < plain else _LINE
            yield _row(f"P{number}_{node}", *ends, max(length, _STUB), inside, rough, *rest)


def _valves(water: WaterPlan) -> Iterator[str]:
    """What filter, meter and valves take, dirty, and the regulators."""
    spots = _spots(water)
    at_source, at_zone = (
        sum(_head(loss.pressure) for loss in water.losses if loss.part is part)
        for part in (LossPart.FITTING, LossPart.VALVE)
    )
    for run in _sets(water):
        yield _row(f"fittings_{run}", f"inlet_{run}", f"filtered_{run}", _WIDE, "PBV", at_source, 0)
    for number, zone in _numbered(water):
        begin = f"{spots[zone.valve]}_{zone.runs_in_set}"
        yield _row(f"V{number}", begin, f"A{number}", _WIDE, "PBV", at_zone, 0)
        yield _row(f"R{number}", f"A{number}", f"Z{number}_0", _WIDE, "PRV", _head(zone.pressure), 0)


def _regulated(water: WaterPlan, zone: Zone) -> float:
    """[m3/s] a compensating emitter of the zone gives in the mean; 0 where emitters do not compensate.

    It stands as a demand: an emitter of so small an exponent is too stiff for the program's equations.
    """
    return zone.flow / zone.emitters if water.hydraulics.regulates_from else 0.0


def _emitters(water: WaterPlan) -> Iterator[str]:
    """Flow in L/s at a head of 1 m; the exponent stands under the options."""
    if water.hydraulics.regulates_from:
        return
    for number, zone in _numbered(water):
        tree, plain = _tree(water, zone)
        for node in range(plain, tree.parent.size):
            yield _row(f"Z{number}_{node}", f"{1000 * water.hydraulics.coefficient:.9g}")


def _coordinates(water: WaterPlan) -> Iterator[str]:
    """East and north, for the map; drip lines lie along their rows."""
    begin = water.pipes.begin
    for run in _sets(water):
        for name in ("source", "inlet", "filtered"):
            yield _row(f"{name}_{run}", begin[0] - (0.0 if water.pipes.shows_source else 5.0), begin[1])
        for name, place in _places(water, run).items():
            yield _row(f"{name}_{run}", *place[:2])
    for number, zone in _numbered(water):
        yield _row(f"A{number}", *zone.valve[:2])
        yield _row(f"Z{number}_0", *zone.valve[:2])
        for node, at in enumerate(downward(zone.manifold_above), start=1):
            yield _row(f"Z{number}_{node}", *zone.lines[at].feed[:2])
        node = len(zone.lines)
        for line in zone.lines:
            for count in range(line.emitters):
                node += 1
                along = line.lead + line.spacing * count
                spot = (place + along * way for place, way in zip(line.feed[:2], line.way, strict=True))
                yield _row(f"Z{number}_{node}", *spot)


def _options(water: WaterPlan) -> Iterator[str]:
    options: tuple[tuple[str, object], ...] = (
        ("Units", "LPS"),
        ("Headloss", "D-W"),
        ("Viscosity", f"{VISCOSITY / 1.022e-6:.4f}"),  # as a share of EPANET's own water
        ("Trials", 500),
        ("Accuracy", "0.00001"),
        ("Emitter Exponent", f"{water.hydraulics.exponent:g}"),
        ("Unbalanced", "Continue 10"),
    )
    yield from (_row(*option) for option in options)
