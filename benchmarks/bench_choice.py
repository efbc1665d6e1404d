"""How the choice grows with cultivars and weather years, and where its time goes.

Run: python benchmarks/bench_choice.py (about two minutes). Times are of this machine; the ratio of each line to the one
before it, at twice the size, is what carries over. The gap is to the true bound of the full problem.
"""

import resource
import time
from pathlib import Path

import numpy as np

from topwire.choice import choose
from topwire.choice.needs import weekly_needs
from topwire.choice.pollination import bloom_overlap, compatibility, useful_donors
from topwire.choice.search import find
from topwire.choice.supply import candidates, supply_of
from topwire.engine.inputs import read_inputs
from topwire.engine.run import plan_orchard

EXAMPLE = Path(__file__).parents[1] / "examples" / "valley-inn"


def main() -> None:
    inputs = read_inputs(EXAMPLE)
    orchard = plan_orchard(inputs, until="ground")
    plan, seasons, ground = inputs.plan, orchard.place, orchard.ground
    assert seasons is not None
    assert ground is not None
    needs = weekly_needs(plan.kitchen, inputs.catalogue, plan.unit_system)
    rows, _ = candidates(
        inputs.catalogue.cultivars, seasons, wanted=plan.taste.must_have, unwanted=plan.taste.must_not_have
    )
    places = choose.Places(ground.capacity, ground.ground_per_tree, {})
    print(f"{'cultivars':>10}{'years':>7}{'seconds':>9}{'ratio':>7}{'gap':>8}{'peak MiB':>10}")
    before = None
    for count, years in (
        (40, 10),
        (80, 10),
        (len(rows), 10),
        (len(rows), 20),
        (len(rows), seasons.years.size),
    ):
        must = [row for row in rows if row.name in plan.taste.must_have]
        some = [*must, *(row for row in rows if row not in must)][:count]
        columns = [seasons.cultivars.index(row.name) for row in some]
        supply = supply_of(
            some, seasons, ground_per_tree=places.ground_per_tree, cellar=plan.kitchen.cellar.temperature
        ).in_years(np.arange(years))
        useful = useful_donors(
            bloom_overlap(seasons.first_bloom[:, columns], seasons.petal_fall[:, columns]),
            compatibility(some),
        )
        began = time.perf_counter()
        found = find(supply, needs, choose.limits_of(plan, some, places), useful)
        seconds = time.perf_counter() - began
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        ratio = f"{seconds / before:.1f}" if before else ""
        print(f"{count:>10}{years:>7}{seconds:>9.1f}{ratio:>7}{found.gap:>8.2%}{peak:>10.0f}")
        before = seconds


if __name__ == "__main__":
    main()
