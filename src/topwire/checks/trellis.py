"""Outside checks of the Trellis department: wind, wire, post, soil, ends and the whole row."""

from functools import partial

import numpy as np

from topwire.catalogue.model import Mark
from topwire.checks import Check, checks_of
from topwire.checks.trellis_frames import hung, pushed
from topwire.trellis import anchors, end_choice, loads, post, soil, wind, wire
from topwire.trellis.frame import Frame, solve
from topwire.trellis.ground_post import GroundPost, even_spring, ground_post

TRELLIS = "Trellis"
LBF = 4.4482216152605
PSI = 6894.757293168
EA = float(wire.axial_stiffness(2.515e-3))
TAN_60 = float(np.sqrt(3))
_check = checks_of("Trellis")


def checks() -> list[Check]:
    """Single figures of standards, handbooks and the trade; the table of reference cases has a module of its own."""
    return [*_wind(), *_wood(), *_wires(), *_beams(), *_ground(), *_ends()]


def _wind() -> list[Check]:
    b, c, d = wind.WindExposure.B, wind.WindExposure.C, wind.WindExposure.D
    found = [
        _check(f"Kz at {z} ft, exposure {e}", "ASCE7-16, table 26.10-1", value,
               lambda z=z, e=e: float(wind.exposure_coefficient(z * 0.3048, e)), 0.0051, Mark.MEMORY)
        for z, e, value in ((15, b, 0.57), (15, c, 0.85), (15, d, 1.03), (30, b, 0.70), (30, d, 1.16))
    ]  # fmt: skip
    found.append(
        _check("Kz at 30 ft, exposure C", "ASCE7-16, table 26.10-1", 0.98,
               lambda: float(wind.exposure_coefficient(9.144, c)), 0.0051, Mark.READ)
    )  # fmt: skip
    found += [
        _check(f"K1 of a {name}, exposure C, H/Lh {steep}", "ASCE7-16, topographic factor", value,
               lambda name=name, steep=steep: float(np.sqrt(wind.hill_speed_up(
                   wind.HILL_SHAPES[name], c, rise=100 * steep, half_length=100.0, distance=0.0, height=0.0))) - 1,
               0.0051, Mark.READ)
        for name, steep, value in (
            ("ridge", 0.2, 0.29), ("ridge", 0.5, 0.72), ("escarpment", 0.2, 0.17), ("escarpment", 0.5, 0.43),
            ("hill", 0.2, 0.21), ("hill", 0.5, 0.53))
    ]  # fmt: skip
    found += [
        _check(f"gust of {years} years over that of 50", "ASCE7-16, commentary", value,
               lambda years=years: float(wind.return_factor(years)), 0.0006, Mark.MEMORY)
        for years, value in ((5, 0.769), (25, 0.930), (100, 1.069), (300, 1.179), (700, 1.264))
    ]  # fmt: skip
    found += [
        _check(f"peak pressure at 3 m, 25 m/s mean, terrain {name} [Pa]", "EN1991-1-4, 4.5", value,
               lambda name=name: float(wind.peak_pressure(25.0, 3.0, wind.TERRAINS[name])), 0.5, Mark.READ)
        for name, value in (("0", 913.7), ("I", 815.7), ("II", 640.6), ("III", 500.3), ("IV", 459.4))
    ]  # fmt: skip
    found += [
        _check(f"c_prob of {years} years", "EN1991-1-4, 4.2", value,
               lambda years=years: float(wind.season_factor(years)), 0.0001, Mark.READ)
        for years, value in ((10, 0.9025), (25, 0.9597), (100, 1.0385))
    ]  # fmt: skip
    return found


def _wood() -> list[Check]:
    found = [
        _check("share of the mean that 19 poles of 20 bear, scatter 20 %", "FPL-GTR158, abstract", 0.671,
               lambda: float(post.fifth_percentile(1.0, 0.20)), 0.0006, Mark.READ)
    ]  # fmt: skip
    found += [
        _check(f"moment of a {d} in post at 6,600 psi [kN m]", "UNITLOAD, section modulus of a circle", value,
               lambda d=d: float(post.round_modulus(d * 0.0254)) * 6600 * PSI / 1e3, 0.006, Mark.READ)
        for d, value in ((3, 1.98), (4, 4.69), (5, 9.15), (6, 15.81))
    ]  # fmt: skip
    found += [
        _check(f"gust that breaks a {d} in post, {s} m apart, drag {c}, 6,600 psi [m/s]",
               "UNITLOAD, moment of a canopy 0.6-3.2 m in exposure C", value, partial(_breaking_gust, d, s, c), 0.06,
               Mark.READ)
        for d, s, c, value in ((3, 6, 0.3, 22.4), (4, 9, 0.5, 21.8), (5, 9, 0.5, 30.5), (6, 12, 0.8, 27.4))
    ]  # fmt: skip
    return found


def _breaking_gust(inches: int, spacing: int, drag: float) -> float:
    pressure = wind.gust_pressure(1.0, coefficient=wind.exposure_coefficient(3.0, wind.WindExposure.C))
    moment = wind.band_force(0.6, 3.2, inner=False)[1] * drag * spacing * pressure
    return float(np.sqrt(post.round_modulus(inches * 0.0254) * 6600 * PSI / moment))


def _wires() -> list[Check]:
    found = [
        _check("12.5 gauge wire at 200,000 psi [lbf]", "UFL-CIR851, strength of high tensile wire", 1540.0,
               lambda: float(np.pi / 4 * 0.099**2 * 200_000), 2.0, Mark.READ),
        _check("glaze of 12.7 mm on 2.515 mm wire [N/m]", "UNITLOAD, ring of ice at 917 kg/m3", 5.459,
               lambda: float(loads.ice_weight(2.515e-3, 12.7e-3)), 0.001, Mark.READ),
        _check("slack wire, 200 N at mid-span of 9 m: cubic limit (L/2)(P/EA)^(1/3) [m]", "UNITLOAD, small angles",
               0.26373, lambda: pushed(200.0, 0.0)[0], 0.0003, Mark.READ),
        _check("taut string, 1 N at mid-span: P L / 4 T [m]", "UNITLOAD, string", 9 / (4 * 1112.06),
               lambda: pushed(1.0, 1112.06)[0], 2e-6, Mark.READ),
        _check("inextensible chain: sag of 100 m span, a = 200 m [m]", "IRVINE81, a (cosh(l/2a) - 1)",
               200 * (np.cosh(0.25) - 1),
               lambda: hung(100.0, 0.0, free=400 * np.sinh(0.25), load=10.0, stiffness=1e9).sag, 4e-3, Mark.MEMORY),
        _check("inextensible chain: horizontal tension w a [N]", "IRVINE81, H = w a", 2000.0,
               lambda: hung(100.0, 0.0, free=400 * np.sinh(0.25), load=10.0, stiffness=1e9).horizontal, 1.0,
               Mark.MEMORY),
        _check("shallow two-bar frame pushed to u = 0.1 m: 2 EA (l/L0 - 1) sin, exact [N]",
               "UNITLOAD, von Mises truss", _two_bars(0.1), _two_bars_solved, 0.05, Mark.READ),
    ]  # fmt: skip
    found += [
        _check(f"tension of {t0} N wire, {span} m span, {load} N/m [N]", "IRVINE81, shallow parabola", h,
               lambda t0=t0, span=span, load=load: float(wire.loaded_tension(t0, load, span, EA)), 0.1, Mark.MEMORY)
        for t0, span, load, h in _TENSIONS
    ]  # fmt: skip
    return found


# Tensions of rigidly held 12.5 gauge wire, EA 993,564 N: T0, span, load, H.
_TENSIONS = (
    (667.2, 6, 20, 1132.2), (667.2, 12, 150, 5351.2), (889.6, 9, 50, 2375.4), (1112.06, 6, 100, 2892.9),
    (1112.06, 12, 20, 1826.7), (1334.5, 9, 150, 4720.5),
)  # fmt: skip


def _two_bars(u: float) -> float:
    """Load [N] that pushes the apex of two bars (span 2 m, rise 0.5 m, EA 1e6 N) down by u."""
    free, long = float(np.hypot(1.0, 0.5)), float(np.hypot(1.0, 0.5 - u))
    return -2 * 1e6 * (long / free - 1) * (0.5 - u) / long


def _two_bars_solved() -> float:
    """The load for which our frame moves by 0.1 m, by secant."""
    from scipy.optimize import brentq

    nodes = np.array([[-1.0, 0, 0], [0, 0, 0.5], [1.0, 0, 0]])
    fixed = np.array([[True] * 3, [False, True, False], [True] * 3])
    frame = Frame(nodes, fixed, np.array([[0, 1], [1, 2]]), np.full(2, np.hypot(1, 0.5)), np.full(2, 1e6),
                  np.zeros(2, dtype=bool))  # fmt: skip

    def off(load: float) -> float:
        push = np.zeros((3, 3))
        push[1, 2] = -load
        return float(solve(frame, push).moved[1, 2] + 0.1)

    return float(brentq(off, 1e4, 8e4, xtol=1e-3))


def _beams() -> list[Check]:
    bending = 2.0e5
    stiff, lam = 8.0e5, (8.0e5 / (4 * bending)) ** 0.25
    above = 0.01  # [m] the load stands this high above grade, its moment counted in the handbook form

    def long_post() -> GroundPost:
        return ground_post([above], depth=8.0, steps=320, bending=bending, spring=even_spring(stiff))

    def rock() -> GroundPost:
        return ground_post([3.0], depth=0.5, steps=200, bending=bending, spring=even_spring(1e13))

    return [
        _check("post clamped in rock, end load: P h^3 / 3 EI [m/N]", "HANDBOOK-BEAM, cantilever", 27 / (3 * bending),
               lambda: rock().move[-1, 0], 0.02 * 27 / (3 * bending), Mark.MEMORY),
        _check("long post pushed 10 mm above grade, even springs: 2 lambda (P + lambda M) / k [m/N]",
               "HANDBOOK-BEAM, beam on springs", 2 * lam * (1 + lam * above) / stiff,
               lambda: float(long_post().move[-2, 0]), 2e-3 * 2 * lam / stiff, Mark.MEMORY),
        _check("its greatest moment, 0.3224 (P / lambda + 2 M) [N m/N]", "HANDBOOK-BEAM, beam on springs",
               0.3224 * (1 / lam + 2 * above), lambda: float(long_post().greatest_moment([1.0])), 2e-3 * 0.3224 / lam,
               Mark.MEMORY),
    ]  # fmt: skip


def _ground() -> list[Check]:
    psf = 157.0874638462
    found = [
        _check(f"allowable load of a 4 in post {d} ft deep, {s} psf/ft, load at 6.2 ft [lbf]", "IBC-1807, free form",
               value, lambda d=d, s=s: float(soil.code_force_free(
                   d * 0.3048, 6.2 * 0.3048, width=4 * 0.0254, bearing=s * psf)) / LBF, 0.6, Mark.READ)
        for s, d, value in ((100, 3, 13), (100, 3.5, 20), (100, 4, 28), (150, 3, 20), (150, 3.5, 30), (150, 4, 42))
    ]  # fmt: skip
    found += [
        _check(f"short post in clay {cu} kPa, 0.1 m wide, {depth} m deep, load at 1.8 m [kN]", "BROMS64, clay", value,
               lambda depth=depth, cu=cu: float(soil.clay_ultimate(
                   depth, 1.8, width=0.1, cohesion=cu * 1e3)) / 1e3, 0.0006, Mark.MEMORY)
        for depth, cu, value in ((0.9, 25, 1.352), (1.2, 25, 2.478), (0.9, 50, 2.704), (1.2, 50, 4.956))
    ]  # fmt: skip
    found += [
        _check(f"short post in sand of {phi} degrees, 0.1 m wide, {depth} m deep, load at 1.8 m [kN]",
               "BROMS64, sand", value, lambda depth=depth, phi=phi: float(soil.sand_ultimate(
                   depth, 1.8, width=0.1, unit_weight=18e3, friction=phi)) / 1e3, 0.0006, Mark.MEMORY)
        for depth, phi, value in ((0.9, 30, 0.729), (1.2, 30, 1.555), (0.9, 35, 0.897), (1.2, 35, 1.913))
    ]  # fmt: skip
    found.append(
        _check("frost on a 114 mm post, 0.5 m of frozen ground at 100 kPa [kN]", "HEAVE-PRACTICE, adfreeze", 17.9,
               lambda: soil.frost_heave(0.114, 0.5) / 1e3, 0.05, Mark.MEMORY)
    )  # fmt: skip
    return found


def _ends() -> list[Check]:
    found = [
        _check(f"log of 8 in for 4,500 lbf, {depth} ft deep, slope 1:1 [ft]", "ARMY-TM5, holding table", value,
               lambda depth=depth: 1 + 4500 * LBF / (  # a foot for the cable's trench
                   anchors.deadman_pressure(depth * 0.3048, 1.0) * 8 * 0.0254) / 0.3048, 0.006, Mark.READ)
        for depth, value in ((3, 8.10), (4, 4.86), (5, 3.41), (6, 2.78))
    ]  # fmt: skip
    found += [
        _check(f"holding at {depth} ft, slope 1:{run} [kPa]", "ARMY-TM5, holding table", value,
               lambda depth=depth, run=run: anchors.deadman_pressure(depth * 0.3048, 1 / run) / 1e3,
               0.06, Mark.READ)
        for depth, run, value in ((3, 1, 45.5), (4, 2, 105.3), (6, 3, 277.7), (7, 4, 402.2))
    ]  # fmt: skip
    found += [  # square plates, Ku tan(phi) 0.92: an angle of 43.8 degrees
        _check(f"plate in dense sand {ratio} diameters deep: breakout factor", "MEYERHOF-ADAMS, appendix G", value,
               lambda ratio=ratio: float(anchors.breakout(ratio, 43.8)), 0.025 * value, Mark.READ)
        for ratio, value in ((1, 3.70), (2, 8.20), (3, 14.47), (4, 22.51))
    ]  # fmt: skip
    found += [
        _check("equilateral tie-back: guy over wire", "FRASER99, simplest and strongest", 1.0,
               lambda: float(end_choice.guy_force(2.75, 2.75, 30, TAN_60)), 1e-9, Mark.READ),
        _check("anchor 5 ft from a 9 ft post: uplift over wire", "GFG-CONSTRUCT, pulls down on the post", 1.8,
               lambda: float(end_choice.guy_force(9.0, 9.0, 0.0, 9 / 5)) * 9 / np.hypot(9, 5), 1e-9, Mark.READ),
        _check("row length with a 4 in plate over a 6 in plate", "DOMOTO02, 250 and 600 ft", 250 / 600,
               lambda: float(anchors.plate_area(4) / anchors.plate_area(6)), 0.03, Mark.READ),
    ]  # fmt: skip
    found += [
        _check(f"6 in plate in clay of {cu} kPa, plate only [kN]", "BROMS64, 9 cu A", value,
               lambda cu=cu: float(anchors.helix_clay(0.152, cu * 1e3)) / 1e3, 0.006, Mark.MEMORY)
        for cu, value in ((15, 2.45), (25, 4.08), (50, 8.17), (75, 12.25))
    ]  # fmt: skip
    return found
