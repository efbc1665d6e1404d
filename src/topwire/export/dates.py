"""Bloom and harvest of every cultivar in every weather year, as a CSV."""

from datetime import date, timedelta
from functools import cache
from math import isfinite

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.export.comma import csv_bytes, needed

_HEADER = (
    "cultivar", "year", "begin_of_bloom", "full_bloom", "petal_fall", "first_pick", "last_pick", "bloom_error_days",
    "harvest_error_days",
)  # fmt: skip


def dates_by_year(orchard: Orchard) -> bytes:
    """One line a cultivar and weather year; a date that is not reached is empty, errors are one standard deviation."""
    place = needed(orchard.place, "place")
    stages = [
        np.round(days).tolist()
        for days in (
            place.first_bloom,
            place.full_bloom,
            place.petal_fall,
            place.harvest_first,
            place.harvest_last,
        )
    ]
    rows = [
        (
            name,
            int(year),
            *(_iso(int(year), days[row][column]) for days in stages),
            round(float(place.bloom_error[column]), 1),
            round(float(place.harvest_error[column]), 1),
        )
        for column, name in enumerate(place.cultivars)
        for row, year in enumerate(place.years)
    ]
    return csv_bytes(_HEADER, rows)


@cache
def _iso(year: int, day: float) -> str:
    return (date(year, 1, 1) + timedelta(days=day - 1)).isoformat() if isfinite(day) else ""
