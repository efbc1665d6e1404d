"""What the person who reads sees: SI figures in their own units, with captions that name them."""

from datetime import date

from topwire.show.table import UNKNOWN, Cell, figure
from topwire.tell.reader import Reader as Told
from topwire.values.calendar import day_label
from topwire.values.quantities import Quantity
from topwire.values.units import Kind, UnitSystem, from_si, to_si

_YIELD = {UnitSystem.US: ("ton/acre", 4046.8564224 / 1e4 / 0.90718474), UnitSystem.METRIC: ("t/ha", 1.0)}


class Reader(Told):
    """Turns SI figures into cells and captions of one unit system."""

    def figure(self, value: float | None, kind: Kind, digits: int = 0) -> Cell:
        """A cell without its unit, which stands in the caption."""
        return UNKNOWN if value is None else figure(self.convert(value, kind), digits)

    def text(self, value: float, quantity: Quantity, digits: int | None = 0) -> str:
        """With its unit, for sentences."""
        return super().text(value, quantity, digits)

    # Units that are no kind of their own.

    @property
    def per_length(self) -> str:
        return "lb/ft" if self.us else "kg/m"

    def mass_per_length(self, kg_per_m: float) -> float:
        return kg_per_m * 0.3048 / 0.45359237 if self.us else kg_per_m

    @property
    def yield_unit(self) -> str:
        return _YIELD[self.system][0]

    def yield_per_area(self, t_per_ha: float) -> float:
        """US: short tons of 2,000 lb an acre."""
        return t_per_ha * _YIELD[self.system][1]

    @property
    def small_volume(self) -> str:
        return "gal" if self.us else "L"

    def litres(self, litres: float) -> float:
        return from_si(to_si(litres, "L", Kind.VOLUME), self.small_volume, Kind.VOLUME)

    @property
    def degree_days(self) -> str:
        return "°F d" if self.us else "°C d"

    def heat(self, kelvin_days: float) -> float:
        return kelvin_days * 1.8 if self.us else kelvin_days

    @property
    def ground(self) -> str:
        return "ft²" if self.us else "m²"

    def square(self, square_metres: float) -> float:
        return square_metres / 0.3048**2 if self.us else square_metres


def day(day_of_year: float | None) -> str:
    """“12 May”; a dash where there is no such day."""
    if day_of_year is None or day_of_year != day_of_year:
        return UNKNOWN
    return day_label(day_of_year)


def date_words(iso: str) -> str:
    """“1 Feb 2026” for an ISO date."""
    found = date.fromisoformat(iso)
    return f"{found.day} {found:%b %Y}"


def percent(share: float | None, digits: int = 0) -> Cell:
    """A share of 0 to 1 as a number of percent."""
    return UNKNOWN if share is None else figure(100 * share, digits)
