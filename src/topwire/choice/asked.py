"""What the Choice is asked: candidates with their fruit, what the kitchen wants, limits, pollen donors."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

from topwire.choice.disease import DiseaseOutlook
from topwire.choice.needs import WeeklyNeed
from topwire.choice.neighbours import Neighbour
from topwire.choice.planting import Donors, Limits
from topwire.choice.supply import Supply
from topwire.values.quantities import (
    Celsius,
    DaysLong,
    KilogramsPerSquareMetre,
    Share,
    ShareArray,
    SquareMetres,
)

if TYPE_CHECKING:
    from topwire.choice.learnt import Learnt


@dataclass(frozen=True)
class Places:
    """What the choice needs to know of the ground.

    Attributes
    ----------
    capacity : tree places, those of standing trees included
    ground_per_tree : row spacing times tree spacing
    standing : trees already there, by cultivar
    """

    capacity: int
    ground_per_tree: SquareMetres
    standing: Mapping[str, int]


class Barred(StrEnum):
    """Why a cultivar of the catalogue is no candidate."""

    UNWANTED = "unwanted"  # the plan says it must not be there
    NO_USE = "no_use"  # serves no use of the kitchen
    CRAB = "crab"  # small fruit, grown for its pollen unless the plan names it
    UNFIT = "unfit"  # does not fit the place
    SELDOM_RIPE = "seldom_ripe"  # in fewer than three years of four, or the harvest date is not known
    KEEPING_UNKNOWN = "keeping_unknown"
    NOT_SOLD_HERE = "not_sold_here"  # not usually to be had on this continent, and not named by the plan
    BOUGHT = "bought"  # has to be bought, and the plan wants own grafts only
    RIGHT_UNKNOWN = "right_unknown"  # neither grafted nor surely to be bought
    NO_WOOD = "no_wood"  # the plan says none is to be had
    UNION_BREAKS = "union_breaks"  # on the plan's stock
    SCAB = "scab"  # susceptible, and strong resistance is wanted
    FIRE_BLIGHT = "fire_blight"
    SCAB_AND_FIRE_BLIGHT = "scab_and_fire_blight"
    RUST_OR_MILDEW = "rust_or_mildew"  # very susceptible to a rust, mildew or rots
    TIP_BEARER = "tip_bearer"  # and the plan leaves such trees out
    TRIPLOID = "triploid"
    WEAK_GROWER = "weak_grower"
    DISEASE_UNKNOWN = "disease_unknown"  # no one has rated it, and its class or kind is susceptible


@dataclass(frozen=True)
class PlantingTime:
    """When it is planted: first autumn, autumns as stated, and what the nursery raises for one of them."""

    first: int
    autumns: int
    per_year: int | None
    horizon: int  # years over which losses are spread


@dataclass(frozen=True)
class ChoiceQuestion:
    """All the Choice's sums need.

    Attributes
    ----------
    supply : candidates over the weather years
    useful : (donors, parents) dependable pollen donors; on the diagonal, how many stand beyond the orchard
    left_out : cultivars that are no candidates, and why
    rootstock : by candidate
    capacity : tree places of the ground
    by_leaf : share of a full crop in leaf 1, 2 and so on
    mature_yield : what a full-grown orchard bears; mature_yield_range : least and most published
    cellar_floor : of the cellar, where the plan says it
    disease : by candidate; wet_spring : wet days of April to June here, mean over the years
    heat : by candidate whose behaviour in heat is known, share of the crop this place's summers spoil
    to_plant : trees the plan asks for; None for as many as the ground holds
    before : what an earlier question about the same years taught, for whatever amounts; the search begins with it
    """

    supply: Supply
    needs: tuple[WeeklyNeed, ...]
    limits: Limits
    useful: Donors
    left_out: Mapping[str, Barred]
    rootstock: Mapping[str, str]
    capacity: int
    time: PlantingTime
    by_leaf: ShareArray
    mature_yield: KilogramsPerSquareMetre
    mature_yield_range: tuple[KilogramsPerSquareMetre, KilogramsPerSquareMetre]
    cellar: Celsius
    cellar_floor: SquareMetres | None
    disease: Mapping[str, DiseaseOutlook] = field(default_factory=dict)
    wet_spring: DaysLong = 0.0
    heat: Mapping[str, Share] = field(default_factory=dict)
    to_plant: int | None = None
    neighbours: tuple[Neighbour, ...] = ()
    before: "Learnt | None" = None
