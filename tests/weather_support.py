"""Invented weather files for the tests of the weather room."""

from pathlib import Path

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Days = npt.NDArray[np.datetime64]


def invented_days(
    first: str, last: str, *, seed: int = 1, warmer: float = 0.0
) -> tuple[Days, Array, Array, Array]:
    """Days, lowest, highest [deg C] and rain [mm] of a cool temperate place that is not."""
    day = np.arange(first, last, dtype="datetime64[D]")
    of_year = (day - day.astype("datetime64[Y]")).astype(np.int64)
    draws = np.random.default_rng(seed)
    noise = np.zeros(day.size)
    for at, shock in enumerate(draws.normal(0.0, 2.5, day.size)):
        noise[at] = 0.6 * noise[at - 1] + shock if at else shock
    middle = 10 - 11 * np.cos(2 * np.pi * (of_year - 18) / 365.25) + noise + warmer
    swing = draws.uniform(3.0, 7.0, day.size)
    rain = np.where(draws.random(day.size) < 0.3, draws.exponential(7.0, day.size) + 0.3, 0.0)
    return day, np.round(middle - swing, 1), np.round(middle + swing, 1), np.round(rain, 1)


def write_daily(path: Path, day: Days, tmin: Array, tmax: Array, rain: Array) -> Path:
    """A plain daily file; NaN becomes an empty cell."""

    def cell(value: float) -> str:
        return "" if np.isnan(value) else repr(float(value))

    rows = [
        f"{one},{cell(low)},{cell(high)},{cell(wet)}"
        for one, low, high, wet in zip(day, tmin, tmax, rain, strict=True)
    ]
    path.write_text("\n".join(["date,tmin_c,tmax_c,rain_mm", *rows]) + "\n")
    return path
