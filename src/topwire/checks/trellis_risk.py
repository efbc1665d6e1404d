"""Outside checks of the trellis' risk: gust profile, drag, roots, posts and builds whose fate in storms is known."""

import numpy as np

from topwire.catalogue.model import Mark
from topwire.checks import Check, checks_of
from topwire.trellis.failing import MODEL, Footing, failure_gust
from topwire.trellis.gust_load import canopy_band, drag, profile, size_factor
from topwire.trellis.known_builds import (
    FULL_CROP,
    KNOWN,
    LOAM_MOIST,
    LOAM_SOAKED,
    KnownBuild,
    known_gusts,
    known_middle,
)
from topwire.trellis.standing import clay_push, root_moment, section_modulus, soil_limit
from topwire.trellis.storm_year import DOWNBURST, WIDESPREAD, GustClimate

MPH = 0.44704
# Gusts [mph] at which builds go over, worked out apart: moist, soaked, soaked with roots left out, inner row (0.45).
_APART = {
    KnownBuild.SHALLOW: (81, 63, 44, 112),
    KnownBuild.USUAL: (82, 74, 58, 131),
    KnownBuild.LIGHT: (70, 62, 42, 109),
    KnownBuild.CLOSER: (100, 93, 83, 165),
    KnownBuild.STURDY: (151, 124, 111, 207),
    KnownBuild.WASHINGTON: (51, 43, 27, 77),
    KnownBuild.MICHIGAN: (40, 34, 23, 61),
    KnownBuild.ONTARIO: (108, 81, 68, 143),
}
_check = checks_of("Trellis")


def checks() -> list[Check]:
    """Profile and drag, roots and posts, builds against a separate program, and builds against storm reports."""
    return [*_gusts(), *_roots(), *_builds(), *_storms()]


def _gusts() -> list[Check]:
    found = [
        _check(f"gust pressure at {z:g} m over that at 10 m", "EN1991-1-4, peak pressure, terrain II", ratio,
               lambda z=z: float(profile(z)), 0.0006, Mark.COMPUTED)
        for z, ratio in ((2.0, 0.6051), (3.0, 0.6971))
    ]  # fmt: skip
    found += [
        _check(f"size factor of a gust on {b:g} m of row", "EN1991-1-4, Annex B", factor,
               lambda b=b: float(size_factor(b)), 0.0006, Mark.COMPUTED)
        for b, factor in ((9.144, 0.8890), (27.43, 0.8338), (60.0, 0.7821))
    ]  # fmt: skip
    found += [
        _check("one-row hedge in leaf, drag at 5 m/s: ours below it", "HEDGE-DRAG, abstract", 1.3,
               lambda: float(drag(5.0)), 0.6, Mark.READ),
        _check("crowns in leaf, middle of 0.15-0.47 at 20 m/s", "VOLLSINGER05", 0.4,
               lambda: float(drag(20.0)), 0.1, Mark.READ),
        _check("50-year gust over the mode of the yearly one", "ASCE7-16, return-period rule", 1 / 0.608,
               lambda: 40.0 / GustClimate.of(40.0).mode, 0.02, Mark.MEMORY),
        _check("force of a spindle's band 0.6-3.2 m [m]", "TRELLIS-SKETCH", 1.3305,
               lambda: canopy_band(3.2).force, 0.002, Mark.COMPUTED),
        _check("arm of that force [m]", "TRELLIS-SKETCH", 1.7693, lambda: canopy_band(3.2).arm, 0.002, Mark.COMPUTED),
    ]  # fmt: skip
    return found


def _roots() -> list[Check]:
    found = [
        _check(f"roots of a trunk of {mm} mm at 15 MPa [N m]", "TRELLIS-SKETCH", moment,
               lambda mm=mm: float(root_moment(mm / 1e3)), 1.0, Mark.COMPUTED)
        for mm, moment in ((45, 134.0), (50, 184.0), (55, 245.0), (60, 318.0))
    ]  # fmt: skip
    found += [
        _check("stress to tilt a young oak 5 degrees one season after planting [MPa]: ours for an apple on dwarf stock",
               "ROOT-PULL, table 3", 17.5,
               lambda: float(root_moment(0.055) / section_modulus(0.055)) / 1e6, 3.0, Mark.READ),
        _check("4 in pole 3 ft deep, 3 x 50 kPa over all of it, load at 1.9 m [N]", "POLE-NZGS08", 1338.0,
               lambda: float(soil_limit(clay_push(0.1016, 50e3, grows=0, rate=1.0), 0.9144, 1.9)), 5.0, Mark.COMPUTED),
        _check("the same by Broms, ours between it and the poles' [N]", "BROMS64", 2712.0,
               lambda: float(soil_limit(clay_push(0.1016, 50e3, rate=1.0), 0.9144, 1.9)), 350.0, Mark.COMPUTED),
    ]  # fmt: skip
    return found


# The same after the fit to storms, half of 300 drawn rows down: moist, soaked [mph]. Our quadrature draws the growth of
# the ground's push by depth as well, which that sketch kept fixed.
_FITTED = {
    KnownBuild.SHALLOW: (89, 68),
    KnownBuild.USUAL: (92, 76),
    KnownBuild.LIGHT: (80, 65),
    KnownBuild.CLOSER: (111, 99),
    KnownBuild.STURDY: (154, 124),
    KnownBuild.WASHINGTON: (58, 47),
    KnownBuild.MICHIGAN: (48, 34),
    KnownBuild.ONTARIO: (116, 81),
}


def _builds() -> list[Check]:
    found = [
        _check(
            f"{build.value} build, {'soaked' if soaked else 'moist'}, half of all rows down at [mph]",
            "TRELLIS-SKETCH, after its fit to storms",
            float(mph),
            lambda build=build, soaked=soaked: known_middle(build, soaked=soaked) / MPH,
            0.1 * mph,
            Mark.COMPUTED,
        )
        for build, gusts in _FITTED.items()
        for soaked, mph in zip((False, True), gusts, strict=True)
    ]
    for build, gusts in _APART.items():
        ways = (
            ("moist", {"soaked": False}),
            ("soaked", {"soaked": True}),
            ("soaked, roots left out", {"soaked": True, "trees": False}),
            ("soaked, inner row at 0.45 of the pressure", {"soaked": True, "shelter": 0.45}),
        )
        for (what, how), mph in zip(ways, gusts, strict=True):
            found.append(
                _check(
                    f"{build.value} build, {what}: goes over at [mph]",
                    "TRELLIS-SKETCH",
                    float(mph),
                    lambda build=build, how=how: float(known_gusts(build, **how, model=1.0)) / MPH,
                    2.5,
                    Mark.COMPUTED,
                )
            )
    return found


# Build, gust [mph], soaked, downburst, crop [kg/m], drag over full leaf, share of rows lost (a reading of the report).
_REPORTED = (
    ("Michigan 2009", KnownBuild.MICHIGAN, 65, False, True, 10.0, 1.0, 0.5),
    ("Ontario 2020", KnownBuild.ONTARIO, 85, False, True, 5.0, 1.0, 0.3),
    ("Dutchess County 2018", KnownBuild.USUAL, 95, False, True, 0.0, 0.6, 0.25),
    ("northern Michigan 2015", KnownBuild.USUAL, 85, False, True, 12.0, 1.0, 0.2),
    ("Memramcook 2019", KnownBuild.USUAL, 62, True, False, 20.0, 1.0, 0.1),
    ("Annapolis 2019", KnownBuild.USUAL, 68, True, False, 20.0, 1.0, 0.04),
    ("Annapolis 2022", KnownBuild.USUAL, 57, True, False, 20.0, 1.0, 0.01),
    ("Washington 2020", KnownBuild.LIGHT, 60, False, False, 25.0, 1.0, 0.01),
)
_OUTER = 0.15  # of a block's rows
_SCATTER = 0.28  # of ln gust, fitted


def _storms() -> list[Check]:
    """Blocks against what storms did to them: odds of a row going down, as a power of ten."""

    def lost(build: KnownBuild, mph: float, soaked: bool, downburst: bool, crop: float, leaf: float) -> float:
        from scipy.stats import norm

        ground = Footing(False, LOAM_SOAKED if soaked else LOAM_MOIST, 18e3, soaked)
        gusts = [
            float(
                failure_gust(
                    KNOWN[build].bay, ground, crop=crop, leaf=leaf, shelter=shelter, model=MODEL
                ).first
            )
            for shelter in (1.0, DOWNBURST if downburst else WIDESPREAD)
        ]
        outer, inner = (float(norm.cdf(np.log(mph * MPH / gust) / _SCATTER)) for gust in gusts)
        return _OUTER * outer + (1 - _OUTER) * inner

    def odds(share: float) -> float:
        return float(np.log10(share / (1 - share)))

    found = [
        _check(
            f"{where}, {mph} mph, {build.value} build: odds of a row to go down, power of ten",
            f"TRELLIS-STORMS, {where}",
            odds(share),
            lambda case=(build, mph, soaked, burst, crop, leaf): odds(lost(*case)),
            0.95,
            Mark.MEMORY,
        )
        for where, build, mph, soaked, burst, crop, leaf, share in _REPORTED
    ]
    found.append(
        _check("usual build on moist ground: its posts break before the ground yields (1 = yes)",
               "TRELLIS-STORMS, survey 2016: 60 percent of posts snapped or upended", 1.0, _snaps, 0.0, Mark.READ)
    )  # fmt: skip
    return found


def _snaps() -> float:
    found = failure_gust(KNOWN[KnownBuild.USUAL].bay, Footing(False, LOAM_MOIST, 18e3, False), crop=FULL_CROP)
    return float(found.snaps <= found.tips)
