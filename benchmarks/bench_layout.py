"""How long the layout takes as the ground grows, and what each part costs.

Invented ground: rectangular blocks of up to about 3,000 places, cultivars drawn from the catalogue in equal numbers,
twenty weather years. Ratios are against the row before (trees x, seconds x).
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from layout import worlds

SIZES = ((300, 10), (1000, 20), (3000, 40), (10_000, 40), (30_000, 40))  # trees, cultivars


def plan_of(trees: int):  # type: ignore[no-untyped-def]
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


def main() -> None:
    catalogue = worlds.catalogue()
    seasons = worlds.seasons(catalogue)
    names = worlds.overlapping_names(catalogue, 40)
    print(
        f"{'trees':>7} {'cultivars':>9} {'survey s':>9} {'layout s':>9} {'trees x':>8} {'seconds x':>9}  walk against"
    )
    before: tuple[int, float] | None = None
    for trees, count in SIZES:
        plan = plan_of(trees)
        start = time.perf_counter()
        ground = worlds.survey(plan, catalogue, {}, ())
        surveyed = time.perf_counter() - start
        each = int(min(trees, ground.capacity) * 0.97) // count
        choice = worlds.choice(catalogue, dict.fromkeys(names[:count], each))
        start = time.perf_counter()
        layout = worlds.laid_out(plan, catalogue, seasons, ground, choice)
        taken = time.perf_counter() - start
        growth = "" if before is None else f"{trees / before[0]:8.1f} {taken / before[1]:9.1f}"
        there = layout.cultivar >= 0
        print(
            f"{each * count:7d} {count:9d} {surveyed:9.2f} {taken:9.2f} {growth:>18}  "
            f"random trees {layout.picking_walk / layout.picking_walk_random:.2f}, "
            f"random runs {layout.picking_walk / layout.picking_walk_random_runs:.2f}, "
            f"catalogue order {layout.picking_walk / layout.picking_walk_catalogue:.2f}; "
            f"worst pollen {layout.pollen[there].min():.2f}, shortest run "
            f"{min(run.last - run.first + 1 for run in layout.runs)}"
        )
        before = (trees, taken)


if __name__ == "__main__":
    main()
