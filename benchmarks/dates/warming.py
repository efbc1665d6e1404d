"""A hindcast of warming: early years warmed by the difference of the late ones, held against the late years."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from dates.records import LATITUDES, Dates, Place

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.phenology.forecast import Forecast, forecast
from topwire.phenology.question import traits_of
from topwire.phenology.seasons import Seasons, cut
from topwire.weather.climate_change import change_between, changed, stated_change
from topwire.weather.record import Weather

LEAST = 12  # years of each half


def hindcast(records: Sequence[Dates]) -> None:
    """Prints bloom and frost of the late years beside the early ones warmed in three ways."""
    traits = traits_of(Catalogue(read_tables()))
    print(
        "\nhindcast: early half warmed by its difference from the late half; full bloom and bloom lost to frost"
    )
    for place in {dates.place.name: dates.place for dates in records}.values():
        half = place.years[place.years.size // 2]
        early, late = _part(place, before=int(half)), _part(place, after=int(half))
        if min(_cut(place, early).years.size, _cut(place, late).years.size) < LEAST:
            continue
        months = change_between("months", early, late)
        step = float((months.tmin + months.tmax).mean() / 2)
        days, nights = float(months.tmax.mean()), float(months.tmin.mean())
        ways = {
            "early": early,
            "late": late,
            "all hours alike": changed(early, stated_change("", warming=step)),
            "days and nights apart": changed(early, stated_change("", warming=days, nights=nights)),
            "month by month": changed(early, months),
        }
        april = f"April days {months.tmax[3]:+.1f} K, nights {months.tmin[3]:+.1f} K"
        print(f"  {place.name}: years to and from {half}, {step:+.1f} K; {april}")
        for name, weather in ways.items():
            found = forecast(_cut(place, weather), traits)
            bloom, lost = _told(found, traits.reference)
            print(f"    {name:<24} bloom {bloom:6.1f}   mean share of buds killed {lost:5.1%}")


def _told(found: Forecast, reference: int) -> tuple[float, float]:
    return float(np.nanmean(found.full_bloom[:, reference])), float(np.nanmean(found.kill[:, reference]))


def _cut(place: Place, weather: Weather) -> Seasons:
    return cut(weather, LATITUDES[place.name])


def _part(place: Place, *, before: int = 9999, after: int = 0) -> Weather:
    """The record from 1 October on of the years from `after` to `before`."""
    record = place.record
    first, last = np.datetime64(f"{max(after, 1000) - 1}-10-01"), np.datetime64(f"{before - 1}-12-31")
    keep = (record.day >= first) & (record.day <= last)

    return replace(
        record,
        day=record.day[keep],
        tmin=record.tmin[keep],
        tmax=record.tmax[keep],
        rain=record.rain[keep],
        filled=record.filled[keep],
        source=record.source[keep],
    )
