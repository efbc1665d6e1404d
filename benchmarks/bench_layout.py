"""How long the planting takes as the ground grows, how it walks, and how far seeds spread.

First both large examples with ten seeds each, then the inn's mix of cultivars on 3,000 and 30,000 places, then invented
ground: rectangular blocks of up to about 3,000 places, cultivars drawn from the catalogue in equal numbers, twenty
weather years. All times are of the processor; ratios are against the row before (trees x, seconds x). With a name or a
number of trees after the command (`ridge-cider`, `3000`) that part alone is run.
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

import numpy as np
from layout import worlds
from layout.examples import LARGE, asked_of

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


def timed(question: LayoutQuestion, seed: int = SEED) -> tuple[Layout, float]:
    start = time.process_time()
    layout = lay_out(question, seed=seed)
    return layout, time.process_time() - start


def seeds_of(name: str) -> None:
    """An example with ten seeds: the bars are 6 s at 1,239 trees, 0.88 of the catalogue's walk, 10 % between seeds."""
    question, _, _ = asked_of(name)
    totals = []
    for number in range(SEEDS):
        layout, taken = timed(question, SEED + number)
        print(f"  seed {number} {said(layout, taken)}", flush=True)
        totals.append(layout.hours.total if layout.hours else 0.0)
    print(f"{name}: spread {np.ptp(totals) / np.mean(totals):.1%} of a mean of {np.mean(totals):.1f} h/year")


def mix_of(trees: int) -> None:
    """The inn's mix on more ground: 12 s and 0.88 at 3,000 trees, 60 s and 0.95 at 30,000."""
    known = worlds.catalogue()
    question, _, _ = asked_of("valley-inn", scaled=worlds.survey(plan_of(trees), known))
    print(f"the inn's mix, {trees:6d} trees {said(*timed(question))}", flush=True)


def invented() -> None:
    before: tuple[int, float] | None = None
    for trees, count in SIZES:
        layout, taken = timed(asked(trees, count))
        growth = "" if before is None else f"{trees / before[0]:5.1f} x {taken / before[1]:5.1f} x"
        print(f"{trees:7d} trees {growth:>16} {said(layout, taken)}", flush=True)
        before = (trees, taken)


def main() -> None:
    part = sys.argv[1] if len(sys.argv) > 1 else ""
    for name in LARGE:
        if part in ("", name):
            seeds_of(name)
    for trees in (3000, 30_000):
        if part in ("", str(trees)):
            mix_of(trees)
    if not part:
        invented()


if __name__ == "__main__":
    main()
