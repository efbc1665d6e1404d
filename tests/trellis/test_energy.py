"""A row that lost a post, and one whose end yields, beside the least energy of a chain of straight bars.

The energy is written out here and handed to scipy's trust-region minimiser: nothing of the package's frame solver is
used, no bowed bar, no Newton step, no band. One wire in space; of the package only what goes into it: loads, section,
and how stiff posts and ends are.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import minimize
from trellis_support import Yard, a_row

from topwire.trellis.cases import CASES, STILL, LoadCase
from topwire.trellis.demand import RowDemand
from topwire.trellis.kinds import CaseName
from topwire.trellis.row_frame import POST_AXIAL, RowFrame, case_loads, row_frame, run_cases
from topwire.trellis.search import END_GIVES
from topwire.trellis.yielding import run_yielding

Floats = npt.NDArray[np.float64]

TOP, TAUT, PER_SPAN = 2.0, 900.0, 30
LOST = next(case for case in CASES if case.name is CaseName.LOST_POST)


def row_of(yard: Yard, demand: RowDemand, spans: int) -> RowFrame:
    post = yard.stock.posts[-1]
    return row_frame(
        demand, positions=np.linspace(0.0, demand.length, spans + 1), low_wire=None, wire=yard.stock.wires[0],
        pretension=TAUT, post=post, depth=1.2, end_post=post, end_depth=1.2, end_gives=END_GIVES,
        soil=yard.stock.soil,
    )  # fmt: skip


@dataclass(frozen=True)
class Chain:
    """Straight bars of one wire over posts: springs at the nodes `posts` and at both ends, which hold no more than
    `holds` [N] along the row."""

    length: float
    nodes: int
    bar: float  # [N] EA
    load: tuple[float, float]  # [N/m] across and up
    posts: npt.NDArray[np.int64]
    post: tuple[float, float]  # [N/m] of a line post, along and across
    end: float  # [N/m] along
    end_across: float
    holds: tuple[float, float]

    @property
    def apart(self) -> float:
        return self.length / (self.nodes - 1)

    def energy(self, moved: Floats) -> tuple[float, Floats]:
        """Energy [J] and its slope, of (nodes, 3) movements along, across and up, laid flat."""
        u = moved.reshape(-1, 3)
        slope = np.zeros_like(u)
        free = self.apart / (1 + TAUT / self.bar)
        step = np.diff(u, axis=0) + np.array([self.apart, 0.0, 0.0])
        long = np.linalg.norm(step, axis=1)
        stretch = np.maximum(long - free, 0.0)
        total = float((self.bar / (2 * free) * stretch**2).sum())
        pull = (self.bar / free * stretch / long)[:, None] * step
        slope[1:] += pull
        slope[:-1] -= pull
        share = np.full(self.nodes, self.apart)
        share[[0, -1]] /= 2
        for axis, load in zip((1, 2), self.load, strict=True):
            total -= float((load * share * u[:, axis]).sum())
            slope[:, axis] -= load * share
        ends = np.array([0, self.nodes - 1])
        held = np.concatenate((ends, self.posts))
        for nodes, axis, stiff in (
            (held, 2, POST_AXIAL),
            (self.posts, 0, self.post[0]),
            (self.posts, 1, self.post[1]),
            (ends, 1, self.end_across),
        ):
            total += float((stiff / 2 * u[nodes, axis] ** 2).sum())
            slope[nodes, axis] += stiff * u[nodes, axis]
        for node, inward, most in ((0, 1.0, self.holds[0]), (self.nodes - 1, -1.0, self.holds[1])):
            given = inward * u[node, 0]
            elastic = min(given, (most - TAUT) / self.end)
            total += TAUT * elastic + self.end / 2 * elastic**2 + most * (given - elastic)
            slope[node, 0] += inward * (TAUT + self.end * elastic)
        return total, slope.ravel()

    def curvature(self, moved: Floats) -> Floats:
        """Second differences of the slope, column by column: plain, and exact enough for a trust region."""
        size, small = moved.size, 1e-7
        found = np.zeros((size, size))
        for at in range(size):
            step = np.zeros(size)
            step[at] = small
            found[at] = (self.energy(moved + step)[1] - self.energy(moved - step)[1]) / (2 * small)
        return (found + found.T) / 2

    def rest(self) -> Floats:
        """(nodes, 3) movements [m] at the least energy."""
        start = np.zeros((self.nodes, 3))
        start[:, 2] = -1e-3
        found = minimize(
            self.energy, start.ravel(), jac=True, hess=self.curvature, method="trust-exact",
            options={"gtol": 1e-4, "maxiter": 400},
        )  # fmt: skip
        assert np.abs(self.energy(found.x)[1]).max() < 0.05  # [N]
        return np.asarray(found.x).reshape(-1, 3)


def chain_of(
    row: RowFrame,
    demand: RowDemand,
    case: LoadCase,
    spans: int,
    *,
    lost: int | None,
    holds: tuple[float, float],
) -> Chain:
    posts = [k for k in range(1, spans) if k != lost]
    (load,) = case_loads(row, demand, case, 0.0, 0.5)
    assert load[0] == 0

    def stiff(block: int) -> float:
        return float(row.frame.blocks[block].stiffness[0, 0])

    across, along = row.blocks_of_post[case.wet][0]
    (_, end, _), _ = row.end_lines
    return Chain(
        demand.length, spans * PER_SPAN + 1, row.wire.stiffness, (float(load[1]), float(load[2])),
        np.array(posts) * PER_SPAN, (stiff(along), stiff(across)), stiff(end), stiff(end - 1), holds,
    )  # fmt: skip


@pytest.mark.parametrize(("span", "crop"), [(6.0, 20.0), (9.0, 8.0)])
def test_a_lost_post_hangs_as_deep_as_the_least_energy_says(yard: Yard, span: float, crop: float) -> None:
    demand = a_row(length=4 * span, heights=[TOP], canopy_top=2.3, crop=crop, crop_on_wires=0.4)
    row = row_of(yard, demand, 4)
    (found,) = run_cases(row, demand, yard.stock.posts[-1], gust=0.0, drag=0.5, cases=(LOST,))
    assert found.sag is not None
    rest = chain_of(row, demand, LOST, 4, lost=2, holds=(1e9, 1e9)).rest()
    assert found.sag == pytest.approx(-rest[:, 2].min(), rel=0.02)


@pytest.mark.parametrize("share", [0.9, 0.75])
def test_an_end_yields_as_far_as_the_least_energy_says(yard: Yard, share: float) -> None:
    """The near end holds less than the wire pulls and turns about its foot; the far one stands."""
    demand = a_row(length=18.0, heights=[TOP], canopy_top=2.3, crop=20.0, crop_on_wires=0.4)
    row = row_of(yard, demand, 2)
    firm = run_yielding(row, demand, STILL, holds=(1e9, 1e9), gust=0.0, drag=0.5)
    assert firm is not None
    weak = share * firm.moments[0]
    found = run_yielding(row, demand, STILL, holds=(weak, 1e9), gust=0.0, drag=0.5)
    assert found is not None
    chain = chain_of(row, demand, STILL, 2, lost=None, holds=(weak / TOP, 1e9))
    rest = chain.rest()
    lasting = rest[0, 0] - (weak / TOP - TAUT) / chain.end
    assert lasting > 0
    assert found.turned[0] * TOP == pytest.approx(lasting, rel=0.03)
    far = TAUT - chain.end * rest[-1, 0]
    assert found.moments[1] / TOP == pytest.approx(far, rel=0.03)
