"""The year's storms of a place: its seasons by bloom and harvest, its ground by its own rain."""

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.layout.findings import Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.trellis.storm_year import YEAR, SeasonState
from topwire.trellis.wet_ground import USES, HeldWaterRow, drains_in, soaked_evenings, with_wetness
from topwire.values.arrays import Floats, Integers
from topwire.weather.evapotranspiration import reference_evapotranspiration
from topwire.weather.record import Weather

LEAFY_AFTER, LEAFLESS = 10.0, 315.0  # [d] after green tip; day of the year, mid November (common practice)
HEAVY_BEFORE = 45.0  # [d] before the first pick fruit weighs (common practice)
BARE, LEAFY, HEAVY = range(len(YEAR))
_WHOLE = 0.9  # of a record's days have rain


def storm_seasons(
    plan: Plan, catalogue: Catalogue, layout: Layout, seasons: PlaceSeasons | None, weather: Weather | None
) -> tuple[SeasonState, ...]:
    """Shares of soaked ground from the place's rain; those read from reports where no record tells."""
    texture = plan.place.soil.texture.value
    soil = next((row for row in catalogue.rows("soils_water", HeldWaterRow) if row.texture == texture), None)
    if weather is None or seasons is None or soil is None or np.isfinite(weather.rain).mean() < _WHOLE:
        return YEAR
    rain = np.nan_to_num(weather.rain)
    day = weather.day.astype("datetime64[D]")
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64) + 1
    wanted = reference_evapotranspiration(
        day_of_year=of_year,
        tmin=weather.tmin,
        tmax=weather.tmax,
        latitude=plan.place.latitude,
        elevation=plan.place.elevation,
        dew=weather.dew_point,
        wind=weather.wind,
        sun=weather.sun,
    ).amount
    holds = 1000 * plan.place.soil.depth * (soil.field_capacity - soil.wilting_point)
    soaked = soaked_evenings(rain, USES * np.nan_to_num(wanted), holds=holds, drains=drains_in(soil.texture))
    return with_wetness(YEAR, _seasons(of_year, layout, seasons), rain, soaked)


def _seasons(of_year: Integers, layout: Layout, seasons: PlaceSeasons) -> Integers:
    """Number of each day's season: bare, in leaf with small fruit, heavy with fruit."""
    here = [seasons.cultivars.index(name) for name in layout.cultivars if name in seasons.cultivars]

    def middle(days: Floats, usual: float) -> float:
        """To ten days: a plan with a few other cultivars asks for the same trellis."""
        known = days[np.isfinite(days)]
        return 10.0 * round(float(np.median(known)) / 10) if known.size else usual

    leafy = middle(seasons.green_tip, 95.0) + LEAFY_AFTER
    first, last = middle(seasons.harvest_first[:, here], 250.0), middle(seasons.harvest_last[:, here], 280.0)
    found = np.full(of_year.shape, BARE)
    found[(of_year >= leafy) & (of_year < LEAFLESS)] = LEAFY
    found[(of_year >= first - HEAVY_BEFORE) & (of_year <= min(last, LEAFLESS))] = HEAVY
    return found
