"""The storm a plan designs for, in the form its wind is stated in: a three-second gust, or a ten-minute mean."""

from topwire.plan.model import Plan
from topwire.plan.place import Exposure
from topwire.plan.trees import Hill
from topwire.trellis import orography, wind
from topwire.values.units import Kind, shown

DEFAULT_GUST = 40.2  # [m/s] 90 mph, the 50-year gust of most of the inland United States (ASCE 7-05, MEMORY)
# Three-second gust over ten-minute mean in open country, 1.4 to 1.5 (MEMORY). It only names the storm: loads of a plan
# that states the mean come from the mean itself, by EN 1991-1-4.
GUST_OVER_MEAN = 1.45
CANOPY = 3.0  # [m] height the pressure is taken at
EXPOSURES = {
    Exposure.SHELTERED: wind.WindExposure.B,
    Exposure.OPEN_COUNTRY: wind.WindExposure.C,
    Exposure.OPEN_WATER: wind.WindExposure.D,
}
TERRAINS = {
    Exposure.SHELTERED: wind.TERRAINS["III"],
    Exposure.OPEN_COUNTRY: wind.TERRAINS["II"],
    Exposure.OPEN_WATER: wind.TERRAINS["0"],
}


def fifty_year_gust(plan: Plan) -> float:
    """Three-second gust of 50 years at 10 m [m/s]."""
    if plan.place.mean_wind is not None:
        return GUST_OVER_MEAN * plan.place.mean_wind
    return plan.place.gust or DEFAULT_GUST


def gust_of(plan: Plan, years: float) -> float:
    """Gust of a return period [m/s], by the rule of the form the plan uses (ASCE 7 commentary, or EN's c_prob)."""
    if plan.place.mean_wind is not None:
        return fifty_year_gust(plan) * float(wind.season_factor(years))
    return fifty_year_gust(plan) * float(wind.return_factor(years) / wind.return_factor(50))


def pressure_at_1(plan: Plan, slope: float) -> float:
    """Velocity pressure of a gust of 1 m/s on a canopy on ground of this slope [Pa]."""
    if plan.place.mean_wind is not None:
        terrain = TERRAINS[plan.place.exposure]
        return float(wind.peak_pressure(1 / GUST_OVER_MEAN, CANOPY, terrain, _orography(plan, slope)))
    return float(
        wind.gust_pressure(
            1.0,
            coefficient=wind.exposure_coefficient(CANOPY, EXPOSURES[plan.place.exposure]),
            topography=_topography(plan, slope),
            elevation=max(plan.place.elevation, 0.0),
        )
    )


def _orography(plan: Plan, slope: float) -> float:
    """c_o of EN 1991-1-4: of the rise the plan states, else at the crest of a slope as steep as the block."""
    trellis = plan.trellis
    if trellis.hill is None or trellis.hill_height is None or trellis.hill_half_length is None:
        return orography.orography_factor(slope, 1.0)
    return orography.factor_of_rise(
        orography.Rise.CLIFF if trellis.hill is Hill.ESCARPMENT else orography.Rise.HILL,
        height=trellis.hill_height,
        length=2 * trellis.hill_half_length,
        distance=trellis.crest_distance,
    )


def _topography(plan: Plan, slope: float) -> float:
    """Kzt of the rise the plan states, else of an escarpment as steep as the block."""
    trellis = plan.trellis
    if trellis.hill is None or trellis.hill_height is None or trellis.hill_half_length is None:
        return float(wind.slope_speed_up(slope))
    return wind.hill_speed_up(
        wind.HILL_SHAPES[trellis.hill.value],
        EXPOSURES[plan.place.exposure],
        rise=trellis.hill_height,
        half_length=trellis.hill_half_length,
        distance=trellis.crest_distance,
        height=0.0,  # at the ground, where the speed-up is greatest
    )


def basis(plan: Plan) -> str:
    """Where the design gust comes from."""
    period, exposure = plan.trellis.return_period, plan.place.exposure.value
    if plan.place.mean_wind is not None:
        mean = shown(plan.place.mean_wind, Kind.SPEED, plan.unit_system)
        return (
            f"storm of {period} years from a ten-minute mean of {mean} in 50 years (stated in the plan), by "
            f"EN 1991-1-4 (rising ground by its Annex A.3), exposure “{exposure}”; "
            f"shown as the gust {GUST_OVER_MEAN} times the mean"
        )
    speed = shown(fifty_year_gust(plan), Kind.SPEED, plan.unit_system)
    origin = (
        "stated in the plan" if plan.place.gust is not None else "not checked: no gust is stated in the plan"
    )
    return (
        f"three-second gust at 33 ft (10 m) of {period} years from {speed} in 50 years ({origin}), "
        f"exposure “{exposure}”"
    )
