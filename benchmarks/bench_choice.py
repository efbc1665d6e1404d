"""How the choice grows with cultivars and weather years, and where its time goes.

Run: python benchmarks/bench_choice.py (under five minutes on a quiet machine; a size that would begin too late is
left out, and said). Processor and wall time are given, and those of a fixed calibration job in the same run, so that
machines can be compared. The gap is to the true bound of the full problem: all cultivars, 52 weeks, all uses (table,
kitchen, pans, press, a blend), cellar, all weather years, mean and worst fifth.

The kitchen is that of the example; cultivars and years beyond the example's are invented from them (fruit and dates a
little changed), as no place has more. As in the tool, one year in ten is weighed once more with harder frost. Each size
is solved to a gap, then on to a smaller one with what was learnt. Times are from the beginning of the size, the making
of its programmes included; behind them stand the bar, in seconds of wall time on two quiet cores, and how it went.
"""

import resource
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.plate import Blend, Bound, JuiceSide
from topwire.choice.pollination import compatibility
from topwire.choice.question import question
from topwire.choice.search import ROUGH_GAP, find_among
from topwire.choice.supply import Supply
from topwire.choice.years import GAP, Years
from topwire.engine.inputs import read_inputs
from topwire.engine.run import plan_orchard
from topwire.layout.places import places_of
from topwire.values.terms import Blended, Use

EXAMPLE = Path(__file__).parents[1] / "examples" / "valley-inn"
# Cultivars and years, and the gaps asked for with their bars [s]; those a bar speaks of first.
SIZES: tuple[tuple[int, int, tuple[tuple[float, float | None], ...]], ...] = (
    (166, 20, ((ROUGH_GAP, None), (0.005, 15.0))),
    (166, 37, ((ROUGH_GAP, 30.0), (GAP, 75.0))),
    (249, 37, ((ROUGH_GAP, 45.0),)),
    (80, 9, ((ROUGH_GAP, None), (GAP, None))),
    (40, 9, ((ROUGH_GAP, None), (GAP, None))),
)
MOST_SECONDS = 200.0  # after which no further size, and no smaller gap, is begun
MOST_MEMORY = 1024.0  # [MiB] bar


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
    print(f"calibration: {calibration():.2f} s of processor time")
    print(
        f"{'cultivars':>10}{'years':>7}{'asked':>8}{'processor':>11}{'wall':>8}{'gap':>8}{'peak MiB':>10}{'bar':>7}"
    )
    start, held = time.perf_counter(), []
    for count, years, gaps in SIZES:
        wall, processor = time.perf_counter(), time.process_time()
        programmes: Years | None = None
        for gap, bar in gaps:
            if time.perf_counter() - start > MOST_SECONDS:
                print(f"{count:>10}{years:>7}{gap:>8.2%}  left out: the time is over")
                held += [] if bar is None else [False]
                continue
            if programmes is None:
                supply, limits, useful = enlarged(asked.supply, asked.limits, asked.useful, count, years)
                programmes = Years(supply, needs, limits)
            found = find_among(programmes, limits, useful, gap=gap)
            took, used = time.perf_counter() - wall, time.process_time() - processor
            peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            said = ""
            if bar is not None:
                holds = took <= bar and found.gap <= gap
                held.append(holds)
                said = f"{bar:>5.0f} s {'holds' if holds else 'DOES NOT HOLD'}"
            print(
                f"{count:>10}{years:>7}{gap:>8.2%}{used:>11.1f}{took:>8.1f}{found.gap:>8.2%}{peak:>10.0f}{said}",
                flush=True,
            )
    peak, whole = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, time.perf_counter() - start
    print(
        f"memory: {peak:.0f} MiB, under {MOST_MEMORY:.0f}: {'holds' if peak < MOST_MEMORY else 'DOES NOT HOLD'}"
    )
    print(f"all of it: {whole:.0f} s, under 300 s: {'holds' if whole < 300 else 'DOES NOT HOLD'}")
    print(f"{sum(held)} of {len(held)} bars of time hold")


def calibration() -> float:
    """Processor time of a job that is always the same."""
    began = time.process_time()
    numbers = np.random.default_rng(1).uniform(size=(400, 400))
    for _ in range(5):
        np.linalg.svd(numbers)
    return time.process_time() - began


def blended() -> WeeklyNeed:
    """A blended cider within the usual bounds of acid and tannin."""
    bounds = {JuiceSide.ACID: Bound(4.5, 7.5), JuiceSide.TANNIN: Bound(1.0, 2.0)}
    return WeeklyNeed(
        Use.CIDER,
        1.0,
        tuple(range(36, 51)),
        None,
        900.0,
        244.0,
        349.0,
        blend=Blend(Blended.HOUSE_CIDER, bounds),
    )


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
