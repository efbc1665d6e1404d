"""What the sums take, in processor time of one core: the whole row, and the whole design with its risk."""

import time
from collections.abc import Callable

import numpy as np
from trellis_support import Yard, a_row, orchard

from topwire.catalogue.model import Catalogue
from topwire.trellis.answer import answer
from topwire.trellis.question import question
from topwire.trellis.row_frame import CASES, row_frame, run_cases
from topwire.trellis.search import END_GIVES, Wishes, search_down


def least(work: Callable[[], object], times: int) -> float:
    """Shortest processor time of several runs [s]."""
    found = []
    for _ in range(times):
        began = time.process_time()
        work()
        found.append(time.process_time() - began)
    return min(found)


def test_thirty_spans_five_wires_eight_cases_take_a_tenth_of_a_second(yard: Yard) -> None:
    demand = a_row(length=150.0)
    build = search_down(demand, yard.stock, yard.ground, 30.0, Wishes(None, None, 18.0, 0.5))
    assert build is not None

    def work() -> None:
        row = row_frame(
            demand, positions=np.linspace(0, demand.length, 31), low_wire=0.45, wire=build.wire,
            pretension=build.pretension, post=build.post, depth=build.depth, end_post=build.ends.post,
            end_depth=build.ends.depth, end_gives=END_GIVES, soil=yard.stock.soil,
        )  # fmt: skip
        assert len(row.heights) == 5
        found = run_cases(row, demand, build.post, gust=30.0, drag=0.5, cases=CASES[:8])
        assert all(case.converged for case in found)

    assert least(work, 7) < 0.1


def test_a_whole_design_with_its_risk_takes_less_than_five_seconds(catalogue: Catalogue) -> None:
    """Thirteen hundred trees in thirteen rows, both methods, all cases, yardsticks and storms."""
    plan, ground, layout, crop = orchard(catalogue, length=93.0, width=47.0, units="us", gust="38 m/s")
    asked = question(plan, catalogue, ground, layout, crop)
    assert sum(row.new_trees for row in asked.rows) > 1250
    assert least(lambda: answer(asked), 1) < 5.0
