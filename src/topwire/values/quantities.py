"""What a figure of a result measures, so that a machine can read it: every numeric field of Findings says its kind.

A field annotated `Metres` holds metres; `kinds_of` reads the kinds back from the class. Plain numbers (shares, hours,
counts, days of the year, money) have kinds of their own here, since a plan never states them with a unit.
"""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import StrEnum
from typing import Annotated, Any, get_args, get_origin, get_type_hints

from topwire.values.arrays import Floats
from topwire.values.units import Kind


class Plain(StrEnum):
    """Numbers that read the same in every unit system."""

    SHARE = "share"  # 0 to 1, shown in per cent
    RATIO = "ratio"
    COUNT = "count"
    HOURS = "hours"  # h
    DAYS = "days"  # d, a length of time
    DAY_OF_YEAR = "day of the year"  # 1 = 1 January; above 365 in the next year
    YEAR = "year"  # of the calendar
    WEEK = "week"  # 1 to 52
    MONEY = "money"  # in the plan's currency
    ANGLE = "angle"  # degrees
    CONCENTRATION = "concentration"  # g/L


Quantity = Kind | Plain

Metres = Annotated[float, Kind.LENGTH]
SmallMetres = Annotated[float, Kind.SMALL_LENGTH]
FineMetres = Annotated[float, Kind.FINE_LENGTH]
SquareMetres = Annotated[float, Kind.AREA]
GroundSquareMetres = Annotated[float, Kind.GROUND]
Kilograms = Annotated[float, Kind.MASS]
SmallKilograms = Annotated[float, Kind.SMALL_MASS]
CubicMetres = Annotated[float, Kind.VOLUME]
SmallCubicMetres = Annotated[float, Kind.SMALL_VOLUME]
Celsius = Annotated[float, Kind.TEMPERATURE]
Kelvins = Annotated[float, Kind.TEMPERATURE_STEP]
MetresPerSecond = Annotated[float, Kind.SPEED]
CubicMetresPerSecond = Annotated[float, Kind.FLOW]
SmallCubicMetresPerSecond = Annotated[float, Kind.SMALL_FLOW]
Pascals = Annotated[float, Kind.PRESSURE]
Newtons = Annotated[float, Kind.FORCE]
NewtonMetres = Annotated[float, Kind.MOMENT]
KilogramsPerMetre = Annotated[float, Kind.LOAD_ON_LENGTH]
KilogramsPerSquareMetre = Annotated[float, Kind.CROP]
Millimetres = Annotated[float, Kind.RAIN]
Share = Annotated[float, Plain.SHARE]
Count = Annotated[float, Plain.COUNT]
Ratio = Annotated[float, Plain.RATIO]
Hours = Annotated[float, Plain.HOURS]
DaysLong = Annotated[float, Plain.DAYS]
DayOfYear = Annotated[float, Plain.DAY_OF_YEAR]
Money = Annotated[float, Plain.MONEY]
Degrees = Annotated[float, Plain.ANGLE]
GramsPerLitre = Annotated[float, Plain.CONCENTRATION]

# The same for arrays: Annotated[Floats, kind].
MetresArray = Annotated[Floats, Kind.LENGTH]
KilogramsArray = Annotated[Floats, Kind.MASS]
CelsiusArray = Annotated[Floats, Kind.TEMPERATURE]
ShareArray = Annotated[Floats, Plain.SHARE]
HoursArray = Annotated[Floats, Plain.HOURS]
DayOfYearArray = Annotated[Floats, Plain.DAY_OF_YEAR]
MoneyArray = Annotated[Floats, Plain.MONEY]


def kinds_of(result: type[object]) -> Mapping[str, Quantity]:
    """The kind of every annotated field of a frozen dataclass; fields inside tuples, mappings and unions included.

    Raises
    ------
    TypeError
        When `result` is no dataclass.
    """
    if not is_dataclass(result):
        raise TypeError(f"{result.__name__} is no dataclass")
    hints = get_type_hints(result, include_extras=True)
    found = {}
    for field in fields(result):
        kind = _kind(hints[field.name])
        if kind is not None:
            found[field.name] = kind
    return found


def _kind(hint: Any) -> Quantity | None:
    if get_origin(hint) is Annotated:
        for extra in hint.__metadata__:
            if isinstance(extra, Kind | Plain):
                return extra
    for inner in get_args(hint):
        kind = _kind(inner)
        if kind is not None:
            return kind
    return None
