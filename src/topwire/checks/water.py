"""WaterNeed for water and soil balance held against handbooks and sums worked by hand."""

from collections.abc import Iterator
from functools import cache

import numpy as np

from topwire.catalogue.model import Mark
from topwire.checks import Check, checks_of, figure, table
from topwire.water import balance, demand, emitter, quality, settling, wetting

_PRINT = 0.5  # [mm] tables printed without decimals
_check = checks_of("Water")


def checks() -> list[Check]:
    """All checks of the Water department."""
    return [
        *_balance(),
        *_available_water(),
        *_coefficients(),
        *_volumes(),
        *_wetting(),
        *_salt(),
        *_iron(),
    ]


@cache
def _ten_days() -> balance.Balance:
    rows = table("water_balance.csv")
    reference = np.array([[float(row["ETo_mm"])] for row in rows])
    rain = np.array([[float(row["rain_mm"])] for row in rows])
    # one coefficient for crop and soil together: nothing evaporates beside it
    drive = balance.Drive(reference, rain, np.full_like(reference, 0.95), mulch=0.0)
    soil = balance.SoilStore(0.26, 0.13, 1.0, 1.0, 0.5)
    return balance.run(drive, soil, balance.Rule(most_per_day=0.0), start=40.0)


def _balance() -> Iterator[Check]:
    """Ten days of the bookkeeping of FAO-56 chapter 8, worked by hand."""
    for day, row in enumerate(table("water_balance.csv")):
        yield _check(
            f"depletion at the end of day {day + 1}, TAW 130 mm, Kc 0.95 (mm)",
            "FAO56, equations 84 and 85, bookkeeping by hand",
            float(row["Dr_end_mm"]),
            lambda day=day: float(_ten_days().depletion[day, 0]),
            6e-5,
        )
        if float(row["Ks"]) < 1:
            yield _check(
                f"stress factor on day {day + 1} (-)",
                "FAO56, equation 84, bookkeeping by hand",
                float(row["Ks"]),
                lambda day=day: float(_ten_days().stress[day, 0]),
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
            soil = balance.SoilStore(capacity, wilting, depth, 1.0, share)
            yield _check(
                f"total available water, {crop} on {name} (mm)",
                "FAO56, example 36",
                total,
                lambda soil=soil: float(soil.total_available),
                _PRINT,
            )
            yield _check(
                f"readily available water, {crop} on {name} (mm)",
                "FAO56, example 36",
                ready,
                lambda soil=soil, share=share: float(share * soil.total_available),
                _PRINT,
            )
    loam = balance.SoilStore(0.25, 0.12, 1.0)
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
        figure(demand.adjusted, 0.95, wind=3.0, humidity_least=30.0, height=3.5),
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
            lambda dense=dense, stand=stand: float(demand.basal_coefficient(dense(), stand())),
            6e-5,
        )
        yield _check(
            f"basal coefficient over grass of 0.75, {said} (-)",
            "AP09, by hand",
            grassed,
            lambda dense=dense, stand=stand: float(
                demand.basal_coefficient_with_grass(dense(), stand(), 0.75)
            ),
            6e-5,
        )
    yield _check(
        "ground wet and in the sun, cover 0.40, wetted 0.26 (by hand with 0.67 for two thirds) (-)",
        "FAO56, equation 75",
        0.1903,
        figure(demand.evaporating_share, 0.40, 0.26),
        5e-4,
    )
    yield _check(
        "evaporation coefficient, wet, basal 0.90, limit 1.20 (by hand with 0.67 for two thirds) (-)",
        "FAO56, equation 71",
        0.2284,
        figure(balance.evaporation_coefficient, 1.0, 1.2 - 0.9, 1.2 * 0.1903),
        1e-4,
    )


def _volumes() -> Iterator[Check]:
    yield _check(
        "wetted share, strip 0.9 m in rows of 3.5 m (%)",
        "KB90, by hand",
        25.7,
        lambda: 100 * emitter.wetted_share(0.9, 3.5),
        0.05,
    )


# Saturated conductivity [cm/h] and porosity by texture: Rawls, Brakensiek and Saxton (1982), from memory.
_TEXTURES = {"sandy loam": (2.59, 0.453), "loam": (1.32, 0.463), "silt loam": (0.68, 0.501)}


def _wetting() -> Iterator[Check]:
    """The wetted ground under one emitter: the equation by hand, and what holds the water against a second one."""
    by_hand = ((2, 4, 2.59, 0.338, 0.117), (4, 2, 1.32, 0.392, 0.183), (8, 4, 0.68, 0.575, 0.154))
    for litres, rate, conductivity, width, depth in by_hand:
        given = {"flow": rate / 3.6e6, "conductivity": conductivity / 3.6e5}
        for at, (name, said) in enumerate((("width", width), ("depth", depth))):
            yield _check(
                f"{name} wetted by {litres} L at {rate} L/h, {conductivity} cm/h (m)",
                "SZ86, equations, by hand",
                said,
                lambda litres=litres, given=given, at=at: float(wetting.bulb(litres / 1000, **given)[at]),
                6e-4,
            )
    for texture, (conductivity, pores) in _TEXTURES.items():
        for litres, rate in ((4, 2), (8, 4)):
            lacks = pores / 2
            given = {"flow": rate / 3.6e6, "conductivity": conductivity / 3.6e5, "lacks": lacks}
            drops, speed = 1000 * litres, 1000 * rate
            radius = lacks**-0.5626 * drops**0.2686 * speed**-0.0028 * conductivity**-0.0344
            depth = lacks**-0.383 * drops**0.365 * speed**-0.101 * conductivity**0.195
            for at, (name, said) in enumerate((("width", 2 * radius), ("depth", depth))):
                yield _check(
                    f"{name} of {texture} that holds {litres} L at {rate} L/h, dry to half its pores (cm)",
                    "AE06, equations",
                    said,
                    lambda litres=litres, given=given, at=at: (
                        100 * wetting.holding(litres / 1000, **given)[at]
                    ),
                    0.3 * said,
                )


def _salt() -> Iterator[Check]:
    for salt, left in ((1.7, 100), (2.3, 90), (3.3, 75), (4.8, 50)):
        yield _check(
            f"apple yield at {salt} dS/m, indicative (%)",
            "FAO29, 1976 table",
            left,
            figure(quality.yield_under_salt, salt),
            1.0,
        )


def _iron() -> Iterator[Check]:
    """The half-life follows from the published constant: ln 2 / (k [OH-]2 p(O2))."""
    for acidity, minutes in ((6.5, 41.3), (7.0, 4.13), (7.5, 0.413)):
        yield _check(
            f"half of the iron turned by air at pH {acidity}, 20.5 °C [min]", "STUMM61, rate constant 8.0e13", minutes,
            lambda acidity=acidity: float(settling.minutes_to_turn(1.0, 0.5, acidity, 20.5)), 0.01 * minutes,
            Mark.MEMORY,
        )  # fmt: skip
