"""What a record holds, year by year: the table behind its gaps."""

from dataclasses import dataclass

import numpy as np

from topwire.weather.record import Weather


@dataclass(frozen=True)
class YearOfRecord:
    """One calendar year of a record.

    Attributes
    ----------
    year : calendar year
    days : of the year that lie within the record
    measured, filled, missing : days with both temperatures measured, filled by rule, still missing
    rain_missing : days without rain after filling
    files : names of the files that gave its days
    """

    year: int
    days: int
    measured: int
    filled: int
    missing: int
    rain_missing: int
    files: tuple[str, ...]


def coverage(weather: Weather) -> tuple[YearOfRecord, ...]:
    """Every calendar year the record touches."""
    year = weather.day.astype("datetime64[Y]").astype(np.int64) + 1970
    known = np.isfinite(weather.tmin) & np.isfinite(weather.tmax)
    filled = weather.filled if weather.temperature_filled is None else weather.temperature_filled
    rows = []
    for one in np.unique(year):
        here = year == one
        sources = np.unique(weather.source[here & (weather.source >= 0)])
        rows.append(
            YearOfRecord(
                year=int(one),
                days=int(here.sum()),
                measured=int((here & known & ~filled).sum()),
                filled=int((here & filled).sum()),
                missing=int((here & ~known).sum()),
                rain_missing=int((here & ~np.isfinite(weather.rain)).sum()),
                files=tuple(weather.files[at] for at in sources),
            )
        )
    return tuple(rows)
