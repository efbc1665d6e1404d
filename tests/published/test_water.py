"""The water against independent programs: EPANET 2.2 through WNTR, and the FAO-56 balance of USDA-ARS (pyfao56).

The typed checks of this department stand in `topwire.checks.water`.
"""

import csv
import time
import warnings
from importlib.resources import files
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from topwire.checks.pipes import comb, hazen_williams
from topwire.water import balance
from topwire.water.emitter import Emitter
from topwire.water.network import Tree, solve

LPH = 1 / 3.6e6


def epanet(tree: Tree, emitter: Emitter, head: float, folder: Path, *, roughness: float) -> tuple[Any, float]:
    """Pressure heads by EPANET of the same tree, and the seconds its run took."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import wntr

        model = wntr.network.WaterNetworkModel()
        options = model.options
        options.hydraulic.inpfile_units = "LPS"  # else the emitter coefficient is converted as if x were 0.5
        options.hydraulic.headloss = "H-W"
        options.hydraulic.emitter_exponent = emitter.exponent
        options.hydraulic.accuracy = 1e-8
        options.hydraulic.trials = 200
        options.time.duration = 0
        model.add_reservoir("n0", base_head=float(head + tree.height[0]))
        for node in range(1, tree.parent.size):
            model.add_junction(f"n{node}", base_demand=0.0, elevation=float(tree.height[node]))
            if tree.outlets[node]:
                model.get_node(f"n{node}").emitter_coefficient = float(
                    tree.outlets[node] * emitter.coefficient
                )
        for node in range(1, tree.parent.size):
            model.add_pipe(
                f"p{node}",
                f"n{tree.parent[node]}",
                f"n{node}",
                length=float(max(tree.length[node], 1e-3)),
                diameter=float(tree.diameter[node]),
                roughness=roughness,
            )
        start = time.perf_counter()
        results = wntr.sim.EpanetSimulator(model).run_sim(file_prefix=str(folder / "net"))
        took = time.perf_counter() - start
        pressure = results.node["pressure"].iloc[0]
    return np.array([float(pressure[f"n{node}"]) for node in range(1, tree.parent.size)]), took


def chain(row: dict[str, str]) -> tuple[Tree, Emitter, float]:
    count, spacing = int(row["emitters"]), float(row["spacing_m"])
    tree = Tree(
        np.arange(-1, count),
        np.full(count + 1, spacing),
        np.full(count + 1, float(row["inside_mm"]) / 1000),
        float(row["slope"]) * spacing * np.arange(count + 1),
        np.concatenate([[0.0], np.ones(count)]),
    )
    return (
        tree,
        Emitter(float(row["coefficient_lph"]) * LPH, float(row["exponent"])),
        float(row["inlet_head_m"]),
    )


def rows(method: str) -> list[dict[str, str]]:
    path = files("topwire.checks").joinpath("data", "emitter_lines.csv")
    return [
        row
        for row in csv.DictReader(path.read_text(encoding="utf-8").splitlines())
        if row["method"] == method
    ]


@pytest.mark.parametrize("row", rows("EPANET Hazen-Williams"), ids=lambda row: row["case"])
def test_lines_as_epanet_solves_them_now(row: dict[str, str], tmp_path: Path) -> None:
    tree, emitter, head = chain(row)
    theirs, _ = epanet(tree, emitter, head, tmp_path, roughness=150)
    ours = solve(tree, emitter, head, law=hazen_williams(150))
    assert ours.head[1:] == pytest.approx(theirs, rel=1e-4)


@pytest.mark.parametrize("row", rows("EPANET Darcy-Weisbach"), ids=lambda row: row["case"])
def test_blasius_is_near_epanet_by_darcy_weisbach(row: dict[str, str]) -> None:
    """EPANET has Swamee and Jain and a cubic between Re 2000 and 4000; in smooth pipe that is within 0.3 %."""
    tree, emitter, head = chain(row)
    found = solve(tree, emitter, head)
    assert found.head[-1] == pytest.approx(float(row["head_last_m"]), rel=3e-3)
    assert found.outlet[-1] / LPH == pytest.approx(float(row["flow_last_lph"]), rel=3e-3)


def test_zone_on_a_slope_with_rows_of_different_length(tmp_path: Path) -> None:
    tree = comb(
        supply=(40.0, 0.044),
        manifold_lengths=[3.5] * 11,
        manifold_diameters=[0.044] * 5 + [0.028] * 6,
        row_emitters=[40, 60, 80, 100, 120, 140, 140, 120, 90, 60, 30, 10],
        spacing=0.5,
        diameter=0.0138,
    )
    random = np.random.default_rng(3)
    tree = Tree(
        tree.parent,
        tree.length,
        tree.diameter,
        np.cumsum(random.uniform(-0.02, 0.021, tree.parent.size)),
        tree.outlets,
    )
    emitter = Emitter(1.6 * LPH / 10**0.5, 0.5)
    theirs, _ = epanet(tree, emitter, 18.0, tmp_path, roughness=140)
    ours = solve(tree, emitter, 18.0, law=hazen_williams(140)).head[1:]
    assert np.abs(ours - theirs).max() < 1e-3 * theirs.min()


def dual_run() -> tuple[Any, balance.Balance, np.ndarray[Any, Any]]:
    """A dry summer of 120 days, unwatered but for two rains, by both programs."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import pandas as pd
        import pyfao56

        days = 120
        random = np.random.default_rng(7)
        reference = 4.5 + 1.5 * np.sin(np.arange(days) / 20) + random.uniform(-0.5, 0.5, days)
        rain = np.zeros(days)
        rain[[20, 61]] = [25.0, 18.0]
        par = pyfao56.Parameters(
            Kcbini=0.35, Kcbmid=0.90, Kcbend=0.65, Lini=20, Ldev=30, Lmid=40, Lend=31,
            hini=2.0, hmax=3.0, thetaFC=0.25, thetaWP=0.12, theta0=0.25, Zrini=0.9, Zrmax=0.9,
            pbase=0.5, Ze=0.1, REW=9.0,
        )  # fmt: skip
        weather = pyfao56.Weather()
        dates = pd.date_range("2021-05-01", periods=days)
        frame = pd.DataFrame(index=[day.strftime("%Y-%j") for day in dates])
        for column in (
            "Srad",
            "Tmax",
            "Tmin",
            "Vapr",
            "Tdew",
            "RHmax",
            "RHmin",
            "Wndsp",
            "Rain",
            "ETref",
            "MorP",
        ):
            frame[column] = np.nan
        frame["Wndsp"], frame["RHmin"], frame["RHmax"] = 2.0, 45.0, 90.0
        frame["Tmax"], frame["Tmin"] = 28.0, 14.0
        frame["Rain"], frame["ETref"], frame["MorP"] = rain, reference, "M"
        weather.wdata, weather.wndht, weather.rfcrp = frame, 2.0, "S"
        model = pyfao56.Model("2021-121", f"2021-{121 + days - 1:03d}", par, weather, cons_p=False)
        model.run()
        theirs = model.odata
    return theirs, reference, rain  # type: ignore[return-value]


def test_dual_coefficient_balance_as_pyfao56_runs_it() -> None:
    """Same basal coefficient, soil, rain and cover; the two order rain and stress differently within a day."""
    theirs, reference, rain = dual_run()
    days = reference.size
    cover = theirs["fc"].to_numpy(dtype=float)[-days:]
    ours = balance.run(
        balance.Drive(
            reference[:, np.newaxis],
            rain[:, np.newaxis],
            theirs["Kcb"].to_numpy(dtype=float)[-days:][:, np.newaxis],
            0.0,
            cover[:, np.newaxis],
            theirs["Kcmax"].to_numpy(dtype=float)[-days:][:, np.newaxis],
        ),
        balance.SoilStore(0.25, 0.12, 0.9, 1.0, 0.5, 0.1, 9.0),
        balance.Rule(most_per_day=0.0, wetted_share=1.0),
        surface_start=1000.0,  # pyfao56 begins with a dry surface over full soil
    )
    used, theirs_used = (ours.transpiration + ours.evaporation)[:, 0], theirs["ETa"].to_numpy(dtype=float)
    depletion = theirs["Dr"].to_numpy(dtype=float)
    # until the first rain nothing is ordered differently
    assert ours.depletion[:20, 0] == pytest.approx(depletion[:20], abs=1e-3)
    assert used.sum() == pytest.approx(theirs_used.sum(), rel=0.01)
    assert ours.depletion[-1, 0] == pytest.approx(depletion[-1], rel=0.005)
    # a rain day differs by one day's evaporation, which pyfao56 lets begin the day after
    assert np.abs(ours.depletion[:, 0] - depletion).max() < 7.0


def test_coefficients_are_those_of_pyfao56() -> None:
    """Apple of FAO-56 tables 12, 17 and 22 as pyfao56 has them."""
    from topwire.catalogue.tables import read_tables, typed_rows
    from topwire.water.tables import CoverRow

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pyfao56.tools import FAO56Tables

        tables = FAO56Tables()
    ours = {row.cover: row for row in typed_rows(read_tables()["crop_coefficients"], CoverRow)}
    theirs = tables.table17.set_index("Crop")
    words = {"bare": "no ground cover", "grassed": "active ground cover"}
    for alley, winter in product(("bare", "grassed"), ("killing frost", "no frost")):
        row = ours[f"apple, {alley} alley, {winter}"]
        crop = next(
            name for name in theirs.index if name.startswith(f"apples cherries pears {words[alley]} {winter}")
        )
        printed = [float(value) for value in theirs.loc[crop, ["Kcbini", "Kcbmid", "Kcbend"]]]
        assert [row.basal_initial, row.basal_middle, row.basal_end] == printed


def test_nine_thousand_emitters_as_epanet(tmp_path: Path) -> None:
    """60 rows of 150 emitters on one manifold; the benchmark times the same network."""
    tree = comb(
        supply=(30.0, 0.0766),
        manifold_lengths=[3.5] * 59,
        manifold_diameters=[0.066] * 59,
        row_emitters=[150] * 60,
        spacing=0.5,
        diameter=0.0176,
    )
    emitter = Emitter(2.0 * LPH / 10**0.5, 0.5)
    theirs, _ = epanet(tree, emitter, 25.0, tmp_path, roughness=150)
    ours = solve(tree, emitter, 25.0, law=hazen_williams(150))
    assert np.abs(ours.head[1:] / theirs - 1).max() < 1e-3
    assert ours.total == pytest.approx(float(emitter.flow(theirs[tree.outlets[1:] > 0]).sum()), rel=1e-4)
