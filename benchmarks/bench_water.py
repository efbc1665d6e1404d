"""Time of the water room: the network against EPANET in the same run, and years of daily balance.

    python benchmarks/bench_water.py

Best of several runs, one thread, seconds of the wall clock. EPANET 2.2 runs through WNTR: writing its input, the
solution, and reading its results, as any user of it must; the solution alone (its toolkit's call) stands beside.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")

import tempfile
import time
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from topwire.water import balance
from topwire.water.emitter import Emitter
from topwire.water.friction import blasius, hazen_williams
from topwire.water.network import Tree, comb, solve

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
        soil, rule = balance.Soil(0.28, 0.13, 0.7, 0.6), balance.Rule(most_per_day=12.0)
        took, run = best(lambda: balance.run(drive, soil, rule), 3)  # noqa: B023
        print(
            f"{years:6} {blocks:7} {ages:5} {columns:8} {took:8.3f} {365 * columns / took / 1e6:17.1f}",
            end="",
        )
        print(f"   books out by {np.abs(run.error).max():.1e} mm")


if __name__ == "__main__":
    network()
    balances()
