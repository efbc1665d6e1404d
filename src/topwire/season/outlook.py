"""The season of an orchard as it stood on one day: dates, crops, and what is known of the weather."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from topwire.phenology.seasons import begun_by
from topwire.season.asked import GrownCultivar
from topwire.season.crop import CropKnown, crops_of, frost_shares, levels, ratios_of
from topwire.season.dates import KnownPlace, SeasonDates, season_dates
from topwire.season.days_ahead import hours_ahead, with_days_ahead
from topwire.season.kept import OpenedFolder
from topwire.season.maturity import with_tests
from topwire.season.seen import Seen
from topwire.season.standing import standing_in
from topwire.weather.forecast import WeatherForecast
from topwire.weather.forecast_files import standard_offset
from topwire.weather.forecast_kept import kept_forecast
from topwire.weather.record import Weather


@dataclass(frozen=True)
class Outlook:
    """By the evening of a day.

    Attributes
    ----------
    record : weather to the day before; issued, ahead : a kept forecast and its days, None where there is none
    filled : days of the season's weather that were missing
    standing : every cultivar of the plan with the trees that stand by the records
    crops : by cultivar, of all its trees this year
    usual : nothing of this season is known yet, so its dates are those of any year
    """

    record: Weather
    issued: WeatherForecast | None
    ahead: Weather | None
    known: KnownPlace
    dates: SeasonDates
    filled: int
    standing: tuple[GrownCultivar, ...]
    crops: Mapping[str, CropKnown]
    usual: bool


def outlook_on(
    opened: OpenedFolder,
    day: date,
    seen: Seen,
    *,
    record: Weather | None = None,
    issued: WeatherForecast | None = None,
) -> Outlook:
    """The season from what was known on `day`.

    Parameters
    ----------
    record : in place of the folder's; days from `day` on are left out
    issued : a forecast in place of the one kept

    Raises
    ------
    Faults
        No year of the record is whole, or a kept forecast cannot be read.
    """
    basis, year = opened.basis, day.year
    known = opened.known(year, seen.dates)
    record = (record or opened.weather).before(day)
    # As with the records, by the evening of the day where the orchard lies.
    evening = np.datetime64(day + timedelta(days=1), "s") - np.timedelta64(
        standard_offset(basis.longitude), "h"
    )
    issued = issued or kept_forecast(opened.folder, evening)
    ahead = None if issued is None else hours_ahead(issued, day, record)
    joined = record if ahead is None else with_days_ahead(record, ahead, day)
    until = np.datetime64(day) + (0 if ahead is None else ahead.day.size)
    begun, filled = begun_by(joined, basis.latitude, year, until)
    dates = season_dates(known, begun, seen.this_year, seen.picked_on, colder=basis.colder)
    dates = with_tests(dates, basis.cultivars, seen.tests)
    learnt = levels(ratios_of(basis, frost_shares(known), seen))
    standing = standing_in(basis.cultivars, seen.trees, basis.rows)
    crops = crops_of(replace(basis, cultivars=standing), dates, year, seen, learnt)
    usual = not (begun.tmin.size or seen.this_year or seen.picked_on or seen.tests)
    return Outlook(record, issued, ahead, known, dates, filled, standing, crops, usual)
