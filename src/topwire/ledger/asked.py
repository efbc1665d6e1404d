"""What the Ledger is asked: trees, crops, bills and hours of the other departments, rates of work and prices."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.choice.scarce import SizeStep
from topwire.layout.areas import Areas
from topwire.ledger.capital import CapitalRow
from topwire.ledger.goods import GoodsRow
from topwire.ledger.labour import LabourRow
from topwire.ledger.sizes import OwnSize
from topwire.ledger.tools import ToolRow
from topwire.ledger.work_rows import MaturityRow, WorkRow
from topwire.nursery.findings import WorkDates
from topwire.values.arrays import Floats
from topwire.values.price import Price
from topwire.values.price_index import IndexRow
from topwire.values.quantities import (
    CelsiusArray,
    DayOfYear,
    Hours,
    Kilograms,
    KilogramsArray,
    Metres,
    Money,
    Ratio,
    Share,
    SquareMetres,
)


@dataclass(frozen=True)
class Picked:
    """A cultivar of the layout in the middle year.

    Attributes
    ----------
    trees : new ones
    standing : old ones
    first, last : day of the harvest; None where it does not ripen here
    crop : of its new trees by leaf, middle, shape (leaves,) [kg]
    reaches_wire : leaf in which its leader reaches the top wire; None = never
    keeps : goes into the cellar for weeks
    cider : more of it is pressed for cider than goes anywhere else
    fruit_mass : of an apple; None where nobody has said
    """

    name: str
    trees: int
    standing: int
    first: DayOfYear | None
    last: DayOfYear | None
    crop: KilogramsArray
    reaches_wire: float | None
    keeps: bool
    fruit_mass: Kilograms | None
    cider: bool = False


@dataclass(frozen=True)
class Bills:
    """What other departments have found; None where one could not answer."""

    nursery: Money
    grafting_hours: Hours
    care_hours: Hours
    trellis: Money | None
    building_hours: Hours
    water: Money | None
    water_yearly: Money
    soil: Money


@dataclass(frozen=True)
class LedgerQuestion:
    """All the Ledger's sums need.

    Attributes
    ----------
    stages : day of the year of each stage in the middle year, by name; a stage the place lacks is left out
    monthly_air : mean temperature of each month, shape (12,)
    root_injury, tenderest : share of winters that hurt the roots of the tenderest stock chosen, and its name
    conditions : what this orchard has, of `work_rows.CONDITIONS`
    nursery_days : first and last day the nursery wishes for each of its jobs, ISO
    nursery_seasons : growing seasons in the nursery row
    areas : of the ground
    fence : length of the deer fence to be built
    strip : ground of the tree strips
    orchard_crop : by leaf, low, middle, high, shape (leaves, 3) [kg]; of new trees
    drawn_crop : of orchard lives drawn at random, shape (orchards, leaves) [kg]
    made : whole fruit of the new trees that reaches kitchen and press for each use in a full-grown year [kg]
    lost : beside it, picked for a use and never there: rotten in store, or trimmed away
    press : first and last day of the press season; beyond 365 after New Year
    milled : what of it goes through the press in each week of the year, shape (52,) [kg]
    litres : that a kilogram pressed for juice or cider ends as, by use [L/kg]
    have : goods that last and are there already
    money_year : of all prices told
    clips : on the cane of a whip
    units : what the price of each of `goods` is for
    store : floor of the cellar the kept fruit wants [m2]
    autumns : planting autumns where the plan asks for several; empty else
    bears : come to the trees
    sizes : service by number of trees, as the choice found it; own_size : the plan's own ground
    sound : of what the trees bear after frost, the part that disease and heat leave fit for the kitchen
    begin : ISO date from which work can be done; empty: early enough for all of it
    """

    planting: int
    horizon: int
    stages: Mapping[str, DayOfYear]
    monthly_air: CelsiusArray
    root_injury: Share
    tenderest: tuple[str, ...]
    conditions: tuple[str, ...]
    nursery_days: tuple[WorkDates, ...]
    nursery_seasons: int
    areas: Areas
    fence: Metres
    strip: SquareMetres
    cultivars: tuple[Picked, ...]
    orchard_crop: KilogramsArray
    drawn_crop: KilogramsArray
    made: Mapping[str, Kilograms]
    lost: Kilograms
    press: tuple[DayOfYear, DayOfYear]
    milled: KilogramsArray
    litres: Mapping[str, Ratio]
    bills: Bills
    labour: tuple[LabourRow, ...]
    work: tuple[WorkRow, ...]
    maturity: tuple[MaturityRow, ...]
    goods: tuple[GoodsRow, ...]
    units: Mapping[str, str]
    tools: tuple[ToolRow, ...]
    capital: tuple[CapitalRow, ...]
    index: tuple[IndexRow, ...]
    have: tuple[str, ...]
    money_year: int
    clips: int
    store: float
    prices: tuple[Price, ...]
    autumns: tuple[int, ...]
    begin: str
    bears: bool
    sizes: tuple[SizeStep, ...]
    own_size: OwnSize
    hands: float
    hours_per_week: Hours
    wage: Money
    interest: Share
    currency: str
    sound: Share = 1.0

    @property
    def standing(self) -> int:
        return sum(line.standing for line in self.cultivars)

    @property
    def trees(self) -> int:
        return sum(line.trees for line in self.cultivars)

    def crop_by_cultivar(self) -> Floats:
        """Shape (leaves, cultivars). [kg]

        In a first crop the orchard bears though no cultivar does in its own middle: the orchard's middle is then
        shared out as the next leaf's is.
        """
        if not self.cultivars:
            return self.orchard_crop[:, :0]
        table, whole = _stacked(self.cultivars), self.orchard_crop[:, 1]
        for leaf in range(min(len(table), len(whole)) - 1):
            after = table[leaf + 1].sum()
            if whole[leaf] > 0 and table[leaf].sum() <= 0 < after:
                table[leaf] = whole[leaf] * table[leaf + 1] / after
        return table


def _stacked(lines: tuple[Picked, ...]) -> Floats:
    import numpy as np

    return np.stack([line.crop for line in lines], axis=1)
