"""A frame of bars in space at large displacement: wires, guys, and posts condensed to springs.

Two-node corotational bars of unstressed length L0: N = EA (l/L0 - 1), nothing when a tension-only bar is slack. A bar
that is loaded along its length bows between its nodes; the length the bow takes is that of a shallow parabola, so
N = EA (l/L0 - 1 + (w l)^2 / (24 N^2)), and one bar a span is as good as many straight ones. Posts and end assemblies
enter as linear stiffness blocks. Newton's method on a banded Cholesky factor: numbered along the row, the band of a
whole row is a few dozen wide, so cost grows with its length and no faster.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from scipy.linalg.lapack import dpbtrf, dpbtrs

Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]

TOLERANCE = 1e-8  # of the largest force in the problem
LONGEST_STEP = 0.5  # [m] a node moves in one iteration
ITERATIONS = 60
LOAD_STEPS = 20
NARROW = 10  # nodes apart that neighbours may be numbered before another numbering is tried
SLACK = 1e-9  # stiffness kept against mechanisms of slack wires, share of the largest


@dataclass(frozen=True)
class StiffBlock:
    """A linear stiffness between degrees of freedom (3 node + axis): a post, an end assembly, a spring."""

    freedoms: Integers  # (n,)
    stiffness: Floats  # (n, n), symmetric


@dataclass(frozen=True)
class Frame:
    """Nodes, bars and blocks, with the bars' state on the stringing day."""

    nodes: Floats  # (nodes, 3) [m]
    fixed: Booleans  # (nodes, 3)
    bars: Integers  # (bars, 2)
    free_length: Floats  # (bars,) [m] unstressed
    stiffness: Floats  # (bars,) EA [N]
    tension_only: Booleans  # (bars,)
    blocks: tuple[StiffBlock, ...] = ()
    _band: list["_Band"] = field(default_factory=list, repr=False, compare=False)

    @property
    def band(self) -> "_Band":
        """Numbering and places in the band, made once."""
        if not self._band:
            self._band.append(_Band.of(self))
        return self._band[0]


@dataclass(frozen=True)
class Equilibrium:
    """Equilibrium of one load case. When `converged` is false the rest is not to be shown."""

    converged: bool
    residual: float  # [N] largest force left out of balance
    iterations: int
    moved: Floats  # (nodes, 3) [m]
    force: Floats  # (bars,) [N] tension positive
    block_forces: tuple[Floats, ...]  # force of each block on the nodes it holds, sign of K u
    reactions: Floats  # (nodes, 3) force of supports on the frame; zero where free


@dataclass(frozen=True)
class _Band:
    """Where each bar's and block's stiffness goes in LAPACK's lower band storage."""

    number: Integers  # (3 nodes,) equation of each freedom, -1 fixed
    size: int
    width: int  # sub-diagonals
    bar_place: Integers  # (bars, 36) flat place in the band, size*(width+1) = nowhere
    block_place: Integers  # (entries,) flat place in the band of every entry of every block
    block_value: Floats  # (entries,) its stiffness
    block_owner: Integers  # (entries,) the block it belongs to
    kinds: tuple[tuple[Integers, Integers, Floats], ...]  # blocks of one size: which, freedoms, stiffness

    @staticmethod
    def of(frame: Frame) -> "_Band":
        free = ~frame.fixed.ravel()
        order = _along(frame)
        number = np.full(free.size, -1, dtype=np.int64)
        freedoms = (3 * order[:, None] + np.arange(3)).ravel()
        freedoms = freedoms[free[freedoms]]
        number[freedoms] = np.arange(freedoms.size)
        sets = [(3 * frame.bars[:, [0, 0, 0, 1, 1, 1]] + np.tile(np.arange(3), 2))]
        bar_numbers = number[sets[0]]
        groups = [bar_numbers, *(number[block.freedoms][None, :] for block in frame.blocks)]
        width = 0
        for group in groups:
            if group.size:
                top = np.where(group < 0, -1, group).max(axis=1)
                low = np.where(group < 0, free.size, group).min(axis=1)
                width = max(width, int(np.max(np.where(top < 0, 0, top - low))))
        size = freedoms.size

        def places(rows: Integers) -> Integers:
            i, j = rows[..., :, None], rows[..., None, :]
            there = (i >= 0) & (j >= 0) & (i >= j)
            return np.where(there, j * (width + 1) + i - j, size * (width + 1))

        bar_place = places(bar_numbers).reshape(len(frame.bars), 36)
        flat = [places(number[block.freedoms]).ravel() for block in frame.blocks]
        owner = np.repeat(np.arange(len(flat)), [len(part) for part in flat])
        nothing = np.zeros(0)
        return _Band(
            number,
            size,
            width,
            bar_place,
            np.concatenate(flat) if flat else nothing.astype(np.int64),
            np.concatenate([block.stiffness.ravel() for block in frame.blocks]) if flat else nothing,
            owner,
            _kinds(frame.blocks),
        )


def _kinds(blocks: Sequence[StiffBlock]) -> tuple[tuple[Integers, Integers, Floats], ...]:
    """Blocks stacked by size, so that all of one size are multiplied at once."""
    sizes = np.array([len(block.freedoms) for block in blocks], dtype=np.int64)
    found = []
    for size in np.unique(sizes):
        which = np.flatnonzero(sizes == size)
        found.append(
            (
                which,
                np.stack([np.asarray(blocks[int(i)].freedoms) for i in which]),
                np.stack([blocks[int(i)].stiffness for i in which]),
            )
        )
    return tuple(found)


def _along(frame: Frame) -> Integers:
    """Nodes in an order that keeps the band narrow: along the row, or Cuthill-McKee where that is better."""
    nodes = frame.nodes
    straight = np.lexsort((nodes[:, 2], nodes[:, 1], nodes[:, 0])).astype(np.int64)
    pairs = [frame.bars]
    for block in frame.blocks:
        held = np.unique(block.freedoms // 3)
        first, second = np.triu_indices(len(held), 1)
        pairs.append(np.stack([held[first], held[second]], axis=1))
    edges = np.concatenate(pairs)
    if not len(edges):
        return straight

    def reach(order: Integers) -> int:
        rank = np.empty(len(order), dtype=np.int64)
        rank[order] = np.arange(len(order))
        return int(np.abs(rank[edges[:, 0]] - rank[edges[:, 1]]).max())

    if reach(straight) <= NARROW:
        return straight
    from scipy.sparse import coo_array  # late: few frames need them
    from scipy.sparse.csgraph import reverse_cuthill_mckee

    graph = coo_array((np.ones(len(edges)), (edges[:, 0], edges[:, 1])), shape=(len(nodes),) * 2).tocsr()
    mckee = reverse_cuthill_mckee(graph + graph.T, symmetric_mode=True).astype(np.int64)
    return straight if reach(straight) <= reach(mckee) else mckee


def solve(
    frame: Frame,
    loads: Floats,
    *,
    free_length: Floats | None = None,
    bars_lost: Sequence[int] | Booleans = (),
    blocks_lost: Sequence[int] = (),
    bow: Floats | None = None,
    start: Floats | None = None,
) -> Equilibrium:
    """Equilibrium of `frame` under nodal `loads` (nodes, 3) [N].

    Parameters
    ----------
    free_length : unstressed lengths of this case, where temperature changed them
    bars_lost, blocks_lost : parts that are gone
    bow : load along each bar that bends it between its nodes [N/m]; the nodes' share is in `loads`
    start : displacements to start from (nodes, 3); zero otherwise

    Notes
    -----
    The full load is tried first; where Newton's method does not settle, again in 20 steps from rest.
    """
    case = _Case(frame, free_length, bars_lost, blocks_lost, bow)
    target = loads.ravel()[case.free]
    first = np.zeros(3 * len(frame.nodes)) if start is None else start.ravel().copy()
    moved, residual, used, settled = case.newton(first, target)
    if not settled:
        moved = np.zeros(3 * len(frame.nodes))
        for step in range(1, LOAD_STEPS + 1):
            case.share = step / LOAD_STEPS
            moved, residual, more, settled = case.newton(moved, target * case.share)
            used += more
            if not settled:
                break
    return case.solution(moved, loads, residual, used, settled)


@dataclass(frozen=True)
class _State:
    """Bars as they are: direction, length, tension, and d tension / d length (0 when slack)."""

    direction: Floats
    long: Floats
    force: Floats
    axial: Floats


def _bowed(start: Floats, k: Floats) -> Floats:
    """Tension of bowed bars: the root of N^3 - start N^2 = k, Newton from above."""
    pull = np.maximum(start, 0.0) + np.cbrt(k) + 1e-9
    for _ in range(50):
        step = (pull**3 - start * pull**2 - k) / np.maximum(3 * pull**2 - 2 * start * pull, 1e-30)
        pull = pull - step
        if np.all(np.abs(step) <= 1e-14 * pull):
            break
    return pull


class _Case:
    """One load case in work."""

    def __init__(
        self,
        frame: Frame,
        free_length: Floats | None,
        bars_lost: Sequence[int] | Booleans,
        blocks_lost: Sequence[int],
        bow: Floats | None,
    ) -> None:
        self.bow = bow
        self.share = 1.0  # of the load in this step
        self.frame = frame
        self.band = frame.band
        self.length = frame.free_length if free_length is None else free_length
        self.stiffness = frame.stiffness.copy()
        lost = np.asarray(bars_lost)
        if lost.size:
            self.stiffness[lost] = 0.0
        self.here = np.ones(len(frame.blocks), dtype=bool)
        self.here[list(blocks_lost)] = False
        self.free = np.flatnonzero(self.band.number >= 0)
        self.order = self.band.number[self.free]
        self.scale = max(float(self.stiffness.max(initial=0.0)), 1.0)
        self.bar_freedoms = 3 * frame.bars[:, [0, 0, 0, 1, 1, 1]] + np.tile(np.arange(3), 2)
        self.still = self._still()

    def _still(self) -> Floats:
        """The blocks' share of the band, which never changes, and the trace of stiffness left in slack wires."""
        size, width = self.band.size, self.band.width
        flat: Floats = np.zeros(size * (width + 1) + 1)
        flat += np.bincount(
            self.band.block_place,
            weights=self.band.block_value * self.here[self.band.block_owner],
            minlength=size * (width + 1) + 1,
        )
        flat[np.arange(size) * (width + 1)] += SLACK * self.scale
        return flat

    def bars(self, moved: Floats) -> "_State":
        """Directions, lengths, forces, and how stiffly each bar resists stretching."""
        at = self.frame.nodes + moved.reshape(-1, 3)
        along = at[self.frame.bars[:, 1]] - at[self.frame.bars[:, 0]]
        long = np.sqrt(np.einsum("ij,ij->i", along, along))
        force = self.stiffness * (long / self.length - 1)
        axial = self.stiffness / self.length
        working = ~self.frame.tension_only | (force > 0)
        if self.bow is not None:
            k = self.stiffness * (self.share * self.bow * long) ** 2 / 24
            bowed = k > 0
            pull = np.where(bowed, _bowed(force, k), 1.0)
            axial = np.where(
                bowed,
                (pull**2 * axial + 2 * k / long) / np.maximum(3 * pull**2 - 2 * pull * force, 1e-30),
                axial,
            )
            force = np.where(bowed, pull, force)
            working = working | bowed
        return _State(
            along / long[:, None], long, np.where(working, force, 0.0), np.where(working, axial, 0.0)
        )

    def inner(self, moved: Floats, direction: Floats, force: Floats) -> Floats:
        """Internal force on every freedom."""
        pull = direction * force[:, None]
        total = np.bincount(
            self.bar_freedoms.ravel(),
            weights=np.concatenate([-pull, pull], axis=1).ravel(),
            minlength=moved.size,
        )
        for freedoms, force in self.held(moved):
            total += np.bincount(freedoms.ravel(), weights=force.ravel(), minlength=moved.size)
        return np.asarray(total)

    def held(self, moved: Floats) -> list[tuple[Integers, Floats]]:
        """Freedoms and forces of the blocks, size by size; none from those that are gone."""
        return [
            (freedoms, np.einsum("bij,bj->bi", stiffness, moved[freedoms]) * self.here[which, None])
            for which, freedoms, stiffness in self.band.kinds
        ]

    def factor(self, state: "_State") -> Floats | None:
        """Cholesky factor of the tangent, or None when the frame is unstable there."""
        side = state.force / state.long
        outer = state.direction[:, :, None] * state.direction[:, None, :]
        small = (state.axial - side)[:, None, None] * outer + side[:, None, None] * np.eye(3)
        full = np.empty((len(side), 2, 3, 2, 3))
        full[:, 0, :, 0] = full[:, 1, :, 1] = small
        full[:, 0, :, 1] = full[:, 1, :, 0] = -small
        flat = self.still + np.bincount(
            self.band.bar_place.ravel(), weights=full.ravel(), minlength=self.still.size
        )
        matrix = flat[:-1].reshape(self.band.size, self.band.width + 1).T
        factor, info = dpbtrf(matrix, lower=1)
        return factor if info == 0 else None

    def newton(self, moved: Floats, target: Floats) -> tuple[Floats, float, int, bool]:
        moved = moved.copy()
        state = self.bars(moved)
        left = target - self.inner(moved, state.direction, state.force)[self.free]
        limit = TOLERANCE * max(
            float(np.abs(target).max(initial=0.0)), float(np.abs(state.force).max(initial=0)), 1.0
        )
        best = float(np.abs(left).max(initial=0.0))
        for iteration in range(1, ITERATIONS + 1):
            if best <= limit:
                return moved, best, iteration - 1, True
            factor = self.factor(state)
            if factor is None:
                return moved, best, iteration, False
            right = np.zeros(self.band.size)
            right[self.order] = left
            step, _ = dpbtrs(factor, right, lower=1)
            move = step[self.order]
            longest = float(np.abs(move).max(initial=0.0))
            if longest > LONGEST_STEP:
                move *= LONGEST_STEP / longest
            moved, state, left, best = self._advance(moved, move, target, best)
        return moved, best, ITERATIONS, best <= limit

    def _advance(
        self, moved: Floats, move: Floats, target: Floats, before: float
    ) -> tuple[Floats, "_State", Floats, float]:
        """Take the step; halve it a few times where it overshoots badly (a wire going slack and tight in turn)."""
        share = 1.0
        while True:
            trial = moved.copy()
            trial[self.free] += share * move
            state = self.bars(trial)
            left = target - self.inner(trial, state.direction, state.force)[self.free]
            size = float(np.abs(left).max(initial=0.0))
            # the first step of a straight wire overshoots by nature; only a blow-up is cut back
            if size <= 50 * max(before, 1.0) or share < 0.1:
                return trial, state, left, size
            share /= 2

    def solution(
        self, moved: Floats, loads: Floats, residual: float, used: int, settled: bool
    ) -> Equilibrium:
        self.share = 1.0
        state = self.bars(moved)
        reactions = self.inner(moved, state.direction, state.force) - loads.ravel()
        reactions[self.free] = 0.0
        blocks: list[Floats] = [np.zeros(0)] * len(self.frame.blocks)
        for (which, _, _), (_, force) in zip(self.band.kinds, self.held(moved), strict=True):
            for index, each in zip(which, force, strict=True):
                blocks[index] = each
        return Equilibrium(
            converged=settled,
            residual=residual,
            iterations=used,
            moved=moved.reshape(-1, 3),
            force=state.force,
            block_forces=tuple(blocks),
            reactions=reactions.reshape(-1, 3),
        )


def strung(lengths: npt.ArrayLike, pretension: npt.ArrayLike, stiffness: npt.ArrayLike) -> Floats:
    """Unstressed lengths of bars that carry `pretension` at `lengths`: L / (1 + T0/EA)."""
    return np.asarray(np.asarray(lengths) / (1 + np.asarray(pretension) / np.asarray(stiffness)))


def at_temperature(free_length: Floats, warmer: float, expansion: npt.ArrayLike) -> Floats:
    """Unstressed lengths when it is `warmer` [K] than on the stringing day."""
    return np.asarray(free_length * (1 + np.asarray(expansion) * warmer))
