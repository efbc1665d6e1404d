"""A trellis to buy and build: the findings of the Trellis department."""

from dataclasses import dataclass

from topwire.trellis.cost_findings import BesidePublished, BudgetTrellis, ChoiceLine, CostPart
from topwire.trellis.fence_findings import FenceSupport
from topwire.trellis.kinds import BuildStep, WindForm
from topwire.trellis.risk_findings import KitRisk, KitStep, KnownFate, StormSeason, Yardstick
from topwire.trellis.row_findings import FailureGust, RowTrellis
from topwire.trellis.wind import WindExposure
from topwire.values.bill import BillLine
from topwire.values.notice import Notice
from topwire.values.quantities import Celsius, Hours, MetresPerSecond, Money, Newtons, SquareMetres
from topwire.values.terms import Net


@dataclass(frozen=True)
class TensionLine:
    """Tension to set on a day."""

    air: Celsius
    tension: Newtons


@dataclass(frozen=True)
class TrellisFindings:
    """All rows sized, with their bill.

    Attributes
    ----------
    design_gust : three-second gust at 10 m of the storm asked for
    gust_50, mean_50, wind_form, exposure, return_period : where it comes from
    common_build : what the usual line post (`known_builds`) would stand here, outer row
    within_budget : where the plan states a budget
    by_cost : posts by least cost of building and falling; wires and ends stand the design gust
    stamped : whose design the posts are, where the plan states one
    net : over each row
    floor_gust : that every row stands in the middle of what is known, soaked and full of fruit, where so chosen
    """

    rows: tuple[RowTrellis, ...]
    design_gust: MetresPerSecond
    gust_50: MetresPerSecond
    mean_50: MetresPerSecond | None
    wind_form: WindForm
    exposure: WindExposure
    return_period: int
    tension_table: tuple[TensionLine, ...]
    bill: tuple[BillLine, ...]
    cost: Money
    currency: str
    labour_hours: Hours
    build_order: tuple[BuildStep, ...]
    notices: tuple[Notice, ...]
    choices: tuple[ChoiceLine, ...] = ()
    common_build: tuple[FailureGust, ...] = ()
    fences: tuple[FenceSupport, ...] = ()
    within_budget: BudgetTrellis | None = None
    by_cost: bool = True
    stamped: str = ""
    net: Net = Net.NONE
    floor_gust: MetresPerSecond = 0.0
    risks: tuple[KitRisk, ...] = ()
    steps: tuple[KitStep, ...] = ()
    known: tuple[KnownFate, ...] = ()
    yardsticks: tuple[Yardstick, ...] = ()
    storms: tuple[StormSeason, ...] = ()
    parts: tuple[CostPart, ...] = ()
    published: tuple[BesidePublished, ...] = ()
    ground: SquareMetres = 0.0  # of the wired rows, their length times the space between them
