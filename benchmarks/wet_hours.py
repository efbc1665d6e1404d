"""How far wet hours made out of daily weather miss those measured: the errors that protection/wetness.py states.

    OMP_NUM_THREADS=1 python benchmarks/wet_hours.py

Hours are those of a typical year at Greensboro, North Carolina (GREENSBORO-TMY3), as the tests' library pvlib carries
them; its rain is in tenths of a millimetre. Wet means rain in the hour or 90 % humidity. Each line: mean wet hours a
day measured and made, and the root mean square of their difference, April to September. Three seconds.
"""

import csv
from pathlib import Path

import numpy as np

from topwire.protection import wetness
from topwire.protection.year import BELOW_LOW
from topwire.weather.air import relative_humidity
from topwire.weather.hours import hourly_temperature

LATITUDE = 36.1
SUMMER = slice(90, 273)


def read() -> dict[str, np.ndarray]:
    """(365, 24) of temperature, dew point, humidity, rain."""
    import pvlib

    path = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    with path.open(encoding="utf-8", newline="") as stream:
        next(stream)
        rows = list(csv.DictReader(stream))
    names = {
        "air": "Dry-bulb (C)",
        "dew": "Dew-point (C)",
        "humidity": "RHum (%)",
        "rain": "Lprecip depth (mm)",
    }
    return {
        name: np.array([float(row[column]) for row in rows]).reshape(365, 24)
        for name, column in names.items()
    }


def main() -> None:
    hours = read()
    rain = np.maximum(hours["rain"], 0.0) / 10.0
    wet = (hours["humidity"] >= wetness.HUMID) | (rain > 0.02)
    low, high = hours["air"].min(axis=1), hours["air"].max(axis=1)
    curve = hourly_temperature(np.arange(365) + 1, low, high, LATITUDE)
    laid = wetness.laid_rain(rain.sum(axis=1))
    five = np.arange(24)[None, :] < np.minimum(24, np.ceil(rain.sum(axis=1) * 12 / 5))[:, None]
    for name, dew, rained in (
        ("dew point of the day", hours["dew"].mean(axis=1), laid),
        ("no dew point", low - BELOW_LOW, laid),
        ("no dew point, 12 h for 5 mm", low - BELOW_LOW, five),
    ):
        made = rained | (relative_humidity(curve, np.repeat(dew[:, None], 24, axis=1)) >= wetness.HUMID)
        for days, which in (("all", rain.sum(axis=1) >= 0), ("rainy", rain.sum(axis=1) >= wetness.RAIN)):
            taken = which[SUMMER]
            a, b = wet[SUMMER].sum(axis=1)[taken], made[SUMMER].sum(axis=1)[taken]
            miss = float(np.sqrt(np.mean((a - b) ** 2.0)))
            print(
                f"{name:28} {days:6} days: {a.mean():5.1f} h measured, {b.mean():5.1f} h made, {miss:4.1f} h missed"
            )


if __name__ == "__main__":
    main()
