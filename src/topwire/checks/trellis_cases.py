"""The reference cases of the trellis: what each computes, by name of the quantity."""

import csv
import io
from collections.abc import Callable
from functools import cache
from importlib.resources import files

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Mark
from topwire.checks import Check
from topwire.trellis import anchors, ends, post, soil, wind, wire
from topwire.trellis.catenary import elastic_catenary
from topwire.trellis.frame import Equilibrium, Frame, StiffBlock, solve, strung
from topwire.trellis.ground_post import fixed_post, ground_post, growing_spring

Floats = npt.NDArray[np.float64]

DIAMETER, T0 = 2.515e-3, 1112.06
EA = float(wire.axial_stiffness(DIAMETER))
BENDING = 1e10 * np.pi * 0.1**4 / 64  # 100 mm post, 10 GPa
FOOT, LBF = 0.3048, 4.4482216152605
HEIGHTS = (0.75, 1.45, 2.10, 2.75)


def checks() -> list[Check]:
    """The table of reference cases."""
    text = (files("topwire.checks") / "data" / "trellis_cases.csv").read_text(encoding="utf-8")
    found = []
    for row in csv.DictReader(io.StringIO(text)):
        value, case, quantity = float(row["value"]), row["case"], row["quantity"]
        tolerance = float(row["rel_tol"]) * abs(value) if value else 1e-9
        found.append(
            Check(
                "Trellis",
                f"{case} {quantity.replace('_', ' ')} [{row['unit']}]",
                row["source"],
                value,
                _case(case, quantity),
                tolerance,
                Mark(row["mark"]),
            )
        )
    return found


@cache
def _values(case: str) -> dict[str, float]:
    return CASES[case]()


def _case(case: str, quantity: str) -> Callable[[], float]:
    return lambda: _values(case)[quantity]


def k1() -> dict[str, float]:
    """Properties of the wire."""
    thermal = EA * wire.STEEL_EXPANSION
    return {
        "EA": EA,
        "self_weight": float(wire.self_weight(DIAMETER)),
        "EA_alpha": thermal,
        "EA_alpha_imperial": thermal / LBF / 1.8,
    }


def k2() -> dict[str, float]:
    """Span of 9 m, 100 N/m, held, sliding, on yielding anchors, colder and warmer."""
    own = wire.self_weight(DIAMETER)
    held = wire.loaded_tension(T0, 100.0, 9.0, EA)
    slid = wire.sliding_tension(T0, 100.0, 9.0, EA, length=90.0)
    firm, soft = (
        wire.loaded_tension(T0, 100.0, 9.0, wire.yielding_stiffness(EA, 90.0, k)) for k in (2e5, 5e4)
    )
    inclined = wire.resultant(100.0, 150.0)
    both = wire.loaded_tension(T0, inclined, 9.0, EA)
    return {
        "H_fixed": float(held),
        "sag_fixed": float(wire.sag(100.0, 9.0, held)),
        "T_end_fixed": float(wire.end_tension(100.0, 9.0, held)),
        "H_one_of_ten_spans_loaded_sliding": float(slid),
        "sag_one_of_ten": float(wire.sag(100.0, 9.0, slid)),
        "H_ten_spans_anchor_200kN_per_m": float(firm),
        "sag_anchor_200kN_per_m": float(wire.sag(100.0, 9.0, firm)),
        "H_anchor_50kN_per_m": float(soft),
        "sag_anchor_50kN_per_m": float(wire.sag(100.0, 9.0, soft)),
        "H_loaded_minus30K": float(wire.loaded_tension(T0, 100.0, 9.0, EA, warmer=-30.0)),
        "H_loaded_plus30K": float(wire.loaded_tension(T0, 100.0, 9.0, EA, warmer=30.0)),
        "H_selfweight_minus30K": float(wire.loaded_tension(T0, own, 9.0, EA, warmer=-30.0)),
        "H_selfweight_plus40K": float(wire.loaded_tension(T0, own, 9.0, EA, warmer=40.0)),
        "H_resultant_w_100v_150h": float(both),
        "defl_resultant_w": float(wire.sag(inclined, 9.0, both)),
        "T_end_resultant_w": float(wire.end_tension(inclined, 9.0, both)),
    }


def k3() -> dict[str, float]:
    """Point loads at mid-span."""
    found: dict[str, float] = {}
    for force in (500, 200, 1000):
        x, tension = wire.point_load(float(force), T0, 9.0, EA)
        found |= {f"defl_P{force}": float(x), f"T_P{force}": float(tension)}
    found["defl_P200_T0_zero"] = float(wire.point_load(200.0, 0.0, 9.0, EA)[0])
    return found


def k4() -> dict[str, float]:
    """Elastic catenaries: level, inclined, slack, and of textbook size."""
    strain = 1 + T0 / EA
    level = elastic_catenary(9.0, 0.0, free_length=9 / strain, load=100.0, stiffness=EA)
    tilted = elastic_catenary(9.0, 1.0, free_length=np.sqrt(82) / strain, load=100.0, stiffness=EA)
    own = float(wire.self_weight(DIAMETER))
    slack = elastic_catenary(9.0, 0.0, free_length=9.02, load=own, stiffness=EA)
    book = elastic_catenary(100.0, 0.0, free_length=100.5, load=10.0, stiffness=1e6)
    return {
        "H_level": level.horizontal,
        "T_end_level": level.tension_end,
        "sag_level": level.sag,
        "H_inclined": tilted.horizontal,
        "T_upper_inclined": tilted.tension_end,
        "T_lower_inclined": tilted.tension_start,
        "sag_below_chord_inclined": tilted.sag,
        "H_slack": slack.horizontal,
        "sag_slack": slack.sag,
        "H_100m": book.horizontal,
        "V_100m": book.vertical_start,
        "T_100m": book.tension_start,
        "sag_100m": book.sag,
    }


def k5() -> dict[str, float]:
    """Cable of 325 m between supports 325 m apart, at rest and 39.26 K warmer."""
    area = 2.2783e-4
    found: dict[str, float] = {}
    for name, warmer in (("T0", 0.0), ("T39_26", 39.26)):
        hung = elastic_catenary(
            325.0,
            0.0,
            free_length=325 * (1 + 2.3e-5 * warmer),
            load=2844.23 * 9.81 * area,
            stiffness=57e9 * area,
        )
        found |= {f"mid_drop_{name}": hung.sag, f"H_{name}": hung.horizontal}
    return found


def k6() -> dict[str, float]:
    """Square of four bars with two tension-only diagonals."""
    nodes = np.array([[0, 0, 0], [0, 0, 1], [1, 0, 1], [1, 0, 0]], dtype=float)
    fixed = np.zeros((4, 3), dtype=bool)
    fixed[:, 1] = True
    fixed[0] = True
    fixed[3, 2] = True
    bars = np.array([[0, 1], [1, 2], [2, 3], [3, 0], [0, 2], [3, 1]])
    long = np.linalg.norm(nodes[bars[:, 1]] - nodes[bars[:, 0]], axis=1)
    load = np.zeros((4, 3))
    load[2, 0] = 1000.0
    found = solve(Frame(nodes, fixed, bars, long, np.full(6, 2e9), np.arange(6) > 3), load)
    return {
        "cable_13": float(found.force[4]),
        "bar_34": float(found.force[2]),
        "cable_42": float(found.force[5]),
    }


def p1() -> dict[str, float]:
    """Cantilever of 3 m under 1,000 N/m from 0.6 m up, with a prop at the top."""
    found: dict[str, float] = {}
    for name, stiffness in (("ks0", 0.0), ("ks1000", 1e3), ("ks5000", 5e3), ("rigid", np.inf)):
        force, moment, shear = post.propped_cantilever(
            low=0.6, high=3.0, load=1000.0, bending=BENDING, props=[3.0], stiffness=stiffness
        )
        free = float(post.band_deflection(3.0, 0.6, 3.0, 1000.0, BENDING))
        tip = free - float(force[0] * post.flexibility(3.0, 3.0, BENDING))
        found |= {f"tip_{name}": tip, f"Mbase_{name}": moment, f"Vbase_{name}": shear}
        if name == "rigid":
            found["prop_force_rigid"] = float(force[0])
    return found


def p2() -> dict[str, float]:
    """1,000 N at 1.8 m on a post 0.9 m deep in ground that stiffens with depth, rigid and flexible."""
    rigid = soil.rigid_post(1000.0, 1.8, depth=0.9, width=0.1, growth=30e6)
    bent = ground_post([1.8], depth=0.9, bending=BENDING, spring=growing_spring(30e6, 0.1), steps=90)
    return {
        "y_grade_rigid": rigid["y_grade"],
        "theta_rigid": rigid["rotation"],
        "pivot_depth": rigid["pivot"],
        "p_peak": rigid["peak_pressure"],
        "z_peak": rigid["peak_depth"],
        "p_foot": rigid["foot_pressure"],
        "y_grade_flex": float(bent.move[90, 0] * 1000),
        "y_load_flex": float(bent.move[91, 0] * 1000),
        "y_foot_flex": float(bent.move[0, 0] * 1000),
        "M_max_flex": float(bent.greatest_moment([1000.0])),
    }


def p3() -> dict[str, float]:
    """Worked examples of the code formula."""
    psf = LBF / FOOT**3
    pole = {"width": 1 * FOOT, "bearing": 266 * psf}
    return {
        "IBC_free_d": soil.code_depth_free(510 * LBF, 4 * FOOT, **pole) / FOOT,
        "IBC_constrained_d": soil.code_depth_restrained(510 * LBF, 4 * FOOT, **pole) / FOOT,
        "IBC_constrained_d_flagpole": soil.code_depth_restrained(
            30e3 * LBF, 3 * FOOT, width=4.5 * FOOT, bearing=2 * 350 * psf
        ),
        "A_worked_forum": soil.code_parameter(3000.0, 6.0, width=1.0, bearing=150 * 1.33),
    }


def p4() -> dict[str, float]:
    """Gauge rule, and what a third more depth brings."""
    clay = soil.clay_ultimate([0.9, 1.2], 1.8, width=0.1, cohesion=25e3)
    sand = soil.sand_ultimate([0.9, 1.2], 1.8, width=0.1, unit_weight=18e3, friction=30.0)
    return {
        "three_point_gauge_factor": float(wire.gauge_tension(1.0, 40.0, 0.5)),
        "broms_sand_ratio_0.9_to_1.2m": float(sand[1] / sand[0]),
        "broms_clay_ratio_0.9_to_1.2m": float(clay[1] / clay[0]),
    }


def e1() -> dict[str, float]:
    """Tie-backs of three geometries; the base force is that of the post on the ground."""
    found: dict[str, float] = {}
    for lean, guy in ((0, 45), (30, 60), (20, 60)):
        end = ends.tie_back([T0] * 4, HEIGHTS, guy_height=2.75, lean=lean, guy_angle=guy)
        name = f"lean{lean}_guy{guy}"
        found |= {
            f"guy_{name}": end.member,
            f"anchor_H_{name}": end.anchor_horizontal,
            f"anchor_V_{name}": end.anchor_uplift,
            f"base_H_{name}": -end.foot,
        }
        if lean == 0:
            found["post_M_max"] = end.post_moment
    return found


def e2() -> dict[str, float]:
    """H-braces with rails of 2.4 and 4.2 m."""
    found: dict[str, float] = {}
    for long in (2.4, 4.2):
        end = ends.h_brace([T0] * 4, HEIGHTS, rail_height=2.1, rail_length=long)
        found |= {
            f"rail_Lb{long}": end.strut,
            f"brace_wire_Lb{long}": end.member,
            f"uplift_end_post_Lb{long}": end.uplift,
        }
    return found


def e3() -> dict[str, float]:
    """Diagonal strut."""
    end = ends.diagonal([T0] * 4, HEIGHTS, strut_height=2.1, strut_reach=3.0)
    return {"strut": end.strut, "uplift_end_post": end.uplift, "strut_foot_H": end.anchor_horizontal}


def plan_row(lost: tuple[int, ...] = ()) -> Equilibrium:
    """Six spans in plan view, five posts as springs of 5,000 N/m."""
    count = 36
    nodes = np.zeros((count + 1, 3))
    nodes[:, 0] = np.arange(count + 1) * 1.5
    fixed = np.zeros((count + 1, 3), dtype=bool)
    fixed[[0, count]] = True
    bars = np.stack([np.arange(count), np.arange(1, count + 1)], axis=1)
    posts = tuple(StiffBlock(np.array([3 * i + 1]), np.array([[5000.0]])) for i in (6, 12, 18, 24, 30))
    stiff = np.full(count, EA)
    frame = Frame(
        nodes, fixed, bars, strung(np.full(count, 1.5), T0, stiff), stiff, np.ones(count, dtype=bool), posts
    )
    load = np.zeros((count + 1, 3))
    load[1:-1, 1] = 60 * 1.5
    return solve(frame, load, blocks_lost=lost)


def s1() -> dict[str, float]:
    """Row in plan: whole, and with the middle post lost."""
    whole, lost = plan_row(), plan_row((2,))
    found = {f"post{i + 1}_reaction": float(force[0]) for i, force in enumerate(whole.block_forces)}
    return found | {
        "T_end": float(whole.force[0]),
        "max_lateral": float(whole.moved[:, 1].max()),
        "lost_post3_neighbour_reaction": float(lost.block_forces[1][0]),
        "lost_post3_move": float(lost.moved[18, 1]),
        "lost_post3_T_end": float(lost.force[0]),
    }


def space_row() -> Equilibrium:
    """Four spans, two wires, three posts fixed at the ground."""
    count, levels = 24, (1.45, 2.75)
    size = count + 1
    nodes = np.array([(i * 1.5, 0.0, z) for z in levels for i in range(size)])
    fixed = np.zeros((2 * size, 3), dtype=bool)
    bars = np.array([(size * w + i, size * w + i + 1) for w in (0, 1) for i in range(count)])
    stiffness = fixed_post(levels, BENDING)
    blocks = []
    for wire_row in (0, 1):
        fixed[[size * wire_row, size * wire_row + count]] = True
        fixed[size * wire_row + np.array([6, 12, 18]), 2] = True
    for at in (6, 12, 18):
        for axis in (0, 1):
            blocks.append(StiffBlock(np.array([3 * at + axis, 3 * (size + at) + axis]), stiffness))
    stiff = np.full(2 * count, EA)
    frame = Frame(
        nodes, fixed, bars, strung(np.full(2 * count, 1.5), T0, stiff), stiff, np.ones(2 * count, dtype=bool),
        tuple(blocks),
    )  # fmt: skip
    load = np.zeros((2 * size, 3))
    load[1:count, 1:] = np.array([150.0, -100.0]) * 1.5
    load[size + 1 : size + count, 1:] = np.array([120.0, -80.0]) * 1.5
    return solve(frame, load)


def s2() -> dict[str, float]:
    """The row in space: moments, movements, tensions."""
    row, size = space_row(), 25
    levels = np.array([1.45, 2.75])
    found = {f"post{i + 1}_Mbase": float(row.block_forces[2 * i + 1] @ levels) for i in range(3)}
    for number, at in ((1, 6), (2, 12)):
        found |= {
            f"post{number}_y_1.45": float(row.moved[at, 1]),
            f"post{number}_y_2.75": float(row.moved[size + at, 1]),
        }
    return found | {
        "mid_endspan_low_lateral": float(row.moved[3, 1]),
        "mid_endspan_low_vertical": float(row.moved[3, 2]),
        "mid_endspan_top_lateral": float(row.moved[size + 3, 1]),
        "mid_endspan_top_vertical": float(row.moved[size + 3, 2]),
        "T_endspan_low": float(row.force[0]),
        "T_endspan_top": float(row.force[24]),
    }


def sh1() -> dict[str, float]:
    """Shelter over the band 0.6 to 3.2 m."""
    force, moment = wind.band_force(0.6, 3.2, inner=True)
    return {
        "shelter_factor_band_mean": force / 2.6,
        "shelter_factor_moment_weighted": moment / (2.6 * 1.9),
    }


def sh2() -> dict[str, float]:
    """Pressure left where the mean wind is 40 and 20 % lower."""
    full = float(wind.gust_pressure(1.0, coefficient=1.0))
    return {
        f"pressure_factor_at_{height}m": float(wind.gust_pressure(speed, coefficient=1.0)) / full
        for height, speed in ((1, 0.6), (2, 0.8))
    }


def w5() -> dict[str, float]:
    """Weak eucalyptus poles."""
    return {
        "E_grandis_5th_percentile_12m": float(post.fifth_percentile(62.9, 0.13)),
        "E_grandis_5th_percentile_8m": float(post.fifth_percentile(56.3, 0.13)),
    }


def a3() -> dict[str, float]:
    """Vineyard screws."""
    return {
        "helix_85mm_cu25": float(anchors.helix_clay(0.085, 25e3)) / 1e3,
        "helix_120mm_cu50": float(anchors.helix_clay(0.120, 50e3)) / 1e3,
    }


def c1() -> dict[str, float]:
    """Section of a concrete post."""
    return {"concrete_area_from_mass": anchors.concrete_area(25.0) * 1e4}


CASES: dict[str, Callable[[], dict[str, float]]] = {
    "K1": k1, "K2": k2, "K3": k3, "K4": k4, "K5": k5, "K6": k6, "P1": p1, "P2": p2, "P3": p3, "P4": p4, "E1": e1,
    "E2": e2, "E3": e3, "S1": s1, "S2": s2, "SH1": sh1, "SH2": sh2, "W5": w5, "A3": a3, "C1": c1,
}  # fmt: skip
