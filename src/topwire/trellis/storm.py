"""The storm a plan designs for, in the form its wind is stated in: a three-second gust, or a ten-minute mean."""

import numpy as np

from topwire.plan.model import Plan
from topwire.plan.place import Exposure
from topwire.trellis import wind
from topwire.units import Kind, shown

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
    topography = _topography(plan, slope)
    if plan.place.mean_wind is not None:
        peak = wind.peak_pressure(1 / GUST_OVER_MEAN, CANOPY, TERRAINS[plan.place.exposure])
        return float(np.asarray(topography) * peak)
    return float(
        wind.gust_pressure(
            1.0,
            coefficient=wind.exposure_coefficient(CANOPY, EXPOSURES[plan.place.exposure]),
            topography=topography,
            elevation=max(plan.place.elevation, 0.0),
        )
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
            f"EN 1991-1-4, exposure “{exposure}”; shown as the gust {GUST_OVER_MEAN} times the mean"
        )
    speed = shown(fifty_year_gust(plan), Kind.SPEED, plan.unit_system)
    origin = (
        "stated in the plan" if plan.place.gust is not None else "not checked: no gust is stated in the plan"
    )
    return (
        f"three-second gust at 33 ft (10 m) of {period} years from {speed} in 50 years ({origin}), "
        f"exposure “{exposure}”"
    )
