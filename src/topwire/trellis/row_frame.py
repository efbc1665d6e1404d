"""A whole row as a frame in space, taken through the named cases."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.trellis import loads, wind
from topwire.trellis.cases import CASES, LoadCase
from topwire.trellis.demand import RowDemand
from topwire.trellis.frame import Equilibrium, Frame, StiffBlock, at_temperature, solve, strung
from topwire.trellis.ground_post import GroundPost, even_spring, ground_post, growing_spring
from topwire.trellis.holding import spring_of
from topwire.trellis.materials import LateralSoilRow, Post, Wire
from topwire.trellis.storm_year import YEAR
from topwire.trellis.wire import STEEL_EXPANSION

Floats = npt.NDArray[np.float64]

PER_SPAN = 1  # bars of a wire between two posts; they bow, so one is enough
POST_AXIAL = 1.0e7  # [N/m] a wire's staple on a post, downwards
ROUND_DRAG = 1.2  # of an iced wire (ASCE7-16, round members, MEMORY)
BARE = YEAR[0].leaf  # drag of bare trees over that in full leaf
LINE_WEIGHT = 4.0  # [N/m] filled drip line on the low wire
WIRE_SLIP = 1.0e-6  # [m/N] give of a staple along the row, keeps the end block well-posed


@dataclass(frozen=True)
class RowFrame:
    """One row with its wires, line posts and ends, on the stringing day."""

    positions: Floats  # (posts,) [m] all posts, ends included
    heights: Floats  # (wires,) [m] low wire first where there is one
    training: slice  # of heights: the training wires
    wire: Wire
    frame: Frame
    line_post: dict[bool, GroundPost]  # by wet
    blocks_of_post: dict[bool, tuple[tuple[int, int], ...]]  # across and along block of each line post
    stations: Floats  # [m] along the row, every node line
    pretension: float  # [N] that both ends hold already on the stringing day

    def node(self, station: int, wire: int) -> int:
        return station * len(self.heights) + wire

    @property
    def end_lines(self) -> tuple[tuple[npt.NDArray[np.int64], int, float], ...]:
        """Of both ends: nodes of their wires, block along the row, and which way the row lies."""
        wires, posts = len(self.heights), len(self.positions)
        first = len(self.frame.blocks) - posts - 4  # vertical blocks stand last, before them two for each end
        start = np.arange(wires)
        last = (len(self.stations) - 1) * wires
        return (start, first + 1, 1.0), (start + last, first + 3, -1.0)

    def end_moments(
        self, found: Equilibrium, turned: tuple[float, float] = (0.0, 0.0)
    ) -> tuple[float, float]:
        """Moment [N m] of all wires about the foot of each end, as its anchor or brace has to hold it."""
        still = self.pretension * float(self.heights.sum())
        moments = []
        for (_, block, inward), given in zip(self.end_lines, turned, strict=True):
            lost = self.frame.blocks[block].stiffness @ self.heights * given
            moments.append(still + float((inward * found.block_forces[block] - lost) @ self.heights))
        return moments[0], moments[1]


@dataclass(frozen=True)
class CaseResult:
    """A whole row in one case; figures are None where no equilibrium was found."""

    case: LoadCase
    converged: bool
    residual: float  # [N]
    iterations: int
    tension: float | None  # [N] greatest in any wire
    share_of_breaking: float | None
    sag: float | None  # [m] deepest point of a wire below its height
    sideways: float | None  # [m] farthest a wire moves across the row
    post_moment: float | None  # [N m] greatest in a line post, above or below ground
    share_of_post: float | None  # of what 19 posts of 20 bear
    end_pull: float | None  # [N] all wires together at one end
    gust: float | None = None  # [m/s] of the wind in it


def row_frame(
    demand: RowDemand,
    *,
    positions: Floats,
    low_wire: float | None,
    wire: Wire,
    pretension: float,
    post: Post,
    depth: float,
    end_post: Post,
    end_depth: float,
    end_gives: float,
    soil: LateralSoilRow,
    far_post: Post | None = None,
    far_depth: float | None = None,
    per_span: int = PER_SPAN,
) -> RowFrame:
    """Model of a row: bars for wires, condensed posts in soil springs, ends that turn about their foot.

    `far_post` and `far_depth` are those of the far end where it is built otherwise.

    Raises
    ------
    ValueError
        When a post buckles under the crop's weight, or a pretension is not above zero.
    """
    if pretension <= 0:
        raise ValueError("a wire strung with no tension hangs loose; state a pretension above zero")
    heights = np.concatenate([[low_wire], demand.heights]) if low_wire is not None else demand.heights
    wires, first = len(heights), 0 if low_wire is None else 1
    share = np.linspace(0, 1, per_span, endpoint=False)
    stations = np.append((positions[:-1, None] + np.diff(positions)[:, None] * share).ravel(), positions[-1])
    count = len(stations)
    nodes = np.zeros((count, wires, 3))
    nodes[:, :, 0], nodes[:, :, 2] = stations[:, None], heights[None, :]
    index = np.arange(count * wires).reshape(count, wires)
    bars = np.stack([index[:-1].ravel(), index[1:].ravel()], axis=1)
    long = np.repeat(np.diff(stations), wires)
    stiff = np.full(len(bars), wire.stiffness)
    span = float(np.diff(positions).max())
    thrust = np.full(wires, demand.vertical * span)
    thrust[:first] = LINE_WEIGHT * span
    line: dict[bool, GroundPost] = {}
    blocks: list[StiffBlock] = []
    blocks_of: dict[bool, tuple[tuple[int, int], ...]] = {}
    for wet in (False, True):
        line[wet] = _standing(post, depth, heights, soil, wet, tuple(thrust))
        across = line[wet].stiffness
        found = []
        for where in index[per_span:-1:per_span]:
            found.append((len(blocks), len(blocks) + 1))
            blocks += [StiffBlock(3 * where + 1, across), StiffBlock(3 * where, across)]
        blocks_of[wet] = tuple(found)
    far = (far_post or end_post, end_depth if far_depth is None else far_depth)
    for where, (last, deep) in ((index[0], (end_post, end_depth)), (index[-1], far)):
        along = _end_along(heights, last, end_gives)
        across = _standing(last, deep, heights, soil, True, ()).stiffness
        blocks += [StiffBlock(3 * where + 1, across), StiffBlock(3 * where, along)]
    down = np.eye(wires) * POST_AXIAL
    blocks += [StiffBlock(3 * where + 2, down) for where in index[::per_span]]
    frame = Frame(
        nodes=nodes.reshape(-1, 3),
        fixed=np.zeros((count * wires, 3), dtype=bool),
        bars=bars,
        free_length=strung(long, pretension, stiff),
        stiffness=stiff,
        tension_only=np.ones(len(bars), dtype=bool),
        blocks=tuple(blocks),
    )
    return RowFrame(
        positions, heights, slice(first, wires), wire, frame, line, blocks_of, stations, pretension
    )


def _standing(
    post: Post, depth: float, heights: Floats, soil: LateralSoilRow, wet: bool, thrust: tuple[float, ...]
) -> GroundPost:
    growth, even = spring_of(soil, post.diameter, wet=wet)
    law = even_spring(even) if even else growing_spring(growth / post.diameter, post.diameter)
    return ground_post(list(heights), depth=depth, bending=post.bending, spring=law, steps=16, thrust=thrust)


def _end_along(heights: Floats, post: Post, end_gives: float) -> Floats:
    """Stiffness of an end against its wires: it turns about its foot as the anchor gives, and the post bends."""
    top = heights[-1]
    turn = np.outer(heights, heights) / (end_gives * len(heights) * top**2)
    a = np.minimum(heights[:, None], heights[None, :])
    b = top - np.maximum(heights[:, None], heights[None, :])
    bend = a * b * (top**2 - a**2 - b**2) / (6 * post.bending * top)  # beam held at foot and top
    flexibility = turn + bend + WIRE_SLIP * np.eye(len(heights))
    return np.asarray(np.linalg.inv(flexibility))


def run_cases(
    row: RowFrame,
    demand: RowDemand,
    post: Post,
    *,
    gust: float,
    drag: float,
    cases: tuple[LoadCase, ...] = CASES,
) -> tuple[CaseResult, ...]:
    """Every case of a row, each from the state on the stringing day."""
    return tuple(
        replace(
            _report(
                row, post, case, case_loads(row, demand, case, gust, drag),
                run_case(row, demand, case, gust=gust, drag=drag),
            ),
            gust=gust * case.wind**0.5 if case.wind else None,
        )
        for case in cases
    )  # fmt: skip


def run_case(
    row: RowFrame,
    demand: RowDemand,
    case: LoadCase,
    *,
    gust: float,
    drag: float,
    turned: tuple[float, float] = (0.0, 0.0),
) -> Equilibrium:
    """Equilibrium of the row in one case.

    `turned` [rad] is how far each end has turned towards the row for good; beyond it the end is elastic. An end's own
    movement counts from the stringing day, when it held the pretension already.
    """
    per_metre = case_loads(row, demand, case, gust, drag)
    reach = np.zeros(len(row.stations))
    reach[:-1] += np.diff(row.stations) / 2
    reach[1:] += np.diff(row.stations) / 2
    force = (reach[:, None, None] * per_metre[None, :, :]).reshape(-1, 3)
    for (node_line, block, inward), given in zip(row.end_lines, turned, strict=True):
        held = row.frame.blocks[block].stiffness @ row.heights * given
        force[node_line, 0] += inward * (held - row.pretension)
    middle = _middle_post(row)
    if case.touch and middle is not None:
        lowest = row.training.start
        force[row.node(middle[0], lowest), 1] += loads.TOUCH * 1.0 / row.heights[lowest]
    lost_bars: npt.NDArray[np.bool_] | tuple[()] = ()
    if case.lost_wire and len(demand.heights) > 1:
        lost_bars = row.frame.bars[:, 0] % len(row.heights) == len(row.heights) - 1
    gone = [b for pair in row.blocks_of_post[not case.wet] for b in pair]
    if case.lost_post and middle is not None:
        # its staples hold nothing either: vertical blocks stand after the posts' and the two ends'
        gone += [*row.blocks_of_post[case.wet][middle[1]], _first_down(row) + middle[1] + 1]
    length = at_temperature(row.frame.free_length, case.warmer, STEEL_EXPANSION) if case.warmer else None
    return solve(
        row.frame,
        force,
        free_length=length,
        bars_lost=lost_bars,
        blocks_lost=gone,
        bow=np.hypot(per_metre[:, 1], per_metre[:, 2])[row.frame.bars[:, 0] % len(row.heights)],
    )


def case_loads(row: RowFrame, demand: RowDemand, case: LoadCase, gust: float, drag: float) -> Floats:
    """(wires, 3) load on each wire [N/m]."""
    load = np.zeros((len(row.heights), 3))
    load[:, 2] = -row.wire.weight
    if case.ice:
        load[:, 2] -= float(loads.ice_weight(row.wire.diameter, case.ice))
    load[: row.training.start, 2] -= LINE_WEIGHT
    if not case.leafed:
        if case.wind:
            pressure = demand.pressure_at_1 * gust**2 * case.wind
            load[:, 1] = ROUND_DRAG * pressure * (row.wire.diameter + 2 * case.ice)
            load[row.training, 1] += BARE * drag * pressure * demand.shares
        return load
    if case.grown < 1:
        demand = demand.half_grown(case.grown)
    load[row.training, 2] -= demand.hanging(case) * demand.reached
    load[-1, 2] -= demand.on_net(case)
    across = float(wind.normal_share(case.angle)) * case.wind
    load[row.training, 1] = demand.lateral(gust * across**0.5, drag, cropped=case.crop > 0, wet=case.wet)
    if case.wind > across:
        total = wind.end_force(
            demand.pressure_at_1 * gust**2 * (case.wind - across),
            height=demand.canopy_top,
            width=loads.CANOPY_WIDTH,
            length=demand.length,
        )
        load[row.training, 0] = float(total) / demand.length * demand.shares / demand.shares.sum()
    if case.lost_wire and len(demand.heights) > 1:
        load[-2] += load[-1]  # the wire below takes over
        load[-1] = 0.0
    return load


def _middle_post(row: RowFrame) -> tuple[int, int] | None:
    """Station and number of the line post in the middle of the row."""
    posts = len(row.positions) - 2
    if posts < 1:
        return None
    number = posts // 2
    return (number + 1) * (len(row.stations) - 1) // (len(row.positions) - 1), number


def _first_down(row: RowFrame) -> int:
    return len(row.frame.blocks) - len(row.positions)


def _report(row: RowFrame, post: Post, case: LoadCase, per_metre: Floats, found: Equilibrium) -> CaseResult:
    if not found.converged:
        return CaseResult(
            case, False, found.residual, found.iterations, None, None, None, None, None, None, None
        )
    wires = len(row.heights)
    tension = found.force.reshape(-1, wires)
    moment = 0.0
    standing = row.line_post[case.wet]
    for number, (across, along) in enumerate(row.blocks_of_post[case.wet]):
        if case.lost_post and (middle := _middle_post(row)) is not None and number == middle[1]:
            continue
        both = np.hypot(
            np.abs(standing.bend @ found.block_forces[across]),
            np.abs(standing.bend @ found.block_forces[along]),
        )
        moment = max(moment, float(both.max()))
    moved = found.moved.reshape(-1, wires, 3)
    kept = slice(0, wires - 1) if case.lost_wire else slice(0, wires)  # a lost top wire hangs where it likes
    long = np.diff(row.stations)[:, None]
    load = np.hypot(per_metre[:, 1], per_metre[:, 2])
    at_post = np.hypot(tension + np.abs(per_metre[:, 0]) * long / 2, load * long / 2)
    greatest = float(at_post[:, kept].max())
    bow = long**2 / (8 * np.maximum(tension, 1e-9))
    down = farthest(-moved[:-1, :, 2], -moved[1:, :, 2], -per_metre[None, :, 2] * bow)
    aside = [
        farthest(sign * moved[:-1, :, 1], sign * moved[1:, :, 1], sign * per_metre[None, :, 1] * bow)
        for sign in (1.0, -1.0)
    ]
    return CaseResult(
        case=case,
        converged=True,
        residual=found.residual,
        iterations=found.iterations,
        tension=greatest,
        share_of_breaking=greatest / row.wire.breaking,
        sag=float(down[:, kept].max()),
        sideways=float(max(way[:, kept].max() for way in aside)),
        post_moment=moment,
        share_of_post=moment / post.moment,
        end_pull=float(max(at_post[0].sum(), at_post[-1].sum())),
    )


def farthest(start: Floats, end: Floats, bow: Floats) -> Floats:
    """Farthest point of bars from `start` to `end` that bow by `bow` in their middle, wherever along a bar it lies.

    start + (end - start) s + 4 bow s (1 - s) is greatest at s = 1/2 + (end - start) / (8 bow); a bar whose post is lost
    hangs deepest beside its middle, or at that post.
    """
    rise = end - start
    place = np.clip(0.5 + rise / np.where(np.abs(bow) > 1e-12, 8 * bow, np.inf), 0.0, 1.0)
    inside = start + rise * place + 4 * bow * place * (1 - place)
    return np.asarray(np.maximum(inside, np.maximum(start, end)))
