"""Need for water, soil balance and hydraulics held against handbooks, EPANET and sums worked by hand."""

import csv
from collections.abc import Callable, Iterator, Mapping
from functools import cache, partial
from importlib.resources import files

import numpy as np

from topwire.catalogue.model import Mark
from topwire.checks import Check
from topwire.water import balance, demand, emitter, friction, quality
from topwire.water.lateral import Line, Run, solve_line
from topwire.water.network import Solution, comb, solve

_LPH = 1 / 3.6e6  # [m3/s] a litre an hour
_PRINT = 0.5  # [mm] tables printed without decimals


def checks() -> list[Check]:
    """All checks of the Water department."""
    return [
        *_balance(),
        *_available_water(),
        *_coefficients(),
        *_emitters(),
        *_friction(),
        *_outlets(),
        *_lines(),
        *_zone(),
        *_volumes(),
        *_salt(),
    ]


def _check(
    quantity: str,
    source: str,
    published: float,
    ours: Callable[[], float],
    tolerance: float,
    mark: Mark = Mark.MEMORY,
) -> Check:
    return Check("Water", quantity, source, published, ours, tolerance, mark)


def _number(function: Callable[..., object], *values: object, **named: object) -> Callable[[], float]:
    return lambda: float(np.asarray(function(*values, **named)))


def _table(name: str) -> tuple[Mapping[str, str], ...]:
    with files("topwire.checks").joinpath("data", name).open(encoding="utf-8") as stream:
        return tuple(csv.DictReader(stream))


@cache
def _ten_days() -> balance.Balance:
    rows = _table("water_balance.csv")
    reference = np.array([[float(row["ETo_mm"])] for row in rows])
    rain = np.array([[float(row["rain_mm"])] for row in rows])
    return balance.single_coefficient_run(reference, rain, 0.95, total=130.0, tabled_share=0.5, start=40.0)


def _balance() -> Iterator[Check]:
    """Ten days of the bookkeeping of FAO-56 chapter 8, worked by hand."""
    for day, row in enumerate(_table("water_balance.csv")):
        yield _check(
            f"depletion at the end of day {day + 1}, TAW 130 mm, Kc 0.95 (mm)",
            "FAO56, equations 84 and 85, bookkeeping by hand",
            float(row["Dr_end_mm"]),
            lambda day=day: float(_ten_days().depletion[day, 0]),  # type: ignore[misc]
            6e-5,
        )
        if float(row["Ks"]) < 1:
            yield _check(
                f"stress factor on day {day + 1} (-)",
                "FAO56, equation 84, bookkeeping by hand",
                float(row["Ks"]),
                lambda day=day: float(_ten_days().stress[day, 0]),  # type: ignore[misc]
                6e-6,
            )


def _available_water() -> Iterator[Check]:
    """Total and readily available water of example 36."""
    soils = {"loamy sand": (0.15, 0.06), "silt": (0.32, 0.15), "silty clay": (0.35, 0.23)}
    printed = {
        ("onion", 0.4, 0.30): ((36, 11), (68, 20), (48, 14)),
        ("tomato", 0.8, 0.40): ((72, 29), (136, 54), (96, 38)),
        ("maize", 1.2, 0.55): ((108, 59), (204, 112), (144, 79)),
    }
    for (crop, depth, share), pairs in printed.items():
        for (name, (capacity, wilting)), (total, ready) in zip(soils.items(), pairs, strict=True):
            soil = balance.Soil(capacity, wilting, depth, 1.0, share)
            yield _check(
                f"total available water, {crop} on {name} (mm)",
                "FAO56, example 36",
                total,
                lambda soil=soil: float(soil.total_available),  # type: ignore[misc]
                _PRINT,
            )
            yield _check(
                f"readily available water, {crop} on {name} (mm)",
                "FAO56, example 36",
                ready,
                lambda soil=soil, share=share: float(share * soil.total_available),  # type: ignore[misc]
                _PRINT,
            )
    loam = balance.Soil(0.25, 0.12, 1.0)
    yield _check(
        "total evaporable water, loam 0.25/0.12, 0.10 m; the table has 16 to 22 (mm)",
        "FAO56-T19, loam",
        19.0,
        lambda: float(loam.total_evaporable),
        3.0,
        Mark.READ,
    )


def _coefficients() -> Iterator[Check]:
    yield _check(
        "mid-season coefficient 0.95 at 3 m/s, 30 %, 3.5 m (-)",
        "FAO56, equation 62",
        1.0547,
        _number(demand.adjusted, 0.95, wind=3.0, humidity_least=30.0, height=3.5),
        5e-5,
    )
    cases = (
        (2.0, 0.08, 2.0, 2.0, 45.0, 1.080, 0.2988, 0.8028),
        (2.5, 0.20, 1.5, 2.0, 45.0, 1.080, 0.4290, 0.8490),
        (3.5, 0.40, 1.5, 2.0, 45.0, 1.080, 0.7080, 0.9480),
        (3.5, 0.40, 2.0, 2.0, 45.0, 1.080, 0.8940, 1.0140),
        (3.5, 0.40, 1.5, 3.0, 30.0, 1.1743, 0.7646, 1.0046),
    )
    for height, cover, multiplier, wind, humidity, full, bare, grassed in cases:
        said = f"{height} m trees, cover {cover}, multiplier {multiplier}, {wind:g} m/s"

        def stand(height: float = height, wind: float = wind, humidity: float = humidity) -> float:
            return float(
                demand.full_cover_coefficient(height, stomata=0.9, wind=wind, humidity_least=humidity)
            )

        def dense(cover: float = cover, height: float = height, multiplier: float = multiplier) -> float:
            return float(demand.density(cover, height, multiplier=multiplier))

        yield _check(f"full-cover coefficient, {said} (-)", "AP09, by hand", full, stand, 5e-5)
        yield _check(
            f"basal coefficient over bare ground, {said} (-)",
            "AP09, by hand",
            bare,
            lambda dense=dense, stand=stand: float(demand.basal_coefficient(dense(), stand())),  # type: ignore[misc]
            6e-5,
        )
        yield _check(
            f"basal coefficient over grass of 0.75, {said} (-)",
            "AP09, by hand",
            grassed,
            lambda dense=dense, stand=stand: float(  # type: ignore[misc]
                demand.basal_coefficient_with_grass(dense(), stand(), 0.75)
            ),
            6e-5,
        )
    yield _check(
        "ground cover of a basal coefficient 0.90 at 3.5 m (-)",
        "FAO56, equation 76",
        0.3964,
        _number(demand.cover_from_coefficient, 0.90, least=0.15, most=1.20, height=3.5),
        5e-5,
    )
    for resistance, factor in ((150, 0.9190), (200, 0.8501), (250, 0.7908)):
        yield _check(
            f"stomata factor at {resistance} s/m, 20 deg C, 2 m/s (-)",
            "FAO56, equation 102",
            factor,
            _number(demand.stomata_factor, resistance, slope=0.14474, psychrometric=0.0665, wind=2.0),
            1e-4,
        )
    yield _check(
        "ground wet and in the sun, cover 0.40, wetted 0.26 (by hand with 0.67 for two thirds) (-)",
        "FAO56, equation 75",
        0.1903,
        _number(demand.evaporating_share, 0.40, 0.26),
        5e-4,
    )
    yield _check(
        "evaporation coefficient, wet, basal 0.90, limit 1.20 (by hand with 0.67 for two thirds) (-)",
        "FAO56, equation 71",
        0.2284,
        _number(balance.evaporation_coefficient, 1.0, most=1.2, basal=0.9, exposed=0.1903),
        1e-4,
    )


def _emitters() -> Iterator[Check]:
    yield _check(
        "k of 2.0 L/h at 10 m, x 0.5 (L/h)",
        "KB90",
        0.632456,
        _number(emitter.coefficient, 2.0, 10.0, 0.5),
        1e-6,
    )
    yield _check(
        "k of 1.6 L/h at 10 m, x 0.1 (L/h)",
        "KB90",
        1.270925,
        _number(emitter.coefficient, 1.6, 10.0, 0.1),
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
    for shaded, share in (
        (0.10, 0.316),
        (0.25, 0.5),
        (0.40, 0.632),
        (0.60, 0.775),
        (0.80, 0.894),
        (1.0, 1.0),
    ):
        yield _check(
            f"peak transpiration with {shaded:.0%} shade, share of full (-)",
            "KB90",
            share,
            _number(emitter.peak_share, shaded),
            5e-4,
        )


def _friction() -> Iterator[Check]:
    hazen = friction.hazen_williams(150)
    cases = (
        ("200 L/h in 13.6 mm", 200 * _LPH, 0.0136, 0.3824, 5201, 0.01617, 0.02040, 0.02070),
        ("500 L/h in 17.6 mm", 500 * _LPH, 0.0176, 0.5709, 10048, 0.02513, 0.02979, 0.03024),
        ("6 m3/h in 52.2 mm", 6 / 3600, 0.0522, 0.7788, 40653, 0.01256, 0.01318, None),
    )
    for said, flow, inside, speed, number, by_hazen, by_blasius, by_watters in cases:
        yield _check(
            f"velocity, {said} (m/s)", "WK78, by hand", speed, _number(friction.velocity, flow, inside), 5e-5
        )
        yield _check(
            f"Reynolds number, {said} (-)",
            "WK78, by hand",
            number,
            _number(friction.reynolds, flow, inside),
            0.5,
        )
        yield _check(
            f"Hazen-Williams C 150, {said} (m/m)",
            "EPANET, its constant 10.667",
            by_hazen,
            lambda flow=flow, inside=inside: float(hazen(np.asarray(flow), np.asarray(inside))[0]),  # type: ignore[misc]
            5e-6,
        )
        yield _check(
            f"Blasius, {said} (m/m)",
            "WK78, by hand",
            by_blasius,
            lambda flow=flow, inside=inside: float(friction.blasius(flow, inside)[0]),  # type: ignore[misc]
            5e-6 + 4e-4 * by_blasius,  # worked with g = 9.81 m/s2
        )
        if by_watters is not None:
            yield _check(
                f"short form, {said} (m/m)",
                "WK78",
                by_watters,
                _number(friction.watters_keller, flow, inside),
                6e-6,
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
            _number(friction.velocity, flow / 3600, inside_mm / 1000),
            0.005,
        )


def _outlets() -> Iterator[Check]:
    for row in _table("outlet_factor.csv"):
        outlets, power = int(row["outlets"]), float(row["exponent"])
        said = f"{outlets} outlets, exponent {power:g}"
        yield _check(
            f"outlet factor, {said} (-)",
            "CH42",
            float(row["christiansen"]),
            _number(friction.outlet_factor, outlets, power),
            6e-5,
        )
        yield _check(
            f"outlet factor, first at half a spacing, {said} (-)",
            "CH42",
            float(row["first_at_half"]),
            _number(friction.outlet_factor_from, outlets, power, 0.5),
            6e-5,
        )
        yield _check(
            f"outlet sum, {said} (-)",
            "CH42, the sum itself",
            float(row["exact_sum"]),
            _number(friction.outlet_factor_exact, outlets, power),
            6e-5,
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
            _number(
                friction.longest_level_run,
                flow * _LPH,
                spacing,
                inside,
                allowed=allowed,
                law=friction.hazen_williams(150),
                exponent=1.852,
            ),
            0.5,
        )
    even = emitter.Emitter(2.0 * _LPH, 0.0)
    line = Line(60, 1.0, 0.0136)
    yield _check(
        "loss along 60 outlets of exactly 2 L/h every 1 m in 13.6 mm, Hazen-Williams C 150 (m)",
        "CH42, by hand",
        0.1352,
        lambda: 20.0 - float(solve_line(line, even, 20.0, law=friction.hazen_williams(150)).head[-1]),
        5e-5,
    )
    yield _check(
        "the same by Blasius with its laminar tail; ours bridges Re 2000 to 2050 (m)",
        "WK78, by hand",
        0.1825,
        lambda: 20.0 - float(solve_line(line, even, 20.0).head[-1]),
        6e-4,
    )


@cache
def _line(case: str, method: str) -> Run:
    row = next(row for row in _table("emitter_lines.csv") if (row["case"], row["method"]) == (case, method))
    law = friction.hazen_williams(150) if "Hazen" in method else friction.blasius
    return solve_line(
        Line(
            int(row["emitters"]), float(row["spacing_m"]), float(row["inside_mm"]) / 1000, float(row["slope"])
        ),
        emitter.Emitter(float(row["coefficient_lph"]) * _LPH, float(row["exponent"])),
        float(row["inlet_head_m"]),
        law=law,
    )


def _lines() -> Iterator[Check]:
    """Three lines of 100 to 200 emitters: level, rising 2 %, falling 3 %."""
    quantities: tuple[tuple[str, str, Callable[[Run], float], float], ...] = (
        ("head_first_m", "first head (m)", lambda run: float(run.head[0]), 6e-4),
        ("head_last_m", "last head (m)", lambda run: float(run.head[-1]), 1.1e-3),
        ("flow_first_lph", "first flow (L/h)", lambda run: float(run.flow[0]) / _LPH, 1e-4),
        ("flow_last_lph", "last flow (L/h)", lambda run: float(run.flow[-1]) / _LPH, 1.1e-4),
        ("flow_total_lph", "total flow (L/h)", lambda run: run.total / _LPH, 2e-2),
        ("least_over_mean", "least over mean flow (-)", lambda run: run.least_over_mean, 2e-5),
        (
            "lowest_quarter",
            "mean of the lowest quarter (-)",
            lambda run: emitter.lowest_quarter(run.flow),
            3e-5,
        ),
    )
    for row in _table("emitter_lines.csv"):
        case, method = row["case"], row["method"]
        if method == "EPANET Darcy-Weisbach":
            continue  # another friction formula: compared in the tests within its own tolerance
        source = "EPANET, line" if "EPANET" in method else "WATER-CASES, line"
        for column, said, take, tolerance in quantities:
            yield _check(
                f"line {case} by {method.removeprefix('EPANET ')}: {said}",
                f"{source} {case}",
                float(row[column]),
                lambda case=case, method=method, take=take: take(_line(case, method)),  # type: ignore[misc]
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
    return solve(tree, emitter.Emitter(0.632456 * _LPH, 0.5), 16.0, law=friction.hazen_williams(150))


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
            lambda take=take: take(_small_zone()),  # type: ignore[misc]
            tolerance,
            Mark.READ,
        )


def _volumes() -> Iterator[Check]:
    yield _check(
        "wetted share, strip 0.9 m in rows of 3.5 m (%)",
        "KB90, by hand",
        25.7,
        lambda: 100 * emitter.wetted_share(0.9, 3.5),
        0.05,
    )


def _salt() -> Iterator[Check]:
    for salt, left in ((1.7, 100), (2.3, 90), (3.3, 75), (4.8, 50)):
        yield _check(
            f"apple yield at {salt} dS/m, indicative (%)",
            "FAO29, 1976 table",
            left,
            _number(quality.yield_under_salt, salt),
            1.0,
        )
