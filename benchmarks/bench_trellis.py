"""The whole row: time of our solve, the same row in PyNiteFEA beside it, and growth with the number of spans.

Ratios are PyNiteFEA's time over ours for the same row (straight bars, same mesh, same loads), one core. PyNiteFEA's
share is its linear solves inside Newton's method, see tests/trellis_pynite.py; both end at the same equilibrium, and
the largest differences of tension and ground moment are printed beside the ratio.

    OMP_NUM_THREADS=1 python benchmarks/bench_trellis.py
"""

import os
import sys
import time
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ.setdefault("OMP_NUM_THREADS", "1")
warnings.filterwarnings("ignore")
sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

import numpy as np  # noqa: E402
from trellis_pynite import Row, ours, solve_with_pynite  # noqa: E402
from trellis_support import a_row, orchard  # noqa: E402

from topwire.catalogue.model import Catalogue  # noqa: E402
from topwire.catalogue.tables import read_tables  # noqa: E402
from topwire.trellis.answer import answer  # noqa: E402
from topwire.trellis.frame import solve  # noqa: E402
from topwire.trellis.holding import ground_of  # noqa: E402
from topwire.trellis.question import question, read_stock  # noqa: E402
from topwire.trellis.row_frame import CASES, row_frame, run_cases  # noqa: E402
from topwire.trellis.search import END_GIVES, Wishes, search_down  # noqa: E402

HEIGHTS = (0.45, 0.9, 1.6, 2.3, 3.0)
LOADS = ((0, 20), (40, 20), (80, 40), (120, 40), (150, 60), (20, 80), (100, 0), (60, 60))  # N/m across, down


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Best of three."""
    best, result = np.inf, None
    for _ in range(3):
        began = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - began)
    return best, result


def whole_rows() -> None:
    stock, _ = read_stock(Catalogue(read_tables()), market="us", texture="silt loam")
    ground = ground_of(stock.soil, wet=True)
    build = search_down(a_row(length=150.0), stock, ground, 30.0, Wishes(None, None, 18.0, 0.5))
    assert build is not None
    print(
        "Whole row as designed: 5 wires, posts in soil, ends that give, eight cases (bowed bars, one a span)"
    )
    print(f"{'spans':>6} {'unknowns':>9} {'build s':>8} {'solve s':>8} {'largest residual N':>19}")
    for spans in (10, 30, 100, 300):
        demand = a_row(length=5.0 * spans)

        def model(spans: int = spans, demand: Any = demand) -> Any:
            return row_frame(
                demand, positions=np.linspace(0, demand.length, spans + 1), low_wire=0.45, wire=build.wire,
                pretension=build.pretension, post=build.post, depth=build.depth, end_post=build.ends.post,
                end_depth=build.ends.depth, end_gives=END_GIVES, soil=stock.soil,
            )  # fmt: skip

        made, row = timed(model)
        took, cases = timed(
            lambda row=row, demand=demand: run_cases(
                row, demand, build.post, gust=30.0, drag=0.5, cases=CASES[:8]
            )
        )
        assert all(case.converged for case in cases)
        print(f"{spans:6d} {row.frame.band.size:9d} {made:8.3f} {took:8.3f} "
              f"{max(case.residual for case in cases):19.1e}")  # fmt: skip


def whole_design() -> None:
    """All a plan asks of the trellis, risk by both methods in it: processor time of one core; bar 5 s."""
    catalogue = Catalogue(read_tables())
    print("\nWhole design with its risk: kits, both methods, all cases, yardsticks, storms; bar 5 s")
    for length, width in ((45.0, 9.0), (93.0, 47.0), (150.0, 72.0)):
        plan, ground, layout, crop = orchard(catalogue, length=length, width=width, units="us", gust="38 m/s")
        asked = question(plan, catalogue, ground, layout, crop)
        began = time.process_time()
        answer(asked)
        trees = sum(row.new_trees for row in asked.rows)
        print(f"{len(asked.rows):3d} rows, {trees:5d} trees {time.process_time() - began:8.2f} s")


def beside_pynite() -> None:
    print("\nThe same row in PyNiteFEA: 5 wires, posts fixed at the ground, 4 straight bars a span, 8 cases")
    print(f"{'spans':>6} {'ours s':>8} {'pynite s':>9} {'ratio':>7} {'tension off':>12} {'moment off':>11}")
    for spans in (4, 10, 30):
        row = Row(spans, 4, HEIGHTS)
        cases = [row.loads(*load) for load in LOADS]
        few = cases if spans < 30 else cases[4:5]  # one case of the long row, its time taken eight times

        def all_ours(row: Row = row, cases: Any = cases) -> Any:
            frame = ours(row)
            return [solve(frame, load) for load in cases]

        took, here = timed(all_ours)
        began = time.perf_counter()
        there = [solve_with_pynite(row, load) for load in few]
        slow = (time.perf_counter() - began) * len(cases) / len(few)
        matched = here if spans < 30 else here[4:5]
        tension = max(float(np.abs(a.force / b[1] - 1).max()) for a, b in zip(matched, there, strict=True))
        moment = max(_moment_off(row, a, b[0]) for a, b in zip(matched, there, strict=True))
        print(
            f"{spans:6d} {took:8.3f} {slow:9.1f} {slow / took:7.0f} {tension * 100:10.4f} % {moment * 100:9.4f} %"
        )


def _moment_off(row: Row, here: Any, moved: Any) -> float:
    """Largest difference of ground moments, share of the largest moment."""
    posts = ours(row).blocks[::2]
    levels = np.asarray(row.heights)
    mine = np.array([force @ levels for force in here.block_forces[::2]])
    theirs = np.array([block.stiffness @ moved.ravel()[block.freedoms] @ levels for block in posts])
    top = np.abs(mine).max()
    return float(np.abs(mine - theirs).max() / top) if top > 1 else 0.0


if __name__ == "__main__":
    whole_rows()
    whole_design()
    beside_pynite()
