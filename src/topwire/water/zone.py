"""Zones: neighbouring rows on one valve, their manifold and lines as a network, and the head the valve must give."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.water import emitter as emitters
from topwire.water.findings import DripLine, LineHydraulics
from topwire.water.network import NotSolved, Solution, Tree, solve
from topwire.water.sizing import cheapest_sizes
from topwire.water.tables import EmitterRow, TubeRow
from topwire.water.ways import NOTHING, Obstacles, PipeNet, downward, shortest
from topwire.water.wetting import AT_TRUNK

Array = npt.NDArray[np.float64]

BURIED = 0.4  # [m] manifold below ground, common practice: below the reach of a cultivator
GOAL = 0.905  # [-] emission uniformity designed to; the bar is 0.90
COMPENSATING_MARGIN = 1.0  # [m] above the head a compensating emitter starts to regulate at
COMPENSATING_LOSS = 4.0  # [m] a manifold of compensating rows may lose: the valve makes it up
_TIGHTEN = 0.6
_ROUNDS = 7


@dataclass(frozen=True)
class WateredRow:
    """One row as the water sees it.

    `feed` and `far` are (x, y, height) [m] of the ground at the fed and the far end post; `lead` runs from the feed
    post to the first tree, `run` from the first tree to the last.
    """

    address: str
    block: int
    feed: tuple[float, float, float]
    far: tuple[float, float, float]
    length: float
    lead: float
    run: float
    trees: int
    tree_spacing: float
    low_wire: float
    years: tuple[int, ...] = ()  # its trees were planted in

    @property
    def turned(self) -> "WateredRow":
        """The same row fed from its other end."""
        lead = max(self.length - self.lead - self.run, 0.0)
        return replace(self, feed=self.far, far=self.feed, lead=lead)

    def emitters(self, line: EmitterRow) -> int:
        if line.spacing_m is None:
            return round(self.trees * (line.per_tree or 1.0))
        return int(self.run / line.spacing_m + 1e-9) + 1

    def farthest(self, line: EmitterRow) -> float:
        """Of all trunks the longest way to the next emitter. [m]"""
        if line.spacing_m is None:
            return AT_TRUNK
        trunks = np.arange(round(self.run / max(self.tree_spacing, 1e-9)) + 1) * self.tree_spacing
        nearest = np.clip(np.rint(trunks / line.spacing_m), 0, self.emitters(line) - 1) * line.spacing_m
        return float(np.abs(trunks - nearest).max())

    def in_step(self, line: EmitterRow) -> bool:
        """Whether an emitter stands at every trunk."""
        return self.farthest(line) <= AT_TRUNK + 1e-9

    def drip_line(self, line: EmitterRow) -> DripLine:
        return DripLine(
            self.address,
            self.feed,
            self.way,
            self.lead,
            self.low_wire,
            self.rise,
            line.spacing(self.tree_spacing),
            self.emitters(line),
        )

    @property
    def way(self) -> tuple[float, float]:
        """East and north of a step along the row."""
        east, north = self.far[0] - self.feed[0], self.far[1] - self.feed[1]
        step = max(float(np.hypot(east, north)), 1e-9)
        return (east / step, north / step)

    @property
    def rise(self) -> float:
        """[m/m] of the ground, away from the feed."""
        return (self.far[2] - self.feed[2]) / max(self.length, 1e-9)


@dataclass(frozen=True)
class SizedZone:
    """A zone with its manifold sized and its heads solved."""

    rows: tuple[WateredRow, ...]
    line: EmitterRow
    valve: tuple[float, float, float]
    net: PipeNet  # of the rows' fed ends, begun at the valve
    manifold_sizes: Mapping[int, TubeRow]  # of the pipe to each row but the one at the valve
    head: float  # [m] of pressure behind the valve
    flow: float  # [m3/s]
    uniformity: float  # emission uniformity with the make's variation
    lowest_quarter: float  # mean flow of the lowest quarter of the emitters over the mean of all
    least_head: float  # [m] at an emitter
    most_head: float
    emitters: int
    trees: int

    @property
    def row_emitters(self) -> list[int]:
        return [row.emitters(self.line) for row in self.rows]

    @property
    def manifold_cost(self) -> float:
        lengths = self.net.lengths
        return sum(
            (size.price_per_m or 0.0) * float(lengths[row]) for row, size in self.manifold_sizes.items()
        )


def split_rows(
    rows: tuple[WateredRow, ...], line: EmitterRow, flow_limit: float
) -> list[tuple[WateredRow, ...]]:
    """Part a block's rows, in order, into as few groups as the flow limit [m3/s] allows, as even as can be.

    A single row that alone takes more than the limit stands alone and breaks it.
    """
    one = line.litres_per_hour / 3.6e6
    flows = np.array([row.emitters(line) * one for row in rows])
    count = max(int(np.ceil(flows.sum() / flow_limit - 1e-9)), 1)
    while count < len(rows):
        ends = np.cumsum(flows) - flows / 2
        group = np.minimum((ends / flows.sum() * count).astype(int), count - 1)
        if all(flows[group == number].sum() <= flow_limit * (1 + 1e-9) for number in range(count)):
            break
        count += 1
    else:
        group = np.arange(len(rows))
    return [
        tuple(row for row, mine in zip(rows, group, strict=True) if mine == number)
        for number in range(int(group.max()) + 1)
        if (group == number).any()
    ]


def zone_tree(
    rows: tuple[DripLine, ...], line: LineHydraulics, above: Sequence[int], manifold: Array, lengths: Array
) -> tuple[Tree, int]:
    """The network behind a valve at one of the rows, and the number of nodes that are no emitter.

    Parameters
    ----------
    above : (rows,) row whose tee each row's tee is fed from, -1 for the one at the valve
    manifold : (rows,) [m] inside diameter of the pipe to each row's tee, 0 at the valve
    lengths : (rows,) [m] of that pipe, 0 at the valve
    """
    count = len(rows)
    # node 0 is the valve, nodes 1 .. count the tees, each after the one above it
    order = downward(above)
    tee = {row: node + 1 for node, row in enumerate(order)}
    parent, length, diameter = [-1], [0.0], [1.0]
    height, outlets = [rows[order[0]].feed[2] - BURIED], [0.0]
    for at in order:
        parent.append(tee.get(above[at], 0))
        length.append(float(lengths[at]))
        diameter.append(float(manifold[at]) if above[at] >= 0 else 1.0)
        height.append(rows[at].feed[2] - BURIED)
        outlets.append(0.0)
    parents, more = [np.array(parent, dtype=np.int64)], count + 1
    parts = [(np.array(length), np.array(diameter), np.array(height), np.array(outlets))]
    for index, row in enumerate(rows):
        emitting, spacing = row.emitters, row.spacing
        nodes = np.arange(more, more + emitting)
        above_node = nodes - 1
        above_node[0] = tee[index]
        pipe = np.full(emitting, spacing + line.barb)
        pipe[0] = row.lead + row.hangs + BURIED + line.barb
        along = row.lead + spacing * np.arange(emitting)
        parents.append(above_node)
        parts.append(
            (
                pipe,
                np.full(emitting, line.diameter),
                row.feed[2] + row.hangs + row.slope * along,
                np.ones(emitting),
            )
        )
        more += emitting
    columns = [np.concatenate(column) for column in zip(*parts, strict=True)]
    return Tree(np.concatenate(parents), *columns), count + 1


def size_zone(
    rows: tuple[WateredRow, ...], line: EmitterRow, mains: tuple[TubeRow, ...], around: Obstacles = NOTHING
) -> SizedZone | None:
    """Cheapest manifold that keeps the zone's emission uniformity at the goal; None where not even the widest does.

    The manifold is the shortest net of the rows' fed ends, with the valve in its middle. It may first lose what a rule
    of thumb allows; the whole network is then solved, and where uniformity falls short the allowance is tightened and
    the sizes chosen again.
    """
    net = shortest([row.feed for row in rows], around).from_middle()
    single = line.litres_per_hour / 3.6e6
    row_flow = np.array([row.emitters(line) * single for row in rows])
    pipes = net.order[1:]  # by the row whose tee each leads to
    at = {row: pipe for pipe, row in enumerate(pipes)}
    paths = np.zeros((len(net.tips), len(pipes)), dtype=bool)
    for end, tip in enumerate(net.tips):
        paths[end, [at[row] for row in net.passed(tip)]] = True
    diameters = np.array([tube.diameter for tube in mains])
    prices = np.array([tube.price_per_m or 0.0 for tube in mains])
    allowance = _allowance(line)
    widest: SizedZone | None = None
    for _ in range(_ROUNDS):
        sizes = cheapest_sizes(
            net.beyond(row_flow)[pipes],
            net.lengths[pipes],
            paths=paths,
            allowed=np.full(len(net.tips), allowance),
            diameters=diameters,
            prices=prices,
            above=[at.get(net.above[row], -1) for row in pipes],
        )
        if sizes is None:
            return None
        chosen = {row: mains[int(size)] for row, size in zip(pipes, sizes, strict=True)}
        sized = _solved(rows, line, net, chosen)
        if sized is None:
            return None
        if sized.uniformity >= GOAL and sized.most_head <= line.most_head_m:
            return sized
        if widest is None:
            widest = _solved(rows, line, net, dict.fromkeys(pipes, mains[-1]))
            if widest is None or widest.uniformity < GOAL or widest.most_head > line.most_head_m:
                return None  # the lines themselves, or the slope, are at fault: no manifold mends that
        allowance *= _TIGHTEN
    return widest


def _allowance(line: EmitterRow) -> float:
    if line.compensating:
        return COMPENSATING_LOSS
    hydraulics = line.hydraulics
    nominal = line.litres_per_hour / 3.6e6
    least = emitters.least_flow(nominal, GOAL, variation=line.variation, per_tree=1.0)
    least = min(least, 0.97 * nominal)
    least_head = (least / hydraulics.coefficient) ** (1 / line.exponent)
    return emitters.allowed_head_difference(line.nominal_head_m, least_head) / 2


def _solved(
    rows: tuple[WateredRow, ...], line: EmitterRow, net: PipeNet, sizes: Mapping[int, TubeRow]
) -> SizedZone | None:
    lines = tuple(row.drip_line(line) for row in rows)
    inside = np.array([sizes[row].diameter if row in sizes else 0.0 for row in range(len(rows))])
    tree, plain = zone_tree(lines, line.drip, net.above, inside, net.lengths)
    found = _set_head(tree, plain, line)
    if found is None:
        return None
    head, solution = found
    flows, heads = solution.outlet[plain:], solution.head[plain:]
    trees = sum(row.trees for row in rows)
    per_tree = flows.size / max(trees, 1)
    uniformity = emitters.emission_uniformity(
        float(flows.min()), float(flows.mean()), variation=line.variation, per_tree=per_tree
    )
    return SizedZone(
        rows,
        line,
        rows[net.order[0]].feed,
        net,
        sizes,
        head,
        solution.total,
        uniformity,
        emitters.lowest_quarter(flows),
        float(heads.min()),
        float(heads.max()),
        int(flows.size),
        trees,
    )


def _set_head(tree: Tree, plain: int, line: EmitterRow) -> tuple[float, Solution] | None:
    """Head behind the valve: a compensating line works just above where it regulates, a plain one at nominal flow."""
    emitter = line.hydraulics
    nominal = line.litres_per_hour / 3.6e6
    rise = float(tree.height[plain:].max() - tree.height[0])
    head = line.nominal_head_m + max(rise, 0.0) + 2.0
    try:
        for _ in range(6):
            solution = solve(tree, emitter, head)
            if line.compensating:
                step = line.regulates_from_m + COMPENSATING_MARGIN - float(solution.head[plain:].min())
            else:
                mean = float(solution.outlet[plain:].mean())
                step = line.nominal_head_m * (1 - (mean / nominal) ** (1 / line.exponent))
            if abs(step) < 0.01:
                break
            head = max(head + step, 0.5)
    except NotSolved:
        return None
    return head, solution
