"""Field types of the plan file: what a person writes, checked and turned to SI."""

import re
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer

from topwire.values.units import Kind, example, parse

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DAYS_IN_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


# No quantity of an orchard is above these, in the SI unit of its kind.
MOST = {
    Kind.LENGTH: (100_000.0, "100 km"),
    Kind.AREA: (1e8, "10,000 ha"),
    Kind.MASS: (1e7, "10,000 t"),
    Kind.VOLUME: (1e7, "10 million m3"),
    Kind.TEMPERATURE: (100.0, "100 C"),
    Kind.TEMPERATURE_STEP: (100.0, "100 C"),
    Kind.SPEED: (200.0, "200 m/s"),
    Kind.FLOW: (100.0, "100 m3/s"),
    Kind.PRESSURE: (1e8, "1000 bar"),
    Kind.FORCE: (1e7, "10,000 kN"),
    Kind.RAIN: (100_000.0, "100 m"),
    Kind.SLOPE: (100.0, "10,000 %"),
}


def _bounded(text: str, kind: Kind) -> float:
    value = parse(text, kind)
    most, said = MOST[kind]
    if not abs(value) <= most:
        raise ValueError(f"“{text[:60]}” is more than any {kind} of an orchard ({said})")
    return value


def _quantity(kind: Kind) -> Any:
    def read(value: Any) -> float:
        if isinstance(value, str):
            return _bounded(value, kind)
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            raise ValueError(f"a number without a unit; write for instance “{value:g} {_likely_unit(kind)}”")
        raise ValueError(f"expected a {kind} with its unit; write for instance “{example(kind)}”")

    return BeforeValidator(read)


def _likely_unit(kind: Kind) -> str:
    return {
        Kind.LENGTH: "ft” or “m",
        Kind.AREA: "acre” or “ha",
        Kind.MASS: "lb” or “kg",
        Kind.VOLUME: "gal” or “m3",
        Kind.TEMPERATURE: "F” or “C",
        Kind.TEMPERATURE_STEP: "F” or “C",
        Kind.SPEED: "mph” or “m/s",
        Kind.FLOW: "gpm” or “m3/h",
        Kind.PRESSURE: "psi” or “kPa",
        Kind.FORCE: "lbf” or “N",
        Kind.RAIN: "in” or “mm",
        Kind.SLOPE: "%",
    }[kind].replace("” or “", "” or with “")


# Held in SI; written with a unit. Bounds are told in the unit that was written (read.py), by the kind.
Length = Annotated[float, Kind.LENGTH, _quantity(Kind.LENGTH)]
Area = Annotated[float, Kind.AREA, _quantity(Kind.AREA)]
Mass = Annotated[float, Kind.MASS, _quantity(Kind.MASS)]
Volume = Annotated[float, Kind.VOLUME, _quantity(Kind.VOLUME)]
Temperature = Annotated[float, Kind.TEMPERATURE, _quantity(Kind.TEMPERATURE)]
TemperatureStep = Annotated[float, Kind.TEMPERATURE_STEP, _quantity(Kind.TEMPERATURE_STEP)]
Speed = Annotated[float, Kind.SPEED, _quantity(Kind.SPEED)]
Flow = Annotated[float, Kind.FLOW, _quantity(Kind.FLOW)]
Pressure = Annotated[float, Kind.PRESSURE, _quantity(Kind.PRESSURE)]
Force = Annotated[float, Kind.FORCE, _quantity(Kind.FORCE)]
Slope = Annotated[float, Kind.SLOPE, _quantity(Kind.SLOPE)]


def _one_text(value: Any) -> str:
    """What was written, where it is one value; lists and settings are no text to be quoted."""
    if isinstance(value, dict | list):
        raise ValueError("this has to be one value, not several")
    return str(value).strip()


@dataclass(frozen=True)
class MonthDay:
    """A day of any year."""

    month: int
    day: int

    @property
    def day_of_year(self) -> int:
        """Day of a common year, 1 January = 1."""
        return sum(_DAYS_IN_MONTH[: self.month - 1]) + self.day

    def __str__(self) -> str:
        return f"{self.day} {_MONTHS[self.month - 1].capitalize()}"


def month_day(value: Any) -> MonthDay:
    if isinstance(value, MonthDay):
        return value
    text = _one_text(value)
    numeric = re.fullmatch(r"(\d{1,2})-(\d{1,2})", text)
    named = re.fullmatch(r"(\d{1,2})\.?\s+([A-Za-z]{3,9})\.?", text) or None
    turned = re.fullmatch(r"([A-Za-z]{3,9})\.?\s+(\d{1,2})", text)
    if numeric:
        month, day = int(numeric[1]), int(numeric[2])
    elif named and named[2][:3].lower() in _MONTHS:
        month, day = _MONTHS.index(named[2][:3].lower()) + 1, int(named[1])
    elif turned and turned[1][:3].lower() in _MONTHS:
        month, day = _MONTHS.index(turned[1][:3].lower()) + 1, int(turned[2])
    else:
        raise ValueError(
            f"“{text}” is not a day of the year; write for instance “15 Aug” or “08-15” (month-day)"
        )
    if not 1 <= month <= 12 or not 1 <= day <= _DAYS_IN_MONTH[month - 1]:
        raise ValueError(f"“{text}” is no day of the calendar; write for instance “15 Aug”")
    return MonthDay(month, day)


Day = Annotated[MonthDay, BeforeValidator(month_day), PlainSerializer(str)]


def _date(value: Any) -> date:
    if isinstance(value, datetime) and value.time() == time():
        return value.date()
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    text = _one_text(value)
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text, re.ASCII):
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise ValueError(f"“{text}” is no day of the calendar; write for instance 2027-03-15") from None
    raise ValueError(f"“{text[:60]}” is not a date; write year, month and day, for instance 2027-03-15")


# A number is no date here: pydantic would count its seconds from 1970.
Date = Annotated[date, BeforeValidator(_date)]


@dataclass(frozen=True)
class Amount:
    """A need: so much each week, or so much over the season it is stated for.

    Attributes
    ----------
    kilograms : float
        [kg]
    weekly : bool
        True: each week; False: once, over the whole stated season.
    """

    kilograms: float
    weekly: bool


def _amount(value: Any) -> Amount:
    if isinstance(value, Amount):
        return value
    text = _one_text(value)
    quantity, _, period = (part.strip() for part in text.partition("/"))
    periods = {"week": True, "wk": True, "season": False, "year": False, "yr": False}
    if period not in periods:
        raise ValueError(
            f"“{text}” does not say how often; write for instance “40 lb/week” or “900 lb/season”"
        )
    kilograms = _bounded(quantity, Kind.MASS)
    if kilograms <= 0:
        raise ValueError(f"“{text}” is no need: an amount is above zero; take the need away instead")
    return Amount(kilograms, periods[period])


NeedAmount = Annotated[
    Amount,
    BeforeValidator(_amount),
    PlainSerializer(lambda amount: f"{amount.kilograms:.6g} kg/{'week' if amount.weekly else 'season'}"),
]
