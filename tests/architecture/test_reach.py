"""Nothing stands that no command reaches; no check proves code that plans do not use."""

# ruff: noqa: SIM905

from functools import cache
from pathlib import Path

from architecture.reach import Module, Place, reached, read

import topwire

SOURCE = Path(topwire.__file__).parent
MAIN = "topwire.cli.main"
CHECKS = "topwire.checks"
# Reached in ways a reader of the source does not see.
BESIDE = {
    "topwire": {"__version__", "read", "check", "plan_orchard", "tables"},  # the interface for other programs
    "topwire.catalogue.manual": None,  # python -m topwire.catalogue.manual writes docs/tables.md
    "topwire.records.manual": None,  # python -m topwire.records.manual writes docs/records.md
    "topwire.plan.manual": None,  # python -m topwire.plan.manual writes docs/plan.md
}


# Written for the season's desk, which will reach it, or for tests that read pages. This list may only become shorter.
WAITING = {
    "topwire.book.blocks": "all_text".split(),
    "topwire.values.quantities": "Millimetres".split(),
    "topwire.water.week": (
        "Array LENGTH WeekAdvice ZoneAdvice _LATE _advise _depth _leaf _year this_week "
    ).split(),
    "topwire.weather.coverage": "YearOfRecord coverage".split(),
}
# Rules that stand beside those plans use and are held against published figures; plans do not use them. Likewise.
ONLY_PROVEN = {
    "topwire.phenology.heat": "Daily Wave horizontal_cutoff in_halves triangle_above".split(),
    "topwire.trellis.anchors": "concrete_area deadman_length".split(),
    "topwire.trellis.catenary": "Catenary _greatest_sag _reach elastic_catenary".split(),
    "topwire.trellis.ends": (
        "EndForces _beam_moment diagonal h_brace length_ratio_of_plates pull tie_back "
    ).split(),
    "topwire.trellis.ground_post": "fixed_post".split(),
    "topwire.trellis.loads": "crop_per_metre".split(),
    "topwire.trellis.post": (
        "CROP_SEASON SHORT_LOAD TEN_YEARS TEST_TO_TEN_YEARS allowable_stress band_deflection flexibility "
        "propped_cantilever rupture_moment storm_gust "
    ).split(),
    "topwire.trellis.soil": (
        "_free_step code_depth_free code_depth_restrained code_parameter rigid_post "
    ).split(),
    "topwire.trellis.wind": (
        "_EXPONENT_2022 aerodynamic_porosity exposure_coefficient_2022 porosity_factor "
    ).split(),
    "topwire.trellis.wire": (
        "_pull end_tension gauge_tension lost_to_movement point_load resultant sag sliding_tension "
    ).split(),
    "topwire.weather.air": "vapour_pressure_from_humidity".split(),
    "topwire.weather.evapotranspiration": "penman_monteith_hourly".split(),
    "topwire.weather.hours": (
        "PARTON_COOLING PARTON_DELAY PARTON_LAG _parton_logan hourly_temperature_exponential "
    ).split(),
    "topwire.weather.radiation": "net_longwave_hourly radiation_from_sunshine".split(),
    "topwire.weather.sun": "daylight_hours_fao hourly_extraterrestrial_radiation solar_time_angle".split(),
    "topwire.weather.sun_position": "Array _DELTA_T _EPOCH sun_position".split(),
}


@cache
def modules() -> dict[str, Module]:
    return read(SOURCE, "topwire")


def _commands(*, with_checks: bool) -> set[Place]:
    main = modules()[MAIN]
    roots = [(MAIN, name) for name in main.bodies if with_checks or name != "sources"]
    roots += [(module, name) for module in BESIDE if module in modules() for name in modules()[module].bodies]
    if with_checks:
        roots += [
            (name, body)
            for name, module in modules().items()
            if name.startswith(CHECKS)
            for body in module.bodies
        ]
    return reached(modules(), roots)


def _told(places: set[Place]) -> str:
    return "\n".join(sorted(f"{module}: {name}" for module, name in places))


def test_everything_is_reached_from_a_command() -> None:
    found = _commands(with_checks=True)
    every = {(name, body) for name, module in modules().items() for body in module.bodies if body}
    every = {place for place in every if not place[1].startswith("__")}
    idle = {place for place in every - found if place[1] not in WAITING.get(place[0], ())}
    assert not idle, _told(idle)


def test_checks_prove_code_that_plans_use() -> None:
    used = _commands(with_checks=False)
    proven = _commands(with_checks=True)
    only_proven = {place for place in proven - used if not place[0].startswith(CHECKS) and place[1]}
    only_proven = {place for place in only_proven if place not in _sources_command()}
    only_proven = {place for place in only_proven if place[1] not in ONLY_PROVEN.get(place[0], ())}
    assert not only_proven, _told(only_proven)


def _sources_command() -> set[Place]:
    """What the command that lists sources and checks needs for itself."""
    return {
        place
        for place in reached(modules(), [(MAIN, "sources")])
        if place[0].startswith(("topwire.cli", "topwire.sources"))
    }
