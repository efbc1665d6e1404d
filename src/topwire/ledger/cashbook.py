"""Value and cost by year, and the outcome when one figure is moved."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from topwire.ledger.findings import Running, Spent
from topwire.ledger.money import net_present_value
from topwire.values.arrays import Floats

SURPLUS = "surplus"  # fruit no use takes
MACHINE_HOURS = 30.0  # [h/ha] in a full-grown year (proposal)
_FRUIT = {
    "fresh": "fresh apples",
    "pie": "cooking apples",
    "baked": "cooking apples",
    "sauce": "cooking apples",
    "butter": "cooking apples",
    "dried": "cooking apples",
    "juice": "juice apples",
    "cider": "cider apples",
}
SOLD = (
    "fresh apples",
    "cooking apples",
    "juice apples",
    "cider apples",
    "surplus apples",
    "cider made",
    "juice made",
    "preserves made",
)
_BOUGHT = (
    "ground preparation",
    "yearly goods",
    "machine hours",
    "overheads",
    "containers",
    "cider making",
    "juice making",
    "preserves making",
)
PRICES_USED = SOLD + _BOUGHT


@dataclass(frozen=True)
class MoneyRates:
    """Prices and bills, in the plan's currency; `hives` of every bloom."""

    wage: float
    prices: Mapping[str, float]
    nursery: float
    trellis: float
    water: float
    water_yearly: float
    soil: float
    hives: float = 0.0
    as_made: bool = True  # cider, juice and preserves at their own worth, not as fruit
    surplus_sold: bool = True


@dataclass(frozen=True)
class Cashbook:
    """The orchard as the sums see it.

    Attributes
    ----------
    trees, hectares : number, [ha]
    goods, fence : bill of the first years without and of the fence
    capital : goods that last by year, those needed at planting in the first, shape (years,)
    crop : low, middle, high by year of the horizon, planting year first, shape (years, 3) [kg]
    drawn : crop of whole orchard lives drawn at random, shape (orchards, years) [kg]
    full_crop : of a full-grown middle year [kg]
    served : whole fruit that reaches kitchen and press for each use in a full-grown year [kg]
    lost : picked for them and never there, worth nothing and nothing to sell [kg]
    litres : that a kilogram pressed for juice or cider ends as [L/kg]
    hours : paid at the wage by year, shape (years,) [h]; the first year's belong to the establishment
    sound : share of a crop, which frost has thinned already, that is worth anything
    """

    trees: int
    hectares: float
    goods: float
    fence: float
    capital: Floats
    crop: Floats
    drawn: Floats
    full_crop: float
    served: Mapping[str, float]
    lost: float
    litres: Mapping[str, float]
    hours: Floats
    sound: float

    def worth(self, use: str, rates: MoneyRates) -> float:
        """Worth of a kilogram of whole fruit in that use."""
        price = rates.prices
        if rates.as_made and use == "cider":
            return self.litres.get(use, 0.0) * (price["cider made"] - price["cider making"])
        if rates.as_made and use == "juice":
            return self.litres.get(use, 0.0) * (price["juice made"] - price["juice making"])
        if rates.as_made and use in ("sauce", "butter", "dried"):
            return price["preserves made"] - price["preserves making"]
        return price[_FRUIT[use]]

    @property
    def picked(self) -> float:
        """For all uses, what is lost on the way with it. [kg]"""
        return sum(self.served.values()) + self.lost

    def value_by_use(self, rates: MoneyRates) -> dict[str, float]:
        """Worth of a full-grown middle year by use, surplus last."""
        found = {use: kilograms * self.worth(use, rates) for use, kilograms in sorted(self.served.items())}
        left = max(self.sound * self.full_crop - self.picked, 0.0)
        found[SURPLUS] = left * (rates.prices["surplus apples"] if rates.surplus_sold else 0.0)
        return found

    def value(self, rates: MoneyRates, crop: Floats | None = None) -> Floats:
        """Worth of a crop: all uses in step until they are served, each with its part of what is lost, then surplus.

        Parameters
        ----------
        rates : MoneyRates
        crop : ndarray, optional
            Any shape; the low, middle and high of each year where none is given. [kg]
        """
        kilograms = self.sound * (self.crop if crop is None else crop)
        worth = sum(kg * self.worth(use, rates) for use, kg in self.served.items())
        mean = worth / self.picked if self.picked else 0.0
        used = np.minimum(kilograms, self.picked)
        gate = rates.prices["surplus apples"] if rates.surplus_sold else 0.0
        return np.asarray(used * mean + (kilograms - used) * gate)

    def cost(self, rates: MoneyRates) -> Floats:
        """Cost of each year after the planting year, shape (years,); 0 in the first."""
        return np.asarray(sum(self._yearly(rates).values()))

    def cost_by_kind(self, rates: MoneyRates, year: int) -> dict[Running, float]:
        """Cost of one year by kind."""
        return {kind: float(amount[year]) for kind, amount in self._yearly(rates).items()}

    def establishment(self, rates: MoneyRates) -> dict[Spent, float]:
        """What the orchard costs before its first spring, by kind."""
        price = rates.prices
        return {
            Spent.TREES: rates.nursery,
            Spent.TRELLIS: rates.trellis,
            Spent.IRRIGATION: rates.water,
            Spent.SOIL: rates.soil,
            Spent.GROUND: price["ground preparation"] * self.hectares,
            Spent.FENCE: self.fence,
            Spent.GUARDS: self.goods,
            Spent.CAPITAL: float(self.capital[0]),
            Spent.WORK: rates.wage * float(self.hours[0]),
        }

    def present_values(self, case: "Case") -> Floats:
        """Net present value of every drawn orchard, shape (orchards,). Hours and goods are those of the middle crop."""
        book = replace(self, hours=case.hours)
        flow = book.value(case.rates, book.drawn) - book.cost(case.rates)
        flow[:, 0] -= sum(book.establishment(case.rates).values())
        return net_present_value(flow, case.interest)

    def _yearly(self, rates: MoneyRates) -> dict[Running, Floats]:
        years = np.arange(len(self.hours))
        running = years > 0
        price = rates.prices
        # Goods follow the crop: four tenths of them are due to the trees alone.
        part = 0.4 + 0.6 * np.minimum(self.crop[:, 1] / max(self.full_crop, 1e-9), 1.0)
        return {
            Running.WORK: np.where(running, rates.wage * self.hours, 0.0),
            Running.GOODS: np.where(running, price["yearly goods"] * self.hectares * part, 0.0)
            + np.where(running & (self.crop[:, 1] > 0), rates.hives, 0.0),
            Running.MACHINES: np.where(
                running, price["machine hours"] * MACHINE_HOURS * self.hectares * part, 0.0
            ),
            Running.OVERHEADS: np.where(running, price["overheads"] * self.hectares, 0.0),
            Running.CONTAINERS: np.where(running, price["containers"] * self.crop[:, 1], 0.0),
            Running.WATER: np.where(running, rates.water_yearly, 0.0),
            Running.CAPITAL: np.where(running, self.capital, 0.0),
        }


@dataclass(frozen=True)
class Case:
    """One way the figures may turn out."""

    rates: MoneyRates
    hours: Floats  # by year [h]
    interest: float
