"""The trellis beside PyNiteFEA 3.x, an independent frame program; the table of outside figures is in the checks."""

import csv
import io
import warnings
from importlib.resources import files

import numpy as np
import pytest

warnings.filterwarnings("ignore", category=SyntaxWarning)
from trellis_pynite import WOOD, Row, ours, post_moment_by_pynite, solve_with_pynite  # noqa: E402

from topwire.checks.trellis import checks as single_checks  # noqa: E402
from topwire.checks.trellis_cases import CASES, checks  # noqa: E402
from topwire.checks.trellis_frames import clamped_post  # noqa: E402
from topwire.checks.trellis_risk import checks as risk_checks  # noqa: E402
from topwire.trellis.frame import solve  # noqa: E402
from topwire.trellis.ground_post import ground_post, growing_spring  # noqa: E402


def test_every_reference_case_is_there() -> None:
    text = (files("topwire.checks") / "data" / "trellis_cases.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert len(rows) == len(checks()) == 100
    assert {row["case"] for row in rows} == set(CASES)
    assert len(single_checks()) >= 25


def test_forty_and_more_of_the_calibrations_figures_are_checked() -> None:
    """Gusts and drag, roots and poles, eight builds in four states, nine reports of storms."""
    found = risk_checks()
    assert len(found) >= 70
    apart = [one.quantity for one in found if abs(one.ours() - one.published) > one.tolerance]
    assert not apart, apart
    storms = [check for check in found if check.source.startswith("TRELLIS-STORMS")]
    assert len(storms) >= 9


@pytest.mark.parametrize(("across", "down"), [(60.0, 20.0), (150.0, 60.0), (0.0, 100.0)])
def test_a_row_agrees_with_pynite(across: float, down: float) -> None:
    row = Row(spans=4, per_span=4, heights=(1.0, 2.0, 3.0))
    loads = row.loads(across, down)
    here = solve(ours(row), loads)
    moved, force, _ = solve_with_pynite(row, loads)
    assert here.converged
    assert here.force == pytest.approx(force, rel=1e-4)
    assert here.moved == pytest.approx(moved, abs=3e-4)  # m; Pynite posts stretch a little
    if across:
        middle = 2 * 1  # across block of the middle post
        push = here.block_forces[middle]
        moment = float(push @ np.asarray(row.heights))
        assert post_moment_by_pynite(row, push) == pytest.approx(moment, rel=1e-4)


def test_wires_of_small_load_agree_with_p_delta() -> None:
    """Pynite's own P-Delta, wires stretched by moving the supports apart: load so small that tension stays put."""
    from Pynite import FEModel3D

    tension, span, load = 1112.06, 9.0, 2.0
    ea = 993_564.0
    model = FEModel3D()
    model.add_material("steel", 2e11, 8e10, 0.3, 0.0)
    model.add_section("wire", ea / 2e11, 1e-14, 1e-14, 1e-14)
    many = 12
    for i in range(many + 1):
        model.add_node(f"N{i}", i * span / many, 0, 0)
        end = i in (0, many)
        model.def_support(f"N{i}", end, end, True, True, True, False)
    model.def_node_disp(f"N{many}", "DX", tension * span / ea)
    for i in range(many):
        model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "steel", "wire")
    for i in range(1, many):
        model.add_node_load(f"N{i}", "FY", -load * span / many)
    model.analyze_PDelta(check_stability=False)
    middle = float(model.nodes[f"N{many // 2}"].DY["Combo 1"])
    string = load * span**2 / (8 * tension)
    assert -middle == pytest.approx(string, rel=0.01)


def test_a_post_in_springs_agrees_with_pynite() -> None:
    from Pynite import FEModel3D

    steps, depth, growth, width = 30, 1.2, 20e6, 0.127
    model = FEModel3D()
    bending = WOOD * np.pi * width**4 / 64
    model.add_material("wood", WOOD, 4e9, 0.3, 0.0)
    model.add_section("post", 0.0127, bending / WOOD, bending / WOOD, 2 * bending / WOOD)
    part = depth / steps
    for i in range(steps + 1):
        model.add_node(f"N{i}", 0, 0, -depth + i * part)
        model.def_support(f"N{i}", True, False, i == 0, False, True, True)
        low, high = max(depth - i * part - part / 2, 0.0), min(depth - i * part + part / 2, depth)
        model.def_support_spring(f"N{i}", "DY", growth * width * (low + high) / 2 * (high - low))
    model.add_node("T", 0, 0, 1.9)
    model.def_support("T", True, False, False, False, True, True)
    for i in range(steps):
        model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "wood", "post")
    model.add_member("T", f"N{steps}", "T", "wood", "post")
    model.add_node_load("T", "FY", 1500.0)
    model.analyze_linear(check_stability=False)
    here = ground_post([1.9], depth=depth, bending=bending, spring=growing_spring(growth, width), steps=steps)
    assert here.move[-1, 0] * 1500 == pytest.approx(float(model.nodes["T"].DY["Combo 1"]), rel=2e-3)
    assert here.move[steps, 0] * 1500 == pytest.approx(
        float(model.nodes[f"N{steps}"].DY["Combo 1"]), rel=2e-3
    )
    assert clamped_post([1.9], bending)[0, 0] > here.stiffness[0, 0]
