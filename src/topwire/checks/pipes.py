"""Emitters, friction and networks of pipes held against handbooks, EPANET and sums worked by hand."""

from collections.abc import Callable, Iterator
from functools import cache, partial

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Mark
from topwire.checks import Check, checks_of, figure, table
from topwire.water import emitter, friction
from topwire.water.friction import Law
from topwire.water.lateral import Line, longest_line
from topwire.water.network import Solution, Tree, solve

Array = npt.NDArray[np.float64]

_LPH = 1 / 3.6e6  # [m3/s] a litre an hour
_HAZEN = 10.667  # [SI] constant of the Hazen-Williams equation as EPANET has it
_check = checks_of("Water")


def checks() -> list[Check]:
    """All checks of emitters and pipes."""
    return [*_emitters(), *_friction(), *_outlets(), *_lines(), *_zone()]


def hazen_williams(roughness: float) -> Law:
    """The Hazen-Williams law with C = `roughness`, in EPANET's constants."""

    def law(flow: npt.ArrayLike, diameter: npt.ArrayLike) -> tuple[Array, Array]:
        signed = np.asarray(flow, dtype=float)
        amount = np.maximum(np.abs(signed), 1e-12)
        loss = _HAZEN * amount**1.852 / (roughness**1.852 * np.asarray(diameter, dtype=float) ** 4.871)
        return np.sign(signed) * loss, 1.852 * loss / amount

    return law


def comb(
    *,
    supply: tuple[float, float],
    manifold_lengths: npt.ArrayLike,
    manifold_diameters: npt.ArrayLike,
    row_emitters: npt.ArrayLike,
    spacing: float,
    diameter: float,
    barb: float = 0.0,
) -> Tree:
    """A level comb: a supply pipe, a manifold with rows on it, equal emitters on each row.

    Parameters
    ----------
    supply : (length, diameter) [m]; its end is the first outlet of the manifold
    manifold_lengths, manifold_diameters : (rows - 1,) [m] between one row and the next
    row_emitters : (rows,) emitters on each, the first one spacing from the manifold
    spacing, diameter, barb : [m] of the rows
    """
    lengths = [0.0, supply[0], *np.asarray(manifold_lengths, dtype=float)]
    diameters = [1.0, supply[1], *np.asarray(manifold_diameters, dtype=float)]
    rows = np.asarray(row_emitters, dtype=np.int64)
    parent = [-1, *range(rows.size)]
    outlets = [0.0] * (rows.size + 1)
    for row, count in enumerate(rows):
        start = len(parent)
        parent += [row + 1, *range(start, start + count - 1)]
        lengths += [spacing + barb] * count
        diameters += [diameter] * count
        outlets += [1.0] * count
    return Tree(
        np.array(parent, dtype=np.int64),
        np.array(lengths),
        np.array(diameters),
        np.zeros(len(parent)),
        np.array(outlets),
    )


def chain(emitters: int, spacing: float, diameter: float, *, slope: float = 0.0, first: float = 1.0) -> Tree:
    """One line of emitters, the first at the share `first` of a spacing from the inlet. [m], [m/m]"""
    length = np.full(emitters + 1, spacing)
    length[:2] = 0.0, first * spacing
    return Tree(
        np.arange(-1, emitters),
        length,
        np.full(emitters + 1, diameter),
        slope * np.cumsum(length),
        np.concatenate([[0.0], np.ones(emitters)]),
    )


def _emitters() -> Iterator[Check]:
    yield _check(
        "k of 2.0 L/h at 10 m, x 0.5 (L/h)",
        "KB90",
        0.632456,
        figure(emitter.coefficient, 2.0, 10.0, 0.5),
        1e-6,
    )
    yield _check(
        "k of 1.6 L/h at 10 m, x 0.1 (L/h)",
        "KB90",
        1.270925,
        figure(emitter.coefficient, 1.6, 10.0, 0.1),
        1e-6,
    )
    steady = emitter.Emitter(1.270925 * _LPH, 0.1)
    yield _check("its flow at 20 m (L/h)", "KB90", 1.7148, lambda: float(steady.flow(20.0)) / _LPH, 5e-5)
    yield _check(
        "emission uniformity, Cv 0.05, 2 emitters a tree, least over mean 0.94 (%)",
        "KK75",
        89.78,
        lambda: 100 * emitter.emission_uniformity(0.94, 1.0, variation=0.05, per_tree=2),
        5e-3,
    )
    least = partial(emitter.least_flow, 2.0, 0.90, variation=0.04, per_tree=2)
    yield _check(
        "least flow for EU 90 %, Cv 0.04, 2 a tree, mean 2.0 (L/h)",
        "KK75",
        1.8671,
        lambda: float(least()),
        5e-5,
    )
    yield _check("head at that flow (m)", "KB90", 8.715, lambda: float((least() / 0.632456) ** 2), 5e-4)
    yield _check(
        "head the zone may lose (m)",
        "KB90",
        3.213,
        lambda: emitter.allowed_head_difference(10.0, (least() / 0.632456) ** 2),
        1e-3,
    )


def _friction() -> Iterator[Check]:
    cases = (
        ("200 L/h in 13.6 mm", 200 * _LPH, 0.0136, 0.3824, 5201, 0.02040, 0.02070),
        ("500 L/h in 17.6 mm", 500 * _LPH, 0.0176, 0.5709, 10048, 0.02979, 0.03024),
        ("6 m3/h in 52.2 mm", 6 / 3600, 0.0522, 0.7788, 40653, 0.01318, None),
    )
    for said, flow, inside, speed, number, by_blasius, by_watters in cases:
        yield _check(
            f"velocity, {said} (m/s)", "WK78, by hand", speed, figure(friction.velocity, flow, inside), 5e-5
        )
        yield _check(
            f"Reynolds number, {said} (-)",
            "WK78, by hand",
            number,
            figure(friction.reynolds, flow, inside),
            0.5,
        )
        yield _check(
            f"Blasius, {said} (m/m)",
            "WK78, by hand",
            by_blasius,
            lambda flow=flow, inside=inside: float(friction.blasius(flow, inside)[0]),
            5e-6 + 4e-4 * by_blasius,  # worked with g = 9.81 m/s2
        )
        if by_watters is not None:
            yield _check(
                f"Blasius beside the published short form, {said} (m/m)",
                "WK78",
                by_watters,
                lambda flow=flow, inside=inside: float(friction.blasius(flow, inside)[0]),
                0.02 * by_watters,
            )
    yield _check(
        "shaft power, 6 m3/h, 38 m, efficiency 0.60 (kW)",
        "KB90, by hand",
        1.036,
        lambda: friction.shaft_power(6 / 3600, 38.0, 0.60) / 1000,
        1e-3,
    )
    for inside_mm, flow in ((28, 3.33), (35.2, 5.25), (44, 8.21), (55.4, 13.0), (66, 18.5)):
        yield _check(
            f"velocity of {flow} m3/h in {inside_mm} mm (m/s)",
            "common practice, no source",
            1.5,
            figure(friction.velocity, flow / 3600, inside_mm / 1000),
            0.005,
        )


def _outlets() -> Iterator[Check]:
    """Even outlets solved as a network, beside Christiansen's factor and the sum it stands for."""
    for row in table("outlet_factor.csv"):
        outlets, power = int(row["outlets"]), float(row["exponent"])
        said = f"{outlets} outlets, exponent {power:g}"
        for column, name, source, first, tolerance in (
            ("christiansen", "outlet factor", "CH42, a rounded form of the sum", 1.0, 8e-4),
            (
                "first_at_half",
                "outlet factor, first at half a spacing",
                "CH42, a rounded form of the sum",
                0.5,
                8e-4,
            ),
            ("exact_sum", "outlet sum", "CH42, the sum itself", 1.0, 6e-5),
        ):
            yield _check(
                f"{name}, {said} (-)",
                source,
                float(row[column]),
                figure(_outlet_factor, outlets, power, first),
                tolerance,
            )
    runs = (
        ("2.0 L/h every 0.5 m in 13.6 mm, 2 m", 2.0, 0.5, 0.0136, 2.0, 197),
        ("2.0 L/h every 0.9 m in 13.6 mm, 2 m", 2.0, 0.9, 0.0136, 2.0, 160),
        ("1.6 L/h every 0.5 m in 13.6 mm, 10 m", 1.6, 0.5, 0.0136, 10.0, 402),
        ("2.3 L/h every 0.75 m in 17.6 mm, 3 m", 2.3, 0.75, 0.0176, 3.0, 280),
        ("1.6 L/h every 0.5 m in 17.6 mm, 10 m", 1.6, 0.5, 0.0176, 10.0, 625),
    )
    for said, flow, spacing, inside, allowed, count in runs:
        yield _check(
            f"most outlets on a level line, {said} of loss (-)",
            "CH42, with Hazen-Williams C 150",
            count,
            figure(
                longest_line,
                Line(spacing, inside),
                emitter.Emitter(flow * _LPH, 0.0),
                last_head=10.0,
                most_head=10.0 + allowed,
                law=hazen_williams(150),
            ),
            1.0,
        )
    even, line = emitter.Emitter(2.0 * _LPH, 0.0), chain(60, 1.0, 0.0136)
    yield _check(
        "loss along 60 outlets of exactly 2 L/h every 1 m in 13.6 mm, Hazen-Williams C 150 (m)",
        "CH42, by hand",
        0.1352,
        lambda: 20.0 - float(solve(line, even, 20.0, law=hazen_williams(150)).head[-1]),
        5e-5,
    )
    yield _check(
        "the same by Blasius with its laminar tail; ours bridges Re 2000 to 2050 (m)",
        "WK78, by hand",
        0.1825,
        lambda: 20.0 - float(solve(line, even, 20.0).head[-1]),
        6e-4,
    )


def _outlet_factor(outlets: int, power: float, first: float) -> float:
    """Loss in a pipe of even outlets over that of the same pipe with the whole flow at its end. [-]"""

    def law(flow: npt.ArrayLike, diameter: npt.ArrayLike) -> tuple[Array, Array]:
        amount = np.maximum(np.abs(np.asarray(flow, dtype=float)), 1e-9)
        loss = np.sign(flow) * amount**power
        return loss, power * amount ** (power - 1)

    tree = chain(outlets, 1.0, 1.0, first=first)
    lost = 100.0 - float(solve(tree, emitter.Emitter(1.0 / outlets, 0.0), 100.0, law=law).head[-1])
    return lost / (outlets - 1 + first)


@cache
def _line(case: str, method: str) -> Array:
    """Solved heads and flows of a line of emitters, the two rows of an array. [m], [m3/s]"""
    row = next(row for row in table("emitter_lines.csv") if (row["case"], row["method"]) == (case, method))
    law: Law = hazen_williams(150) if "Hazen" in method else friction.blasius
    found = solve(
        chain(
            int(row["emitters"]),
            float(row["spacing_m"]),
            float(row["inside_mm"]) / 1000,
            slope=float(row["slope"]),
        ),
        emitter.Emitter(float(row["coefficient_lph"]) * _LPH, float(row["exponent"])),
        float(row["inlet_head_m"]),
        law=law,
    )
    return np.array([found.head[1:], found.outlet[1:]])


def _lines() -> Iterator[Check]:
    """Three lines of 100 to 200 emitters: level, rising 2 %, falling 3 %."""
    quantities: tuple[tuple[str, str, Callable[[Array], float], float], ...] = (
        ("head_first_m", "first head (m)", lambda run: float(run[0, 0]), 6e-4),
        ("head_last_m", "last head (m)", lambda run: float(run[0, -1]), 1.1e-3),
        ("flow_first_lph", "first flow (L/h)", lambda run: float(run[1, 0]) / _LPH, 1e-4),
        ("flow_last_lph", "last flow (L/h)", lambda run: float(run[1, -1]) / _LPH, 1.1e-4),
        ("flow_total_lph", "total flow (L/h)", lambda run: float(run[1].sum()) / _LPH, 2e-2),
        (
            "least_over_mean",
            "least over mean flow (-)",
            lambda run: float(run[1].min() / run[1].mean()),
            2e-5,
        ),
        (
            "lowest_quarter",
            "mean of the lowest quarter (-)",
            lambda run: emitter.lowest_quarter(run[1]),
            3e-5,
        ),
    )
    for row in table("emitter_lines.csv"):
        case, method = row["case"], row["method"]
        if method == "EPANET Darcy-Weisbach":
            continue  # another friction formula: compared in the tests within its own tolerance
        source = "EPANET, line" if "EPANET" in method else "WATER-CASES, line"
        for column, said, take, tolerance in quantities:
            yield _check(
                f"line {case} by {method.removeprefix('EPANET ')}: {said}",
                f"{source} {case}",
                float(row[column]),
                lambda case=case, method=method, take=take: take(_line(case, method)),
                tolerance,
                Mark.READ,
            )


@cache
def _small_zone() -> Solution:
    tree = comb(
        supply=(30.0, 0.0414),
        manifold_lengths=[3.5] * 7,
        manifold_diameters=[0.0352] * 7,
        row_emitters=[108] * 8,
        spacing=0.5,
        diameter=0.0136,
    )
    return solve(tree, emitter.Emitter(0.632456 * _LPH, 0.5), 16.0, law=hazen_williams(150))


def _zone() -> Iterator[Check]:
    """Eight rows of 108 emitters on one manifold."""
    quantities: tuple[tuple[str, float, Callable[[Solution], float], float], ...] = (
        ("head at the first row (m)", 15.83, lambda zone: float(zone.head[1]), 5e-3),
        ("head at the last row (m)", 15.72, lambda zone: float(zone.head[8]), 5e-3),
        ("head at the first emitter (m)", 15.81, lambda zone: float(zone.head[9]), 5e-3),
        ("flow of the first emitter (L/h)", 2.515, lambda zone: float(zone.outlet[9]) / _LPH, 5e-4),
        ("head at the last emitter (m)", 15.19, lambda zone: float(zone.head[-1]), 5e-3),
        ("flow of the last emitter (L/h)", 2.465, lambda zone: float(zone.outlet[-1]) / _LPH, 5e-4),
        ("flow of the zone (m3/h)", 2.142, lambda zone: zone.total * 3600, 5e-4),
        (
            "least over mean flow (-)",
            0.9946,
            lambda zone: float(zone.outlet[9:].min() / zone.outlet[9:].mean()),
            5e-5,
        ),
    )
    for said, published, take, tolerance in quantities:
        yield _check(
            f"zone of 8 rows: {said}",
            "WATER-CASES, zone Z",
            published,
            lambda take=take: take(_small_zone()),
            tolerance,
            Mark.READ,
        )
