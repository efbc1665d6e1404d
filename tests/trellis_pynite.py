"""The same row in PyNiteFEA: its frame solver driven through Newton's method, for tests and the benchmark.

PyNiteFEA has no large-displacement cable. Each iteration here builds its linear model in the current geometry: posts as
frame members, wires as members whose bending stiffness stands for the geometric stiffness N/l of a bar (12 E I / l^3
between nodes that cannot turn, 3 E I / l^3 next to a post, where the end is released). The out-of-balance force is
worked out beside it from first principles: straight bars N = EA (l/L0 - 1), posts by the handbook's cantilever.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from Pynite import FEModel3D

from topwire.checks.trellis_frames import clamped_post
from topwire.trellis.frame import Frame, StiffBlock, strung

Floats = npt.NDArray[np.float64]
MODULUS = 2e11
WOOD = 1e10
POST = 0.15  # [m]
INERTIA = np.pi * POST**4 / 64
TAUT = 1000.0  # [N]
DIAMETER = 2.515e-3
EA = np.pi / 4 * DIAMETER**2 * MODULUS


@dataclass(frozen=True)
class Row:
    """Spans of 6 m, posts fixed at the ground, wires held at both ends; nodes (stations, wires)."""

    spans: int
    per_span: int
    heights: tuple[float, ...]

    @property
    def stations(self) -> int:
        return self.spans * self.per_span + 1

    @property
    def length(self) -> float:
        return 6.0 / self.per_span

    def node(self, station: int, wire: int) -> int:
        return station * len(self.heights) + wire

    @property
    def post_stations(self) -> range:
        return range(self.per_span, self.stations - 1, self.per_span)

    def nodes(self) -> Floats:
        return np.array([(s * self.length, 0.0, z) for s in range(self.stations) for z in self.heights])

    def bars(self) -> npt.NDArray[np.int64]:
        wires = range(len(self.heights))
        return np.array(
            [(self.node(s, w), self.node(s + 1, w)) for s in range(self.stations - 1) for w in wires]
        )

    def loads(self, across: float, down: float) -> Floats:
        """Nodal loads from loads per metre on every wire."""
        force = np.zeros((self.stations, len(self.heights), 3))
        force[1:-1] = np.array([0.0, across, -down]) * self.length
        return force.reshape(-1, 3)


def ours(row: Row) -> Frame:
    """The row as this package's frame, plain straight bars."""
    nodes, bars = row.nodes(), row.bars()
    fixed = np.zeros((len(nodes), 3), dtype=bool)
    wires = len(row.heights)
    fixed[:wires] = fixed[-wires:] = True
    stiffness = clamped_post(row.heights, WOOD * INERTIA)
    blocks = []
    for station in row.post_stations:
        at = row.node(station, 0) + np.arange(wires)
        fixed[at, 2] = True
        blocks += [StiffBlock(3 * at + 1, stiffness), StiffBlock(3 * at, stiffness)]
    stiff = np.full(len(bars), EA)
    return Frame(
        nodes, fixed, bars, strung(np.full(len(bars), row.length), TAUT, stiff), stiff,
        np.ones(len(bars), dtype=bool), tuple(blocks),
    )  # fmt: skip


def solve_with_pynite(
    row: Row, loads: Floats, *, tolerance: float = 1e-3, iterations: int = 30
) -> tuple[Floats, Floats, int]:
    """Movements, bar forces and iterations of the same row."""
    nodes, bars = row.nodes(), row.bars()
    free = row.length / (1 + TAUT / EA)
    moved = np.zeros_like(nodes)
    post = clamped_post(row.heights, WOOD * INERTIA)
    wires = len(row.heights)
    held = np.zeros(nodes.shape, dtype=bool)
    held[:wires] = held[-wires:] = True
    for station in row.post_stations:
        held[row.node(station, 0) : row.node(station, 0) + wires, 2] = True
    for iteration in range(iterations):
        at = nodes + moved
        along = at[bars[:, 1]] - at[bars[:, 0]]
        long = np.linalg.norm(along, axis=1)
        force = EA * (long / free - 1)
        pull = along / long[:, None] * force[:, None]
        left = loads.copy()
        np.add.at(left, bars[:, 0], pull)
        np.add.at(left, bars[:, 1], -pull)
        for station in row.post_stations:
            where = row.node(station, 0) + np.arange(wires)
            for axis in (0, 1):
                left[where, axis] -= post @ moved[where, axis]
        left[held] = 0.0
        if np.abs(left).max() < tolerance:
            return moved, force, iteration
        moved = moved + _step(row, at, np.maximum(force, 1.0), left)
    raise RuntimeError("the driven PyNiteFEA model did not settle")


def _step(row: Row, at: Floats, force: Floats, left: Floats) -> Floats:
    """One linear solve by PyNiteFEA in the current geometry."""
    model = FEModel3D()
    model.add_material("steel", MODULUS, 8e10, 0.3, 0.0)
    model.add_material("wood", WOOD, 4e9, 0.3, 0.0)
    model.add_section("post", 1e3, INERTIA, INERTIA, 2 * INERTIA)
    posts = set(row.post_stations)
    wires = len(row.heights)
    ends = {0, row.stations - 1}
    for i, (x, y, z) in enumerate(at):
        model.add_node(f"N{i}", float(x), float(y), float(z))
        station = i // wires
        rest = station in ends
        turn = station not in posts
        model.def_support(f"N{i}", rest, rest, rest, turn, turn, turn)
    for number, (a, b) in enumerate(row.bars()):
        long = float(np.linalg.norm(at[b] - at[a]))
        pinned = a // wires in posts, b // wires in posts
        guided = 12.0 if not any(pinned) else 3.0
        inertia = float(force[number]) * long**2 / (guided * MODULUS)
        model.add_section(f"S{number}", EA / MODULUS, inertia, inertia, 1e-12)
        model.add_member(f"W{number}", f"N{a}", f"N{b}", "steel", f"S{number}")
        if any(pinned):
            first, second = pinned
            model.def_releases(
                f"W{number}", Rxi=first, Ryi=first, Rzi=first, Rxj=second, Ryj=second, Rzj=second
            )
    for station in row.post_stations:
        model.add_node(f"G{station}", station * row.length, 0.0, 0.0)
        model.def_support(f"G{station}", True, True, True, True, True, True)
        below = f"G{station}"
        for w in range(wires):
            above = f"N{row.node(station, w)}"
            model.add_member(f"P{station}-{w}", below, above, "wood", "post")
            below = above
    for i, push in enumerate(left):
        for axis, value in zip(("FX", "FY", "FZ"), push, strict=True):
            if value:
                model.add_node_load(f"N{i}", axis, float(value))
    model.analyze_linear(check_stability=False)
    found = [
        (n.DX["Combo 1"], n.DY["Combo 1"], n.DZ["Combo 1"])
        for n in (model.nodes[f"N{i}"] for i in range(len(at)))
    ]
    return np.asarray(found, dtype=float)


def post_moment_by_pynite(row: Row, forces: Floats) -> float:
    """HoldingGround moment of one post under wire forces at its heights, its own linear model."""
    model = FEModel3D()
    model.add_material("wood", WOOD, 4e9, 0.3, 0.0)
    model.add_section("post", np.pi / 4 * POST**2, INERTIA, INERTIA, 2 * INERTIA)
    model.add_node("G", 0, 0, 0)
    model.def_support("G", True, True, True, True, True, True)
    below = "G"
    for w, z in enumerate(row.heights):
        model.add_node(f"N{w}", 0, 0, float(z))
        model.add_member(f"P{w}", below, f"N{w}", "wood", "post")
        model.add_node_load(f"N{w}", "FY", float(forces[w]))
        below = f"N{w}"
    model.analyze_linear(check_stability=False)
    return abs(float(model.nodes["G"].RxnMX["Combo 1"]))
