"""The reference cases of the trellis: what each computes, by name of the quantity."""

from collections.abc import Callable
from functools import cache

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Mark
from topwire.checks import Check, table
from topwire.checks.trellis_frames import clamped_post, hung, pushed
from topwire.trellis import anchors, end_choice, post, soil, wind, wire
from topwire.trellis.frame import Equilibrium, Frame, StiffBlock, solve, strung
from topwire.trellis.ground_post import ground_post, growing_spring

Floats = npt.NDArray[np.float64]

DIAMETER, T0 = 2.515e-3, 1112.06
EA = float(wire.axial_stiffness(DIAMETER))
BENDING = 1e10 * np.pi * 0.1**4 / 64  # 100 mm post, 10 GPa
FOOT, LBF = 0.3048, 4.4482216152605
HEIGHTS = (0.75, 1.45, 2.10, 2.75)


def checks() -> list[Check]:
    """The table of reference cases."""
    found = []
    for row in table("trellis_cases.csv"):
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
    """Span of 9 m, 100 N/m, held, on yielding anchors, colder and warmer."""
    own = wire.self_weight(DIAMETER)
    firm, soft = (
        wire.loaded_tension(T0, 100.0, 9.0, wire.yielding_stiffness(EA, 90.0, k)) for k in (2e5, 5e4)
    )
    return {
        "H_fixed": float(wire.loaded_tension(T0, 100.0, 9.0, EA)),
        "H_ten_spans_anchor_200kN_per_m": float(firm),
        "H_anchor_50kN_per_m": float(soft),
        "H_loaded_minus30K": float(wire.loaded_tension(T0, 100.0, 9.0, EA, warmer=-30.0)),
        "H_loaded_plus30K": float(wire.loaded_tension(T0, 100.0, 9.0, EA, warmer=30.0)),
        "H_selfweight_minus30K": float(wire.loaded_tension(T0, own, 9.0, EA, warmer=-30.0)),
        "H_selfweight_plus40K": float(wire.loaded_tension(T0, own, 9.0, EA, warmer=40.0)),
        "H_resultant_w_100v_150h": float(wire.loaded_tension(T0, np.hypot(100.0, 150.0), 9.0, EA)),
    }


def k3() -> dict[str, float]:
    """Point loads at mid-span."""
    found: dict[str, float] = {}
    for force in (500, 200, 1000):
        found[f"defl_P{force}"], found[f"T_P{force}"] = pushed(float(force), T0)
    found["defl_P200_T0_zero"] = pushed(200.0, 0.0)[0]
    return found


def k4() -> dict[str, float]:
    """Elastic catenaries: level, inclined, slack, and of textbook size."""
    strain = 1 + T0 / EA
    level = hung(9.0, 0.0, free=9 / strain, load=100.0, stiffness=EA)
    tilted = hung(9.0, 1.0, free=np.sqrt(82) / strain, load=100.0, stiffness=EA)
    slack = hung(9.0, 0.0, free=9.02, load=float(wire.self_weight(DIAMETER)), stiffness=EA)
    book = hung(100.0, 0.0, free=100.5, load=10.0, stiffness=1e6)
    return {
        "H_level": level.horizontal,
        "sag_level": level.sag,
        "H_inclined": tilted.horizontal,
        "sag_below_chord_inclined": tilted.sag,
        "H_slack": slack.horizontal,
        "sag_slack": slack.sag,
        "H_100m": book.horizontal,
        "sag_100m": book.sag,
    }


def k5() -> dict[str, float]:
    """Cable of 325 m between supports 325 m apart, at rest and 39.26 K warmer."""
    area = 2.2783e-4
    found: dict[str, float] = {}
    for name, warmer in (("T0", 0.0), ("T39_26", 39.26)):
        free = 325 * (1 + 2.3e-5 * warmer)
        line = hung(325.0, 0.0, free=free, load=2844.23 * 9.81 * area, stiffness=57e9 * area)
        found |= {f"mid_drop_{name}": line.sag, f"H_{name}": line.horizontal}
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


def p2() -> dict[str, float]:
    """1,000 N at 1.8 m on a post 0.9 m deep in ground that stiffens with depth, rigid and flexible."""
    spring = growing_spring(30e6, 0.1)
    stiff = ground_post([1.8], depth=0.9, bending=1e8, spring=spring, steps=90)
    moved, turn = stiff.move[:91, 0] * 1000, (stiff.move[91, 0] - stiff.move[90, 0]) * 1000 / 1.8
    curve = np.polynomial.Polynomial.fit(-stiff.levels[1:90], stiff.press[1:90, 0] * 1000 / 0.1, 2)
    deepest = float(curve.deriv().roots()[0])
    bent = ground_post([1.8], depth=0.9, bending=BENDING, spring=spring, steps=90)
    return {
        "y_grade_rigid": float(moved[90]),
        "theta_rigid": float(turn),
        "pivot_depth": float(moved[90] / turn),
        "p_peak": float(curve(deepest)),
        "z_peak": deepest,
        "p_foot": float(curve(0.9)),
        "y_grade_flex": float(bent.move[90, 0] * 1000),
        "y_load_flex": float(bent.move[91, 0] * 1000),
        "y_foot_flex": float(bent.move[0, 0] * 1000),
        "M_max_flex": float(bent.greatest_moment([1000.0])),
    }


def p3() -> dict[str, float]:
    """A worked example of the code formula: the depth at which a post may bear the load."""
    bearing = 266 * LBF / FOOT**3
    depths = np.linspace(1.0, 2.0, 2001)
    bears = soil.code_force_free(depths, 4 * FOOT, width=1 * FOOT, bearing=bearing)
    return {"IBC_free_d": float(np.interp(510 * LBF, bears, depths)) / FOOT}


def p4() -> dict[str, float]:
    """What a third more depth brings."""
    clay = soil.clay_ultimate([0.9, 1.2], 1.8, width=0.1, cohesion=25e3)
    sand = soil.sand_ultimate([0.9, 1.2], 1.8, width=0.1, unit_weight=18e3, friction=30.0)
    return {
        "broms_sand_ratio_0.9_to_1.2m": float(sand[1] / sand[0]),
        "broms_clay_ratio_0.9_to_1.2m": float(clay[1] / clay[0]),
    }


TAUT, MOMENT = 4 * T0, T0 * sum(HEIGHTS)  # pull of the wires [N], its moment about the ground [N m]


def e1() -> dict[str, float]:
    """Tie-backs of three geometries; the base force is that of the post on the ground."""
    found = {"post_M_max": float(end_choice.beam_moment(np.full((1, 4), T0), np.asarray(HEIGHTS), 2.75)[0])}
    for lean, angle in ((0, 45), (30, 60), (20, 60)):
        turn = np.radians(angle)
        guy = float(end_choice.guy_force(MOMENT, 2.75, lean, float(np.tan(turn))))
        name = f"lean{lean}_guy{angle}"
        found |= {
            f"guy_{name}": guy,
            f"anchor_H_{name}": guy * float(np.cos(turn)),
            f"anchor_V_{name}": guy * float(np.sin(turn)),
            f"base_H_{name}": guy * float(np.cos(turn)) - TAUT,
        }
    return found


def e2() -> dict[str, float]:
    """H-braces with rails of 2.4 and 4.2 m."""
    found: dict[str, float] = {}
    for long in (2.4, 4.2):
        rail, cable, lift = end_choice.brace_forces(np.asarray(MOMENT), 2.1, long)
        found |= {
            f"rail_Lb{long}": float(rail),
            f"brace_wire_Lb{long}": float(cable),
            f"uplift_end_post_Lb{long}": float(lift),
        }
    return found


def e3() -> dict[str, float]:
    """Diagonal strut."""
    foot, strut, lift = end_choice.brace_forces(np.asarray(MOMENT), 2.1, 3.0)
    return {"strut": float(strut), "uplift_end_post": float(lift), "strut_foot_H": float(foot)}


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
    stiffness = clamped_post(levels, BENDING)
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


CASES: dict[str, Callable[[], dict[str, float]]] = {
    "K1": k1, "K2": k2, "K3": k3, "K4": k4, "K5": k5, "K6": k6, "P2": p2, "P3": p3, "P4": p4, "E1": e1,
    "E2": e2, "E3": e3, "S1": s1, "S2": s2, "SH1": sh1, "SH2": sh2, "W5": w5, "A3": a3,
}  # fmt: skip
