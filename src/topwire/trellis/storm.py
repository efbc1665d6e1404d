"""The storm a plan designs for, in the form its wind is stated in: a three-second gust, or a ten-minute mean."""

from topwire.trellis import orography, wind
from topwire.trellis.asked import Storm
from topwire.trellis.kinds import WindForm

DEFAULT_GUST = 40.2  # [m/s] 90 mph, the 50-year gust of most of the inland United States (ASCE 7-05, MEMORY)
# Three-second gust over ten-minute mean in open country, 1.4 to 1.5 (MEMORY). It only names the storm: loads of a plan
# that states the mean come from the mean itself, by EN 1991-1-4.
GUST_OVER_MEAN = 1.45
CANOPY = 3.0  # [m] height the pressure is taken at
TERRAINS = {
    wind.WindExposure.B: wind.TERRAINS["III"],
    wind.WindExposure.C: wind.TERRAINS["II"],
    wind.WindExposure.D: wind.TERRAINS["0"],
}


def gust_of(storm: Storm, years: float) -> float:
    """Gust of a return period [m/s], by the rule of the form the plan uses (ASCE 7 commentary, or EN's c_prob)."""
    if storm.form is WindForm.MEAN:
        return storm.gust_50 * float(wind.season_factor(years))
    return storm.gust_50 * float(wind.return_factor(years) / wind.return_factor(50))


def pressure_at_1(storm: Storm, slope: float) -> float:
    """Velocity pressure of a gust of 1 m/s on a canopy on ground of this slope [Pa]."""
    if storm.form is WindForm.MEAN:
        terrain = TERRAINS[storm.exposure]
        return float(wind.peak_pressure(1 / GUST_OVER_MEAN, CANOPY, terrain, _orography(storm, slope)))
    return float(
        wind.gust_pressure(
            1.0,
            coefficient=wind.exposure_coefficient(CANOPY, storm.exposure),
            topography=_topography(storm, slope),
            elevation=max(storm.elevation, 0.0),
        )
    )


def _orography(storm: Storm, slope: float) -> float:
    """c_o of EN 1991-1-4: of the rise the plan states, else at the crest of a slope as steep as the block."""
    rise = storm.rise
    if rise is None:
        return orography.orography_factor(slope, 1.0)
    return orography.factor_of_rise(
        rise.shape, height=rise.height, length=2 * rise.half_length, distance=rise.distance
    )


def _topography(storm: Storm, slope: float) -> float:
    """Kzt of the rise the plan states, else of an escarpment as steep as the block."""
    rise = storm.rise
    if rise is None:
        return float(wind.slope_speed_up(slope))
    return wind.hill_speed_up(
        wind.HILL_SHAPES[rise.shape],
        storm.exposure,
        rise=rise.height,
        half_length=rise.half_length,
        distance=rise.distance,
        height=0.0,  # at the ground, where the speed-up is greatest
    )
