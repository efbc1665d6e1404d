"""What the person who reads sees: SI figures in their own units, dates and shares as people write them."""

import math
from dataclasses import dataclass
from datetime import date

from topwire.values.calendar import day_label
from topwire.values.notice import Measured
from topwire.values.quantities import Plain, Quantity
from topwire.values.units import Kind, UnitSystem, feet_and_inches, from_si, printed, unit_of

UNKNOWN = "–"
SMALL_GROUND = 400.0  # [m2] below it ground is told in square feet or metres, not in acres or hectares
# Digits that serve for most figures of a kind: US customary, metric. What is not here is shown whole.
_DIGITS: dict[Quantity, tuple[int, int]] = {
    Kind.LENGTH: (1, 1), Kind.AREA: (2, 2), Kind.SMALL_LENGTH: (1, 0), Kind.FINE_LENGTH: (2, 1),
    Kind.RAIN: (2, 0), Kind.SLOPE: (1, 1), Kind.FLOW: (1, 1), Kind.LOAD_ON_LENGTH: (1, 1),
    Kind.FORCE_ON_LENGTH: (1, 0), Kind.CROP: (1, 0), Kind.VOLUME: (0, 1), Kind.SMALL_MASS: (1, 0),
    Kind.FRUIT_LOAD: (0, 1), Plain.RATIO: (2, 2), Plain.CONCENTRATION: (1, 1),
}  # fmt: skip


@dataclass(frozen=True)
class Reader:
    """Turns SI figures into figures and words of one unit system."""

    system: UnitSystem

    @property
    def us(self) -> bool:
        return self.system is UnitSystem.US

    def unit(self, quantity: Quantity | None) -> str:
        """The unit as printed: “ft”, “°F”, “%”; empty for plain numbers."""
        if isinstance(quantity, Kind):
            return printed(unit_of(quantity, self.system))
        units = {Plain.SHARE: "%", Plain.HOURS: "h", Plain.ANGLE: "°", Plain.CONCENTRATION: "g/L"}
        return units.get(quantity, "") if quantity is not None else ""

    def convert(self, value: float, quantity: Quantity | None) -> float:
        """The number under that unit."""
        if isinstance(quantity, Kind):
            return from_si(value, unit_of(quantity, self.system), quantity)
        return 100 * value if quantity is Plain.SHARE else value

    def digits(self, quantity: Quantity | None) -> int:
        """Digits that serve for most figures of this kind."""
        return _DIGITS.get(quantity, (0, 0))[0 if self.us else 1] if quantity is not None else 0

    def text(self, value: float, quantity: Quantity, digits: int | None = None) -> str:
        """With its unit, for sentences: “12.5 ft”, “34 %”, “12 May”."""
        if not math.isfinite(value):
            return UNKNOWN
        if quantity is Plain.DAY_OF_YEAR:
            return day_label(value)
        if quantity in (Plain.YEAR, Plain.WEEK):
            return str(round(value))
        if quantity is Kind.AREA and abs(value) < SMALL_GROUND:
            quantity, digits = Kind.GROUND, None
        places = self.digits(quantity) if digits is None else digits
        number = round(self.convert(value, quantity), places)
        said = f"{0.0 if number == 0 else number:,.{max(places, 0)}f}"  # no "-0"
        unit = self.unit(quantity)
        if unit in ("%", "°"):
            return f"{said}{unit}"
        return f"{said}\u00a0{unit}" if unit else said

    def measured(self, figure: Measured, digits: int | None = None) -> str:
        return self.text(figure.value, figure.kind, figure.digits if digits is None else digits)

    def tape(self, metres: float) -> str:
        """A length as the tape shows it: “31 ft 6 1/4 in” or “9.61 m”."""
        return feet_and_inches(metres) if self.us else f"{metres:.2f}\u00a0m"

    def date(self, iso: str) -> str:
        """“1 Feb 2026” for an ISO date."""
        found = date.fromisoformat(iso)
        return f"{found.day} {found:%b %Y}"


def counted(number: float, one: str, many: str = "") -> str:
    """“1 tree”, “1,240 trees”; `many` where the plural is not made with an s."""
    whole = round(number)
    return f"{whole:,} {one if whole == 1 else many or one + 's'}"


def listed(names: object) -> str:
    """“a, b and c”."""
    items = [str(name) for name in names] if isinstance(names, tuple | list) else [str(names)]
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"
