"""How the choice grows with cultivars and weather years, and where its time goes.

Run: python benchmarks/bench_choice.py (about three minutes). Times are of this machine; the ratio of each line to the
one before it, at twice the size, is what carries over. The gap is to the true bound of the full problem: all cultivars,
52 weeks, all uses (table, kitchen, pans, press, a blend), cellar, all weather years, mean and worst fifth.

The kitchen is that of the example; cultivars and years beyond the example's are invented from them (fruit and dates a
little changed), as no place has more. As in the tool, one year in ten is weighed once more with harder frost. Each size
is solved twice: until the gap is at most 1 %, and until 0.25 %.
"""

import resource
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from topwire.choice.needs import Blend, WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.pollination import compatibility
from topwire.choice.question import question
from topwire.choice.search import GAP, ROUGH_GAP, find
from topwire.choice.supply import Supply
from topwire.engine.inputs import read_inputs
from topwire.engine.run import places_of, plan_orchard
from topwire.plan.kitchen import BlendBounds, Need, Use

EXAMPLE = Path(__file__).parents[1] / "examples" / "valley-inn"
SIZES = ((40, 9), (80, 9), (160, 9), (166, 18), (166, 37))


def main() -> None:
    inputs = read_inputs(EXAMPLE)
    orchard = plan_orchard(inputs, until="ground")
    assert orchard.place is not None
    assert orchard.ground is not None
    asked = question(inputs.plan, inputs.catalogue, orchard.place, places_of(orchard.ground))
    needs = (*asked.needs, blended())
    print(
        f"{len(asked.supply.cultivars)} candidates and {asked.supply.years.size} weather years in the example"
    )
    print(f"{'cultivars':>10}{'years':>7}{'asked':>8}{'seconds':>9}{'ratio':>7}{'gap':>8}{'peak MiB':>10}")
    before: dict[float, float] = {}
    for count, years in SIZES:
        supply, limits, useful = enlarged(asked.supply, asked.limits, asked.useful, count, years)
        for gap in (ROUGH_GAP, GAP):
            began = time.perf_counter()
            found = find(supply, needs, limits, useful, gap=gap)
            seconds = time.perf_counter() - began
            peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            ratio = f"{seconds / before[gap]:.1f}" if gap in before else ""
            print(
                f"{count:>10}{years:>7}{gap:>8.2%}{seconds:>9.1f}{ratio:>7}{found.gap:>8.2%}{peak:>10.0f}",
                flush=True,
            )
            before[gap] = seconds


def blended() -> WeeklyNeed:
    """A blended cider within the usual bounds of acid and tannin."""
    bounds = BlendBounds(acid_low=4.5, acid_high=7.5, tannin_low=1.0, tannin_high=2.0)
    said = {"use": "cider", "amount": "900 kg/season", "from": "1 Sep", "to": "15 Dec"}
    weeks = tuple(range(36, 51))
    return WeeklyNeed(Use.CIDER, "blend", 1.0, weeks, None, 900.0, Need.model_validate(said), Blend(bounds))


def enlarged(
    supply: Supply, limits: Limits, useful: np.ndarray, count: int, years: int
) -> tuple[Supply, Limits, np.ndarray]:
    """The example cut to a size, or made larger by cultivars and years much like its own."""
    random = np.random.default_rng(1)
    must = [at for at, row in enumerate(supply.cultivars) if row.name in limits.must_have]
    order = [*must, *(at for at in range(len(supply.cultivars)) if at not in must)]
    keep = np.array([order[at % len(order)] for at in range(count)])
    rows = np.array([at % supply.years.size for at in range(years)])
    again_row, again = rows < np.arange(years), np.arange(count) >= len(order)
    changed = random.uniform(0.9, 1.1, (years, count))
    changed = np.where(again_row[:, None] | again[None, :], changed, 1.0)
    later = np.where(again, random.integers(-1, 2, count), 0)
    few = supply.chosen(keep)
    cultivars = tuple(
        replace(row, name=f"{row.name} {at}") if again[at] else row for at, row in enumerate(few.cultivars)
    )
    larger = replace(
        few,
        cultivars=cultivars,
        years=2000 + np.arange(years),
        crop=few.crop[rows] * changed,
        first=(few.first[rows] + later - 1) % 52 + 1,
        last=(few.last[rows] + later - 1) % 52 + 1,
        harder=None if few.harder is None else few.harder[rows] * changed,
    )
    both = useful[np.ix_(keep, keep)] & (compatibility(few.cultivars) > 0)
    return larger.with_harder_springs(), limits.some(keep), both


if __name__ == "__main__":
    main()
