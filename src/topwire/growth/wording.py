"""Measures inside sentences of the tables, in the units the grower reads.

The tables are written in metric words ("15-20 cm", "0-2 °C"), firmness in pounds as the trade's probes show it. One
switch of the plan turns them; areas of trunk stay in cm2, which growers use everywhere.
"""

import re
from collections.abc import Callable

from topwire.values.units import Kind, UnitSystem, from_si, to_si

_NUMBER = r"(?<![\w.])([-−]?\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))?"
_DEGREE_DAYS = re.compile(r"(\d+)(?:-| to )(\d+) degree-days base (\d+) °C")
_MEASURE = re.compile(_NUMBER + r" (mm|cm|m|°C|kg|lb)\b")
# From the unit written to the unit shown, with the step a number is rounded to.
_SHOWN: dict[UnitSystem, dict[str, tuple[str, str, Kind, str, float]]] = {
    UnitSystem.US: {
        "mm": ("mm", "in", Kind.LENGTH, "in", 0.05),
        "cm": ("cm", "in", Kind.LENGTH, "in", 1.0),
        "m": ("m", "ft", Kind.LENGTH, "ft", 0.5),
        "°C": ("C", "F", Kind.TEMPERATURE, "°F", 1.0),
        "kg": ("kg", "lb", Kind.MASS, "lb", 1.0),
    },
    UnitSystem.METRIC: {"lb": ("lb", "kg", Kind.MASS, "kg", 0.1)},
}


def in_units(text: str, system: UnitSystem) -> str:
    """The sentence with its measures in `system`.

    Lengths below 10 cm are rounded to half an inch, longer ones to a whole one.
    """
    if system is UnitSystem.US:
        text = _DEGREE_DAYS.sub(_fahrenheit_days, text)
    return _MEASURE.sub(_turned(system), text)


def hours_words(hours_per_hectare: float, system: UnitSystem) -> str:
    """Hours by area as their reader says it: "1,334 hours a hectare" or "540 hours an acre"."""
    if system is UnitSystem.METRIC:
        return f"{hours_per_hectare:,.0f} hours a hectare"
    return f"{hours_per_hectare / from_si(1e4, 'acre', Kind.AREA):,.0f} hours an acre"


def _turned(system: UnitSystem) -> Callable[[re.Match[str]], str]:
    def turn(match: re.Match[str]) -> str:
        low, high, unit = match[1], match[2], match[3]
        if unit not in _SHOWN[system]:
            return match[0]
        source, target, kind, printed, step = _SHOWN[system][unit]
        values = [
            from_si(to_si(float(number.replace("−", "-")), source, kind), target, kind)
            for number in (low, high)
            if number is not None
        ]
        if unit == "cm" and max(values) < 4:
            step = 0.5
        shown = [f"{round(value / step) * step:.10g}" for value in values]
        joined = shown[0] if len(set(shown)) == 1 else "-".join(shown)
        return f"{joined} {printed}"

    return turn


def _fahrenheit_days(match: re.Match[str]) -> str:
    low, high, base = (float(match[place]) for place in (1, 2, 3))
    return f"{low * 1.8:.0f} to {high * 1.8:.0f} degree-days base {base * 1.8 + 32:.0f} °F"
