"""People's units to SI and back; used at the edges only.

A quantity is written as people write it: ``12 ft``, ``3.6 m``, ``9 ft 6 in``, ``40 lb``, ``34 F``, ``15 mph``.
"""

import re
from dataclasses import dataclass
from enum import StrEnum
from math import floor, isfinite, log10

from topwire.values.figures import hold_commas, number_of


class UnitSystem(StrEnum):
    """The units a person reads: United States customary or metric."""

    US = "us"
    METRIC = "metric"


class Kind(StrEnum):
    """What a quantity measures; the comment names the SI unit held inside."""

    LENGTH = "length"  # m
    AREA = "area"  # m2
    MASS = "mass"  # kg
    VOLUME = "volume"  # m3
    TEMPERATURE = "temperature"  # deg C
    TEMPERATURE_STEP = "temperature step"  # K
    SPEED = "speed"  # m/s
    FLOW = "flow"  # m3/s
    PRESSURE = "pressure"  # Pa
    FORCE = "force"  # N
    RAIN = "rain"  # mm
    SLOPE = "slope"  # rise over run
    # Shown in results only; a plan states none of these.
    SMALL_LENGTH = "small length"  # m, shown in inches or centimetres
    FINE_LENGTH = "fine length"  # m, shown in inches or millimetres
    DISTANCE = "distance"  # m, shown in miles or kilometres
    GROUND = "ground"  # m2, shown in square feet or square metres
    SMALL_MASS = "small mass"  # kg, shown in ounces or grams
    SMALL_VOLUME = "small volume"  # m3, shown in gallons or litres
    SMALL_FLOW = "small flow"  # m3/s, shown in gallons or litres an hour
    SMALL_AREA = "small area"  # m2, shown in square inches or square centimetres
    LOAD_ON_LENGTH = "load on a length"  # kg/m
    FORCE_ON_LENGTH = "force on a length"  # N/m
    MOMENT = "moment"  # N m
    STRENGTH = "strength"  # Pa, shown in psi or MPa
    CROP = "crop"  # kg/m2, shown in short tons an acre or tonnes a hectare
    HEAT = "heat"  # K d, degree-days
    FRUIT_LOAD = "fruit load"  # fruits per m2 of trunk, shown per square inch or square centimetre


@dataclass(frozen=True)
class _Unit:
    factor: float
    offset: float = 0.0


_FOOT = 0.3048
_INCH = 0.0254
_POUND = 0.45359237
_GALLON = 3.785411784e-3
_ACRE = 4046.8564224
_POUND_FORCE = 4.4482216152605
_PSI = 6894.757293168

# Exact by definition (NIST SP 811, appendix B.8).
_UNITS: dict[Kind, dict[str, _Unit]] = {
    Kind.LENGTH: {
        "mm": _Unit(1e-3),
        "cm": _Unit(1e-2),
        "m": _Unit(1.0),
        "km": _Unit(1e3),
        "in": _Unit(_INCH),
        "ft": _Unit(_FOOT),
        "yd": _Unit(3 * _FOOT),
        "mi": _Unit(5280 * _FOOT),
    },
    Kind.AREA: {
        "m2": _Unit(1.0),
        "ha": _Unit(1e4),
        "ft2": _Unit(_FOOT**2),
        "acre": _Unit(_ACRE),
        "ac": _Unit(_ACRE),
    },
    Kind.MASS: {
        "g": _Unit(1e-3),
        "kg": _Unit(1.0),
        "t": _Unit(1e3),
        "oz": _Unit(_POUND / 16),
        "lb": _Unit(_POUND),
    },
    Kind.VOLUME: {
        "ml": _Unit(1e-6),
        "L": _Unit(1e-3),
        "l": _Unit(1e-3),
        "m3": _Unit(1.0),
        "gal": _Unit(_GALLON),
        "qt": _Unit(_GALLON / 4),
        "pt": _Unit(_GALLON / 8),
    },
    Kind.TEMPERATURE: {"C": _Unit(1.0), "F": _Unit(5 / 9, -32 * 5 / 9)},
    Kind.TEMPERATURE_STEP: {"C": _Unit(1.0), "K": _Unit(1.0), "F": _Unit(5 / 9)},
    Kind.SPEED: {
        "m/s": _Unit(1.0),
        "km/h": _Unit(1 / 3.6),
        "mph": _Unit(0.44704),
        "kn": _Unit(1852 / 3600),
    },
    Kind.FLOW: {
        "m3/s": _Unit(1.0),
        "m3/h": _Unit(1 / 3600),
        "L/s": _Unit(1e-3),
        "L/min": _Unit(1e-3 / 60),
        "L/h": _Unit(1e-3 / 3600),
        "gpm": _Unit(_GALLON / 60),
        "gph": _Unit(_GALLON / 3600),
    },
    Kind.PRESSURE: {
        "Pa": _Unit(1.0),
        "kPa": _Unit(1e3),
        "bar": _Unit(1e5),
        "psi": _Unit(_PSI),
    },
    Kind.FORCE: {"N": _Unit(1.0), "kN": _Unit(1e3), "lbf": _Unit(_POUND_FORCE)},
    Kind.RAIN: {"mm": _Unit(1.0), "in": _Unit(25.4)},
    Kind.SLOPE: {"%": _Unit(0.01)},
    Kind.LOAD_ON_LENGTH: {"kg/m": _Unit(1.0), "lb/ft": _Unit(_POUND / _FOOT)},
    Kind.FORCE_ON_LENGTH: {"N/m": _Unit(1.0), "lbf/ft": _Unit(_POUND_FORCE / _FOOT)},
    Kind.MOMENT: {"N m": _Unit(1.0), "lbf ft": _Unit(_POUND_FORCE * _FOOT)},
    Kind.STRENGTH: {"MPa": _Unit(1e6), "psi": _Unit(_PSI)},
    Kind.CROP: {"t/ha": _Unit(0.1), "ton/acre": _Unit(2000 * _POUND / _ACRE)},
    Kind.HEAT: {"°C d": _Unit(1.0), "°F d": _Unit(5 / 9)},
    Kind.FRUIT_LOAD: {"/cm2": _Unit(1e4), "/in2": _Unit(_INCH**-2)},
}
_UNITS |= {
    Kind.SMALL_LENGTH: _UNITS[Kind.LENGTH],
    Kind.FINE_LENGTH: _UNITS[Kind.LENGTH],
    Kind.DISTANCE: _UNITS[Kind.LENGTH],
    Kind.GROUND: _UNITS[Kind.AREA],
    Kind.SMALL_AREA: {"cm2": _Unit(1e-4), "in2": _Unit(_INCH**2)},
    Kind.SMALL_MASS: _UNITS[Kind.MASS],
    Kind.SMALL_VOLUME: _UNITS[Kind.VOLUME],
    Kind.SMALL_FLOW: _UNITS[Kind.FLOW],
}
_ALIASES = {
    "feet": "ft",
    "foot": "ft",
    "'": "ft",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "yard": "yd",
    "yards": "yd",
    "miles": "mi",
    "metre": "m",
    "metres": "m",
    "meter": "m",
    "meters": "m",
    "acres": "acre",
    "hectare": "ha",
    "hectares": "ha",
    "sqft": "ft2",
    "lbs": "lb",
    "pound": "lb",
    "pounds": "lb",
    "ounces": "oz",
    "tonne": "t",
    "tonnes": "t",
    "gallon": "gal",
    "gallons": "gal",
    "quart": "qt",
    "quarts": "qt",
    "pints": "pt",
    "litre": "L",
    "litres": "L",
    "liter": "L",
    "liters": "L",
    "°C": "C",
    "°F": "F",
    "degC": "C",
    "degF": "F",
    "kph": "km/h",
    "percent": "%",
}
# The unit a person is shown for each kind, by system.
_SHOWN = {
    UnitSystem.US: {
        Kind.LENGTH: "ft",
        Kind.AREA: "acre",
        Kind.MASS: "lb",
        Kind.VOLUME: "gal",
        Kind.TEMPERATURE: "F",
        Kind.TEMPERATURE_STEP: "F",
        Kind.SPEED: "mph",
        Kind.FLOW: "gpm",
        Kind.PRESSURE: "psi",
        Kind.FORCE: "lbf",
        Kind.RAIN: "in",
        Kind.SLOPE: "%",
        Kind.SMALL_LENGTH: "in",
        Kind.FINE_LENGTH: "in",
        Kind.DISTANCE: "mi",
        Kind.GROUND: "ft2",
        Kind.SMALL_AREA: "in2",
        Kind.SMALL_MASS: "oz",
        Kind.SMALL_VOLUME: "gal",
        Kind.SMALL_FLOW: "gph",
        Kind.LOAD_ON_LENGTH: "lb/ft",
        Kind.FORCE_ON_LENGTH: "lbf/ft",
        Kind.MOMENT: "lbf ft",
        Kind.STRENGTH: "psi",
        Kind.CROP: "ton/acre",
        Kind.HEAT: "°F d",
        Kind.FRUIT_LOAD: "/in2",
    },
    UnitSystem.METRIC: {
        Kind.LENGTH: "m",
        Kind.AREA: "ha",
        Kind.MASS: "kg",
        Kind.VOLUME: "m3",
        Kind.TEMPERATURE: "C",
        Kind.TEMPERATURE_STEP: "C",
        Kind.SPEED: "m/s",
        Kind.FLOW: "m3/h",
        Kind.PRESSURE: "kPa",
        Kind.FORCE: "N",
        Kind.RAIN: "mm",
        Kind.SLOPE: "%",
        Kind.SMALL_LENGTH: "cm",
        Kind.FINE_LENGTH: "mm",
        Kind.DISTANCE: "km",
        Kind.GROUND: "m2",
        Kind.SMALL_AREA: "cm2",
        Kind.SMALL_MASS: "g",
        Kind.SMALL_VOLUME: "L",
        Kind.SMALL_FLOW: "L/h",
        Kind.LOAD_ON_LENGTH: "kg/m",
        Kind.FORCE_ON_LENGTH: "N/m",
        Kind.MOMENT: "N m",
        Kind.STRENGTH: "MPa",
        Kind.CROP: "t/ha",
        Kind.HEAT: "°C d",
        Kind.FRUIT_LOAD: "/cm2",
    },
}
_PRINTED = {
    "C": "°C", "F": "°F", "m2": "m²", "ft2": "ft²", "cm2": "cm²", "in2": "in²", "m3": "m³", "m3/h": "m³/h",
    "m3/s": "m³/s", "/cm2": "/cm²", "/in2": "/in²",
}  # fmt: skip
_TERM = re.compile(
    r"\s*([-+−]?(?:\d[\d,]*\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*([^\d\s,+\-][^\s\d]*[23]?(?:/\w+)?)\s*"
)


def to_si(value: float, unit: str, kind: Kind) -> float:
    """`value` in `unit` as the SI unit of `kind`.

    Raises
    ------
    ValueError
        When the unit is not one of this kind; the message lists those that are.
    """
    entry = _find(unit, kind)
    return value * entry.factor + entry.offset


def from_si(value: float, unit: str, kind: Kind) -> float:
    """SI `value` of `kind` in `unit`; inverse of :func:`to_si`."""
    entry = _find(unit, kind)
    return (value - entry.offset) / entry.factor


def parse(text: str, kind: Kind) -> float:
    """A quantity as people write it, in SI.

    Sums of terms in one dimension are allowed where people use them ("9 ft 6 in", "5 lb 4 oz").

    Raises
    ------
    ValueError
        With a sentence that says what is wrong and what would be right.
    """
    position, total, terms = 0, 0.0, 0
    stripped = text.strip()
    hold_commas(stripped)
    negative = stripped.startswith(("-", "−"))
    while position < len(stripped):
        match = _TERM.match(stripped, position)
        if match is None:
            raise ValueError(f"“{text}” is not a {kind} with a unit; write for instance “{example(kind)}”")
        number = number_of(match[1].replace("−", "-"))
        if not isfinite(number):
            raise ValueError(f"“{text[:60]}” is not a finite {kind}; write for instance “{example(kind)}”")
        if terms and (kind not in (Kind.LENGTH, Kind.MASS) or number < 0):
            raise ValueError(f"“{text}” is not one {kind}; write for instance “{example(kind)}”")
        total += to_si(-number if terms and negative else number, match[2], kind)
        position, terms = match.end(), terms + 1
    if not terms:
        raise ValueError(f"a {kind} is missing; write for instance “{example(kind)}”")
    return total


def unit_in(text: str, kind: Kind) -> str:
    """The first unit of a quantity that :func:`parse` takes, as a key of this module: “ft” of “9 feet 6 in”."""
    match = _TERM.match(text.strip())
    unit = match[2] if match is not None else ""
    _find(unit, kind)
    return _ALIASES.get(unit, unit)


def bound_in(bound: float, unit: str, kind: Kind, *, most: bool, slack: float = 0.0) -> str:
    """An SI bound in a person's unit, to three digits or whole ones, so that what is told is itself allowed.

    Parameters
    ----------
    most : values up to it are allowed; False = from it on
    slack : how far beyond it, as a share of it, a value is still taken for it
    """
    value = from_si(bound, unit, kind)
    digits = max(0, 2 - floor(log10(abs(value)))) if value else 0
    told = round(value, digits)
    inward = -1 if most else 1
    if (bound - to_si(told, unit, kind)) * inward > slack * max(1.0, abs(bound)):
        told += inward * 10.0**-digits
    number = f"{told:,.{digits}f}"
    return f"{number.rstrip('0').rstrip('.') if digits else number} {unit}"


def example(kind: Kind) -> str:
    """A well-written quantity of this kind, for messages."""
    return {
        Kind.LENGTH: "12 ft",
        Kind.AREA: "2 acre",
        Kind.MASS: "40 lb",
        Kind.VOLUME: "50 gal",
        Kind.TEMPERATURE: "36 F",
        Kind.TEMPERATURE_STEP: "2 C",
        Kind.SPEED: "90 mph",
        Kind.FLOW: "20 gpm",
        Kind.PRESSURE: "40 psi",
        Kind.FORCE: "250 lbf",
        Kind.RAIN: "25 mm",
        Kind.SLOPE: "4 %",
    }[kind]


def written_units(kind: Kind) -> tuple[str, ...]:
    """Every way a unit of this kind is written, the longest first."""
    found = {*_UNITS[kind], *(other for other, name in _ALIASES.items() if name in _UNITS[kind])}
    return tuple(sorted(found, key=lambda unit: (-len(unit), unit)))


def unit_of(kind: Kind, system: UnitSystem) -> str:
    """The unit shown to a person, as a key of this module."""
    return _SHOWN[system][kind]


def printed(unit: str) -> str:
    """The unit as typeset ("°F", "m²")."""
    return _PRINTED.get(unit, unit)


def shown(value: float, kind: Kind, system: UnitSystem, *, digits: int = 0, unit: str | None = None) -> str:
    """An SI value as a person reads it: converted, rounded, with its unit ("12.5 ft")."""
    key = unit or unit_of(kind, system)
    number = round(from_si(value, key, kind), digits)
    number = 0.0 if number == 0 else number  # no "-0"
    space = "" if key == "%" else "\u00a0"
    return f"{number:,.{digits}f}{space}{printed(key)}"


def feet_and_inches(metres: float) -> str:
    """A length as a tape shows it, to the nearest quarter inch ("31 ft 6 1/4 in"); below a foot in inches alone."""
    quarters = round(abs(metres) / _INCH * 4)
    feet, rest = divmod(quarters, 48)
    inches, part = divmod(rest, 4)
    fraction = {0: "", 1: " 1/4", 2: " 1/2", 3: " 3/4"}[part]
    sign = "-" if metres < 0 and quarters else ""
    return f"{sign}{feet} ft {inches}{fraction} in" if feet else f"{sign}{inches}{fraction} in"


def _find(unit: str, kind: Kind) -> _Unit:
    table = _UNITS[kind]
    name = _ALIASES.get(unit, unit)
    if name in table:
        return table[name]
    others = [other for other, units in _UNITS.items() if name in units]
    hint = f"“{unit}” measures {others[0]}" if others else f"“{unit}” is not a known unit"
    raise ValueError(f"{hint}; a {kind} is written in {', '.join(table)}")
