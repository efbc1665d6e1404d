"""The columns of a plain table: what they may be called, and their way to the units of the house.

A name ends in its unit: tmin_c, rain_in. A file may state its units above the header instead, one line each:
``# temperature: F``, ``# rain: in``, ``# wind: mph``; its columns then need no ending.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np
import numpy.typing as npt

from topwire.values.fault import FileNotice, fault
from topwire.weather.air import wind_at_two_metres

Array = npt.NDArray[np.float64]
Convert = Callable[[Array], Array]


@dataclass(frozen=True)
class WeatherColumn:
    """A column of ours in a file.

    Attributes
    ----------
    name : what the house calls it
    convert : values as written to the unit of the house
    """

    name: str
    convert: Convert


def _same(values: Array) -> Array:
    return values


def _fahrenheit(values: Array) -> Array:
    return (values - 32) / 1.8


def _times(factor: float) -> Convert:
    return lambda values: values * factor


def _from_ten_metres(factor: float) -> Convert:
    return lambda values: wind_at_two_metres(values * factor, 10.0)


_TEMPERATURE: dict[str, Convert] = {"c": _same, "f": _fahrenheit}
_RAIN = {"mm": _same, "in": _times(25.4)}
_SPEEDS = {"m_s": 1.0, "km_h": 1 / 3.6, "mph": 0.44704, "kn": 1852 / 3600}
_WIND: dict[str, Convert] = {unit: _times(factor) for unit, factor in _SPEEDS.items()}
_WIND_10 = {unit: _from_ten_metres(factor) for unit, factor in _SPEEDS.items()}


def _family(stem: str, units: Mapping[str, Convert], name: str) -> dict[str, WeatherColumn]:
    return {f"{stem}_{unit}": WeatherColumn(name, convert) for unit, convert in units.items()}


_BOTH = (
    _family("rain", _RAIN, "rain")
    | _family("dew_point", _TEMPERATURE, "dew_point")
    | _family("wind", _WIND, "wind")
    | _family("wind10", _WIND_10, "wind")
    | {"humidity_pct": WeatherColumn("humidity", _same)}
)
DAILY = (
    _family("tmin", _TEMPERATURE, "tmin")
    | _family("tmax", _TEMPERATURE, "tmax")
    | _BOTH
    | {"sun_mj_m2": WeatherColumn("sun", _same), "sun_w_m2": WeatherColumn("sun", _times(0.0864))}
)
HOURLY = (
    _family("temp", _TEMPERATURE, "temperature")
    | _BOTH
    | {"sun_mj_m2": WeatherColumn("sun", _same), "sun_w_m2": WeatherColumn("sun", _times(0.0036))}
)
_SYNONYMS = {
    "precip": "rain",
    "precipitation": "rain",
    "prcp": "rain",
    "rainfall": "rain",
    "min": "tmin",
    "max": "tmax",
    "min_temp": "tmin",
    "max_temp": "tmax",
    "temp_min": "tmin",
    "temp_max": "tmax",
    "temperature_min": "tmin",
    "temperature_max": "tmax",
    "minimum_temperature": "tmin",
    "maximum_temperature": "tmax",
    "t_min": "tmin",
    "t_max": "tmax",
    "temperature": "temp",
    "air_temperature": "temp",
    "air_temp": "temp",
    "dewpoint": "dew_point",
    "dew": "dew_point",
    "rh": "humidity",
    "relative_humidity": "humidity",
    "wind_speed": "wind",
    "wind_10m": "wind10",
    "solar": "sun",
    "radiation": "sun",
}
_UNITS = {
    "degc": "c",
    "deg_c": "c",
    "celsius": "c",
    "degf": "f",
    "deg_f": "f",
    "fahrenheit": "f",
    "inch": "in",
    "inches": "in",
    "m/s": "m_s",
    "ms": "m_s",
    "km/h": "km_h",
    "kmh": "km_h",
    "%": "pct",
    "percent": "pct",
    "mj/m2": "mj_m2",
    "w/m2": "w_m2",
}
_STATED = re.compile(r"#\s*(temperature|rain|wind)\s*[:=]\s*°?\s*(\S+)\s*$", re.IGNORECASE)
# Stems that take the unit stated above the header.
_STATED_STEMS = {
    "temperature": ("tmin", "tmax", "temp", "dew_point"),
    "rain": ("rain",),
    "wind": ("wind", "wind10"),
}
_CHOICES = {
    "tmin": "tmin_c or tmin_f",
    "tmax": "tmax_c or tmax_f",
    "temp": "temp_c or temp_f",
    "rain": "rain_mm or rain_in",
    "dew_point": "dew_point_c or dew_point_f",
    "wind": "wind_m_s, wind_km_h, wind_mph or wind_kn",
    "wind10": "wind10_m_s, wind10_km_h, wind10_mph or wind10_kn",
    "sun": "sun_mj_m2 or sun_w_m2",
    "humidity": "humidity_pct",
}
_SAID = {
    "tmin": "the day's lowest temperature",
    "tmax": "the day's highest temperature",
    "temperature": "temperature",
}


def stated_units(lines: Sequence[str]) -> dict[str, str]:
    """Stem of a column -> unit, out of the lines above the header."""
    stated = {}
    for line in lines:
        match = _STATED.match(line.strip())
        if match:
            unit = match[2].lower()
            for stem in _STATED_STEMS[match[1].lower()]:
                stated[stem] = _UNITS.get(unit, unit)
    return stated


def plain_name(written: str, stated: Mapping[str, str]) -> str:
    """A header cell in the spelling of this module: "Min temp (°F)" -> "tmin_f"."""
    name = re.sub(r"[()\[\]°\ufeff]", " ", written.lower())
    name = re.sub(r"\s+", "_", name.strip())
    for unit, ours in _UNITS.items():
        if name.endswith("_" + unit):
            name = name.removesuffix(unit) + ours
            break
    for stem in sorted(_SYNONYMS, key=len, reverse=True):
        if name == stem or (name.startswith(stem + "_") and name[len(stem) + 1 :] in _every_unit()):
            name = _SYNONYMS[stem] + name[len(stem) :]
            break
    return f"{name}_{stated[name]}" if name in stated else name


def _every_unit() -> set[str]:
    return {"c", "f", "mm", "in", "pct", "mj_m2", "w_m2", *_SPEEDS}


def find_columns(
    header: Sequence[str], known: Mapping[str, WeatherColumn], needed: Sequence[str], where: str
) -> tuple[dict[int, WeatherColumn], list[FileNotice]]:
    """Columns of ours by their place in the header, and what is wrong with the header.

    Parameters
    ----------
    header : names as :func:`plain_name` gives them
    known : DAILY or HOURLY
    needed : names of the house without which the file is of no use
    where : file and line, for messages
    """
    found = {at: known[name] for at, name in enumerate(header) if name in known}
    faults = []
    unit_missing = set()
    for name in header:
        if name in _CHOICES and name not in known and any(key.startswith(name) for key in known):
            unit_missing.add("temperature" if name == "temp" else name)
            faults.append(
                fault(where, f"the column “{name}” does not say its unit.", f"Call it {_CHOICES[name]}.")
            )
    have = {column.name for column in found.values()}
    for name in needed:
        if name in have or name in unit_missing:
            continue
        stem = "temp" if name == "temperature" else name
        others = [column for column in header if column not in known]
        near = get_close_matches(f"{stem}_c", others, n=1, cutoff=0.5)
        hint = f"Is it “{near[0]}”? " if near else ""
        faults.append(
            fault(where, f"there is no column of {_SAID[name]}.", f"{hint}Call it {_CHOICES[stem]}.")
        )
    for name in sorted(have):
        twice = [header[at] for at, column in found.items() if column.name == name]
        if len(twice) > 1:
            faults.append(fault(where, f"{' and '.join(twice)} say the same thing.", "Keep one of them."))
    return found, faults
