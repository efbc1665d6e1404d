"""Time of the water room: the network against EPANET in the same run, and years of daily balance.

    python benchmarks/bench_water.py

Best of several runs, one thread, seconds of the wall clock. EPANET 2.2 runs through WNTR: writing its input, the
solution, and reading its results, as any user of it must; the solution alone (its toolkit's call) stands beside.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")

import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.checks.pipes import comb, hazen_williams
from topwire.water import balance
from topwire.water.canopy import canopy
from topwire.water.climate import WaterClimate
from topwire.water.demand import Stages
from topwire.water.emitter import Emitter
from topwire.water.friction import blasius
from topwire.water.need import Site, WaterNeed, foresee_needs, prepare
from topwire.water.network import Tree, solve
from topwire.water.question import water_tables

warnings.simplefilter("ignore")
LPH = 1 / 3.6e6


def best(call: Callable[[], Any], runs: int) -> tuple[float, Any]:
    """Shortest of several runs, and the last result."""
    times, value = [], None
    for _ in range(runs):
        start = time.perf_counter()
        value = call()
        times.append(time.perf_counter() - start)
    return min(times), value


def orchard(rows: int, emitters: int) -> Tree:
    """Rows on one manifold, each emitter a node."""
    return comb(
        supply=(30.0, 0.0766),
        manifold_lengths=[3.5] * (rows - 1),
        manifold_diameters=[0.066] * (rows - 1),
        row_emitters=[emitters] * rows,
        spacing=0.5,
        diameter=0.0176,
    )


def epanet(tree: Tree, emitter: Emitter, head: float) -> tuple[float, float, np.ndarray[Any, Any]]:
    """Seconds of the whole run, of the solution alone, and pressure heads."""
    import wntr
    from wntr.epanet.toolkit import ENepanet

    model = wntr.network.WaterNetworkModel()
    model.options.hydraulic.inpfile_units = (
        "LPS"  # else the emitter coefficient is converted as if x were 0.5
    )
    model.options.hydraulic.headloss = "H-W"
    model.options.hydraulic.emitter_exponent = emitter.exponent
    model.options.hydraulic.accuracy = 1e-8
    model.options.hydraulic.trials = 200
    model.options.time.duration = 0
    model.add_reservoir("n0", base_head=head + float(tree.height[0]))
    for node in range(1, tree.parent.size):
        model.add_junction(f"n{node}", base_demand=0.0, elevation=float(tree.height[node]))
        if tree.outlets[node]:
            model.get_node(f"n{node}").emitter_coefficient = emitter.coefficient
    for node in range(1, tree.parent.size):
        model.add_pipe(
            f"p{node}",
            f"n{tree.parent[node]}",
            f"n{node}",
            length=float(tree.length[node]),
            diameter=float(tree.diameter[node]),
            roughness=150,
        )
    with tempfile.TemporaryDirectory() as folder:
        prefix = str(Path(folder) / "net")
        whole, results = best(lambda: wntr.sim.EpanetSimulator(model).run_sim(file_prefix=prefix), 2)
        heads = results.node["pressure"].iloc[0]

        def alone() -> float:
            engine = ENepanet()
            engine.ENopen(f"{prefix}.inp", f"{prefix}.rpt", f"{prefix}.bin")
            start = time.perf_counter()
            engine.ENsolveH()
            took = time.perf_counter() - start
            engine.ENclose()
            return took

        solution = min(alone() for _ in range(2))
    return whole, solution, np.array([float(heads[f"n{node}"]) for node in range(1, tree.parent.size)])


def network() -> None:
    print("Network, Hazen-Williams C 150, plain emitters, 25 m at the inlet")
    print(
        f"{'rows x emitters':>16} {'ours s':>9} {'EPANET s':>9} {'ratio':>7} "
        f"{'solution s':>11} {'ratio':>7} {'heads %':>8}"
    )
    emitter = Emitter(2.0 * LPH / 10**0.5, 0.5)
    for rows, emitters in ((15, 75), (30, 100), (60, 150)):
        tree = orchard(rows, emitters)
        ours, found = best(lambda tree=tree: solve(tree, emitter, 25.0, law=hazen_williams(150)), 5)  # type: ignore[misc]
        whole, solution, heads = epanet(tree, emitter, 25.0)
        apart = 100 * float((np.abs(found.head[1:] - heads) / heads).max())
        print(
            f"{f'{rows} x {emitters}':>16} {ours:9.3f} {whole:9.3f} {whole / ours:7.0f} {solution:11.3f} "
            f"{solution / ours:7.1f} {apart:8.4f}"
        )
    tree = orchard(60, 150)
    took, found = best(lambda: solve(tree, emitter, 25.0, law=blasius), 5)
    print(f"60 x 150 by Blasius: {took:.3f} s in {found.steps} steps\n")


def balances() -> None:
    print("Daily balance, 365 days at once over all columns (years x blocks x ages)")
    print(f"{'years':>6} {'blocks':>7} {'ages':>5} {'columns':>8} {'s':>8} {'million days a s':>17}")
    random = np.random.default_rng(0)
    for years, blocks, ages in ((10, 1, 6), (37, 2, 6), (37, 4, 15), (111, 4, 15)):
        columns = years * blocks * ages
        shape = (365, columns)
        drive = balance.Drive(
            random.uniform(0, 8, shape),
            random.exponential(3, shape) * (random.random(shape) < 0.3),
            random.uniform(0.2, 1.0, shape),
        )
        soil, rule = balance.SoilStore(0.28, 0.13, 0.7, 0.6), balance.Rule(most_per_day=12.0)
        took, run = best(lambda: balance.run(drive, soil, rule), 3)  # noqa: B023
        print(
            f"{years:6} {blocks:7} {ages:5} {columns:8} {took:8.3f} {365 * columns / took / 1e6:17.1f}",
            end="",
        )
        print(f"   books out by {np.abs(run.error).max():.1e} mm")


def needs() -> None:
    """The whole need of blocks as a plan asks for it: coefficients, runs, years carried over; bar 1 s."""
    tables = water_tables(Catalogue(read_tables()))
    random = np.random.default_rng(1)
    years = 37
    turn = 2 * np.pi * np.arange(365)[:, np.newaxis] / 365
    reference = np.maximum(2.6 - 2.4 * np.cos(turn) + random.normal(0, 0.8, (365, years)), 0.1)
    rain = random.exponential(8, (365, years)) * (random.random((365, years)) < 0.3)
    flat = np.full(years, 50.0)
    climate = WaterClimate(np.arange(1980, 2017), reference, rain, flat, flat / 25, ())
    turns = Stages(*(np.full(years, float(day)) for day in (95, 115, 160, 290, 315)))
    trees, grass = (
        tables.covers["apple, bare alley, killing frost"],
        tables.covers["grass alone, cool season"],
    )
    crown = canopy(wall_height=3.2, row_spacing=3.5, tree_spacing=0.9, soil_depth=0.9, grassed=True)
    print(f"\nNeed of every block and age (6) over {years} years, years carried over")
    for blocks in (1, 2, 4, 8):
        sites = [Site(str(block), 3.5, 0.9, crown, tables.soils["loam"], 0.26) for block in range(blocks)]

        def every(sites: list[Site] = sites) -> list[WaterNeed]:
            asked = [
                (site, prepare(site, climate, turns, trees=trees, grass=grass, mulch=False)) for site in sites
            ]
            return list(foresee_needs(asked, climate.years))

        took, _ = best(every, 3)
        print(f"{blocks:3} blocks {took:8.3f} s, {1 / took:5.1f} times within the bar of 1 s")


def whole_plans() -> None:
    """The water of an example as its plan asks for it, need, pipes, zones and schedule; bar 1 s."""
    sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
    from water.conftest import _example

    print("\nThe whole water of an example, processor time of one core; bar 1 s")
    for name in ("garden-fence", "ridge-cider", "valley-inn"):
        example = _example(name)
        began = time.process_time()
        example.again()
        print(f"{name:>14} {time.process_time() - began:8.2f} s")


if __name__ == "__main__":
    network()
    balances()
    needs()
    whole_plans()
