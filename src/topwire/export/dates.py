"""Bloom and harvest of every cultivar in every weather year, as a CSV."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.export.comma import csv_bytes, needed
from topwire.values.arrays import Floats, Integers

_HEADER = (
    "cultivar", "year", "begin_of_bloom", "full_bloom", "petal_fall", "first_pick", "last_pick", "bloom_error_days",
    "harvest_error_days",
)  # fmt: skip


def dates_by_year(orchard: Orchard) -> bytes:
    """One line a cultivar and weather year; a date that is not reached is empty, errors are one standard deviation."""
    place = needed(orchard.place, "place")
    stages = [
        _iso(place.years, days)
        for days in (
            place.first_bloom,
            place.full_bloom,
            place.petal_fall,
            place.harvest_first,
            place.harvest_last,
        )
    ]
    bloom_error, harvest_error = place.bloom_error.tolist(), place.harvest_error.tolist()
    rows = [
        (
            name,
            year,
            *(dates[row][column] for dates in stages),
            round(bloom_error[column], 1),
            round(harvest_error[column], 1),
        )
        for column, name in enumerate(place.cultivars)
        for row, year in enumerate(place.years.tolist())
    ]
    return csv_bytes(_HEADER, rows)


def _iso(years: Integers, days: Floats) -> list[list[str]]:
    """Dates of (years, cultivars) days of the year, to the nearest day; empty where there is none."""
    known = np.isfinite(days)
    first = (years - 1970).astype("datetime64[Y]").astype("datetime64[D]")
    dates = first[:, None] + np.where(known, np.round(days) - 1, 0).astype("timedelta64[D]")
    written: list[list[str]] = np.where(known, np.datetime_as_string(dates), "").tolist()
    return written
