"""How long the planting takes as the ground grows, how it walks, and how far seeds spread.

Invented ground: rectangular blocks of up to about 3,000 places, cultivars drawn from the catalogue in equal numbers,
twenty weather years. Ratios are against the row before (trees x, seconds x), in processor time. The last lines lay the
second size out with ten seeds.
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

import numpy as np
from layout import worlds

from topwire.layout.answer import SEED, lay_out
from topwire.layout.asked import LayoutQuestion
from topwire.layout.findings import Layout
from topwire.layout.question import layout_question
from topwire.plan.model import Plan

SIZES = ((300, 10), (1240, 30), (3000, 40), (10_000, 40), (30_000, 40))  # trees, cultivars
SEEDS = 10


def plan_of(trees: int) -> Plan:
    """Blocks of 30 rows of 100 trees, 1 m by 3.5 m, side by side."""
    left, blocks = trees, []
    while left > 0:
        here = min(left, 3000)
        rows = max(1, -(-here // 100))
        blocks.append(
            {
                "name": f"Block {len(blocks) + 1}",
                "rectangle": {
                    "length": f"{min(here, 100) + 13.6} m",
                    "width": f"{(rows - 1) * 3.5 + 4.01} m",
                },
                "row_bearing": 0.0,
                "tree_spacing": "1 m",
                "row_spacing": "3.5 m",
                "slope": "3 %",
            }
        )
        left -= here
    return worlds.plan(blocks)


def asked(trees: int, count: int) -> LayoutQuestion:
    catalogue = worlds.catalogue()
    names = worlds.overlapping_names(catalogue, 40)
    plan = plan_of(trees)
    ground = worlds.survey(plan, catalogue)
    each = int(min(trees, ground.capacity) * 0.97) // count
    choice = worlds.choice(catalogue, dict.fromkeys(names[:count], each))
    return layout_question(plan, catalogue, worlds.seasons(catalogue), ground, choice)


def said(layout: Layout, taken: float) -> str:
    there = layout.cultivar >= 0
    hours = layout.hours.total if layout.hours else 0.0
    walks = layout.walks
    shortest = min(run.last - run.first + 1 for run in layout.runs)
    return (
        f"{taken:7.1f} s  {hours:7.1f} h/year  of catalogue walk {walks.here / walks.catalogue_order:.2f}, of random "
        f"{walks.here / walks.random_trees:.2f}; worst pollen {layout.pollen[there].min():.2f}, fewest donors "
        f"{layout.donors_in_reach[there].min()}, shortest run {shortest}"
    )


def main() -> None:
    before: tuple[int, float] | None = None
    for trees, count in SIZES:
        question = asked(trees, count)
        start = time.process_time()
        layout = lay_out(question)
        taken = time.process_time() - start
        growth = "" if before is None else f"{trees / before[0]:5.1f} x {taken / before[1]:5.1f} x"
        print(f"{trees:7d} trees {growth:>16} {said(layout, taken)}", flush=True)
        before = (trees, taken)
    question = asked(*SIZES[1])
    totals = []
    for number in range(SEEDS):
        start = time.process_time()
        layout = lay_out(question, seed=SEED + number)
        print(f"  seed {number} {said(layout, time.process_time() - start)}", flush=True)
        totals.append(layout.hours.total if layout.hours else 0.0)
    print(
        f"seeds spread by {np.ptp(totals) / np.mean(totals):.0%} of their mean of {np.mean(totals):.1f} h/year"
    )


if __name__ == "__main__":
    main()
