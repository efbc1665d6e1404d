"""Which cultivars, how many of each, and why: the findings of the Choice department."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from topwire.choice.asked import Barred
from topwire.choice.disease import Disease, Rating
from topwire.choice.plate import JuiceSide
from topwire.choice.scarce import PickingWeeks, Pinched, SizeStep, TableAge, WeightedKilograms, Worth
from topwire.choice.service import WORST_SHARE
from topwire.values.arrays import Integers
from topwire.values.calendar import WEEKS
from topwire.values.notice import Notice
from topwire.values.quantities import (
    Count,
    CubicMetres,
    DayOfYear,
    GramsPerLitre,
    Kilograms,
    KilogramsArray,
    Ratio,
    Share,
)
from topwire.values.terms import Blended, CiderClass, CiderStyle, Risk, Use


class Merit(StrEnum):
    """What speaks for a chosen cultivar."""

    MUST_HAVE = "must_have"
    STANDS = "stands"  # trees of it stand already
    SERVES = "serves"
    CARRIES_TABLE = "carries_table"  # most of the table's fruit about a week
    KEEPS = "keeps"
    HERITAGE = "heritage"
    ROUNDS_OUT = "rounds_out"  # the number of cultivars wanted


@dataclass(frozen=True)
class Reason:
    """One thing that speaks for a cultivar, with the figure it has."""

    merit: Merit
    uses: tuple[Use, ...] = ()
    number: int = 0  # trees, week or weeks, as the merit has it


_CRUMBS = 0.02  # of a cultivar's fruit


@dataclass(frozen=True)
class ChosenCultivar:
    name: str
    trees: int  # all trees of it in the plan, standing ones included
    standing: int  # of these, already there
    rootstock: str
    own_graft: bool  # False: protected or unknown, buy the trees
    harvest_weeks: tuple[int, int]  # first and last pick week in the middle year
    uses: dict[str, Kilograms]  # use -> fruit picked for it in the mean year
    donors: tuple[str, ...]  # useful pollen donors among the chosen
    donors_outside: int  # of those beyond the orchard, how many are to be counted on
    loss_without: WeightedKilograms | None  # a year, what the plan would lose at least without it
    reasons: tuple[Reason, ...]
    trade_marks: tuple[str, ...] = ()  # it is sold under; not its name
    loss_after: WeightedKilograms | None = None  # a year, once its trees are lost and all others stand

    @property
    def for_cider(self) -> bool:
        """Cider fruit: fermented, and served as nothing but juice beside it, crumbs left out.

        What comes to the table or the pan too is thinned, picked and stored as table fruit.
        """
        pressed = self.uses.get(Use.CIDER, 0.0) + self.uses.get(Use.JUICE, 0.0)
        served = sum(self.uses.values())
        return self.uses.get(Use.CIDER, 0.0) > 0 and served - pressed <= _CRUMBS * served


class Miss(StrEnum):
    """Why a candidate was not chosen."""

    AS_GOOD = "as_good"  # within the solver's gap
    OTHERS_SERVE = "others_serve"  # the same needs in the same weeks, and bring more
    BRINGS_LESS = "brings_less"  # than the trees that would have to make room


@dataclass(frozen=True)
class NearMiss:
    name: str
    why: Miss | Barred
    rivals: tuple[str, ...]  # chosen cultivars that serve in its place
    cost_to_include: WeightedKilograms | None  # a year, by its smallest planting


@dataclass(frozen=True)
class Alternative:
    """A plan nearly as good, with few cultivars changed."""

    out: tuple[str, ...]  # cultivars that would go
    come: tuple[str, ...]  # cultivars that would come
    cost: WeightedKilograms  # a year the plan would lose; within the gap it means nothing


TOLD_GAP = 5e-5  # share below which a gap is none


@dataclass(frozen=True)
class NeedLine:
    """One need as the programme saw it. Weeks 1 to 52 of the calendar year.

    Attributes
    ----------
    amount : a week where `a_week`, else a season
    start, end : days between which it is wanted, or made where it has a period of use
    used_from, used_to : period of use of a product
    wanted : (52,) whole fruit; a season's amount stands in its weeks in equal parts
    served : (years, 52)
    made : weeks a product is made in, where the weeks above are those it is eaten in
    dish, portion : of a weekly need, whole fruit in a portion
    guests, taken_by : guests a week and the share of them that take it, where the plan says them
    off_tree : (52,) of what is served, mean over the years, picked in that very week; the rest lay in the cellar
    brought_by : by week, the cultivars that bring it in the mean year, most first; none where it is put by
    style, volume : of cider stated as what is made of it
    """

    use: Use
    cider_class: CiderClass | None
    blended: bool
    amount: Kilograms
    a_week: bool
    start: DayOfYear
    end: DayOfYear
    used_from: DayOfYear | None
    used_to: DayOfYear | None
    weight: Ratio
    wanted: KilogramsArray
    served: KilogramsArray
    made: tuple[int, ...] = ()
    dish: str = ""
    portion: Kilograms | None = None
    guests: Count | None = None
    taken_by: Share | None = None
    off_tree: KilogramsArray = field(default_factory=lambda: np.zeros(WEEKS))
    brought_by: tuple[tuple[str, ...], ...] = ()
    style: CiderStyle | None = None
    volume: CubicMetres | None = None

    @property
    def put_by(self) -> bool:
        """Eaten out of what was made before."""
        return self.used_from is not None

    @property
    def portions(self) -> Count | None:
        """A week, of a weekly need of a dish."""
        return self.amount / self.portion if self.portion else None

    @property
    def share(self) -> Share:
        """Share of it that is served, mean over the years."""
        wanted = float(self.wanted.sum())
        return float(self.served.sum(axis=1).mean()) / wanted if wanted > 0 else 1.0

    @property
    def weakest(self) -> tuple[int, Share, Share] | None:
        """The week that is served least: its number, the share served in the mean year and in its worst."""
        weeks = np.flatnonzero(self.wanted > 0)
        if not weeks.size or not self.a_week:
            return None
        shares = self.served[:, weeks] / self.wanted[weeks]
        at = int(np.argmin(shares.mean(axis=0)))
        return int(weeks[at]) + 1, float(shares[:, at].mean()), float(shares[:, at].min())


class Verdict(StrEnum):
    """How a mixture stands to a bound."""

    WITHIN = "within"
    IF_FIGURES_HOLD = "if_figures_hold"  # within, but the spread of year and class reaches beyond
    OUTSIDE = "outside"


@dataclass(frozen=True)
class Mixture:
    """What is mixed in a week (1 to 52), or over the season (0).

    Attributes
    ----------
    acid_spread, tannin_spread, sugar_spread : standard deviation, of years where measured, else of class or kind
    sugar : [deg Brix]; bitter : share of fruit of the bitter cider classes
    shares : cultivars with their share of the fruit, largest first
    ph : mixed as a weak acid with its salt; hard : share of fruit whose tannin is hard, unknown kinds count half
    table : share of fruit that is of no cider class
    measured, ph_measured : share of fruit whose acid and tannin, and whose pH, someone has measured
    """

    week: int
    kg: Kilograms
    acid: GramsPerLitre
    acid_spread: GramsPerLitre
    tannin: GramsPerLitre
    tannin_spread: GramsPerLitre
    sugar: Ratio
    sugar_spread: Ratio
    bitter: Share
    shares: tuple[tuple[str, Share], ...]
    ph: Ratio = 0.0
    ph_spread: Ratio = 0.0
    hard: Share = 0.0
    table: Share = 0.0
    measured: Share = 1.0
    ph_measured: Share = 1.0

    def of(self, side: JuiceSide) -> tuple[float, float]:
        """A side and its spread."""
        return float(getattr(self, side)), float(getattr(self, f"{side}_spread"))


@dataclass(frozen=True)
class BlendSide:
    """One bounded side of a blend; `own`: the plan states the bound."""

    side: JuiceSide
    low: Ratio | None
    high: Ratio | None
    own: bool
    source: str
    verdict: Verdict


@dataclass(frozen=True)
class BlendMade:
    """A blended product as it comes out.

    Attributes
    ----------
    need : its number among the needs
    year : the weather year in which the middle amount is mixed, of all that is pressed for what is pressed; season and
        weeks are of that year
    within : share of weather years in which the season's mixture is within all bounds
    alcohol : [% by volume] fermented dry, least and most; None where it is not fermented
    guessed : cultivars of the mixture whose acid or tannin are those of their class or kind
    chance : of being within all bounds in a year, figures straying as they do between years and cultivars
    pressed : it goes through the press
    style, volume : of cider stated as what is made of it; what is asked for in a year
    by_year : (years,) what is mixed; by_week : (52,) mean over the years
    """

    need: int
    product: Blended
    year: int
    season: Mixture
    weeks: tuple[Mixture, ...]
    sides: tuple[BlendSide, ...]
    within: Share
    fermented: bool
    alcohol: tuple[Ratio, Ratio] | None
    guessed: tuple[str, ...]
    chance: Share = 1.0
    pressed: bool = False
    style: CiderStyle | None = None
    volume: CubicMetres | None = None
    by_year: KilogramsArray = field(default_factory=lambda: np.zeros(0))
    by_week: KilogramsArray = field(default_factory=lambda: np.zeros(WEEKS))


@dataclass(frozen=True)
class DiseaseLine:
    """A chosen cultivar and disease.

    Attributes
    ----------
    ratings : by disease, as DiseaseOutlook has them
    blight_years : share of weather years with fire blight weather in its bloom
    alive : trees alive in year ten, low, middle and high, of those in the plan
    crop_lost : share of the crop that disease takes or spoils, reckoned with in the choice
    deadly : of the group a published outbreak killed almost to a tree
    """

    cultivar: str
    trees: int
    ratings: Mapping[Disease, Rating]
    blight_years: Share
    alive: tuple[Count, Count, Count]
    crop_lost: Share
    deadly: bool


@dataclass(frozen=True)
class StandingAdvice:
    """What to do with trees that stand already."""

    cultivar: str
    standing: int
    saves: WeightedKilograms  # a year by following it, crops lost by grafting over taken off
    keep: int  # of those standing
    graft_over: tuple[tuple[str, int], ...] = ()  # to which cultivar, how many
    take_out: int = 0  # and not planted again
    add: int = 0  # new trees of it beside them


@dataclass(frozen=True)
class Batch:
    """What is planted in one autumn."""

    autumn: int  # year of the planting autumn
    trees: tuple[tuple[str, int], ...]  # new trees by cultivar
    bought: int  # of them, trees that are bought, not raised
    no_donor_yet: tuple[str, ...]  # cultivars of which no useful pollen donor is planted by then

    @property
    def total(self) -> int:
        return sum(count for _, count in self.trees)


@dataclass(frozen=True)
class Batches:
    """New trees by planting autumn, and what it means for the years before full crop.

    Attributes
    ----------
    planned : the plan asks for these autumns; otherwise they are advice, and all is planted in the first
    loses : over all young years together, beside planting everything in the first autumn
    gains : over them, beside giving every autumn an equal part of every cultivar
    """

    autumns: tuple[Batch, ...]
    planned: bool
    loses: WeightedKilograms
    gains: WeightedKilograms
    young_years: int


class Rivalry(StrEnum):
    """A way to make a plan."""

    OURS = "ours"
    MEAN_YEAR = "mean_year"  # the same programme on one mean year
    GREEDY = "greedy"  # a few more trees at a time of what the mean year lacks most
    OTHER_RISK = "other_risk"  # ours with the years weighed the other way: even for careful, careful for even
    POPULAR = "popular"  # equal numbers of the most planted apples
    FORESIGHT = "foresight"  # ours, knowing the very years it is served in


@dataclass(frozen=True)
class Rival:
    """A plan made one way, served over held-out years."""

    way: Rivalry
    trees: Count  # mean over the splits
    shortfall: WeightedKilograms  # avoidable, a year, mean over the splits
    spread: tuple[WeightedKilograms, WeightedKilograms]  # least and most of a split
    worst_fifth: WeightedKilograms  # mean of the worst fifth of years
    measure: WeightedKilograms  # all that is made least: mean, worst fifth, trees and waste, what none could serve off


@dataclass(frozen=True)
class Proof:
    """How sure are we: chosen on one half of the weather years, served in the other, and the other way round.

    Every rival has as many trees as ours. None are there where there are too few years, or no plan of a half.
    """

    years: int
    splits: int  # ways to halve the years
    rivals: tuple[Rival, ...]  # ours first


@dataclass(frozen=True)
class Choice:
    """Shapes: (years,) weather years, (chosen,) cultivars, 52 weeks.

    Attributes
    ----------
    board : different table cultivars on hand; board_wanted : (52,)
    harvest : (years, chosen) at full crop; waste : (years,); stored : (years, 52) in the cellar
    objective : a year, shortfall, worst years, trees and waste, as docs/choice.md says; bound : proven least
    gap : (objective - bound) / objective, 0 where both are 0
    unavoidable : a year, part of the shortfall that no planting could serve here
    yield_per_tree : (chosen,) of a full-grown tree in an ordinary year
    shortfall : a year, mean over the weather years, what none could serve included
    batches : None where nothing new is planted
    sound_share : of what the trees bear after frost, the part that disease and heat leave fit for the kitchen
    wanted : a year, all needs; most_lost : largest share of it that may be lost with one cultivar, as the plan says
    proof : None while it is still being worked out
    harder_springs : weather years weighed once more with harder frost
    """

    chosen: tuple[ChosenCultivar, ...]
    near_misses: tuple[NearMiss, ...]
    years: Integers
    needs: tuple[NeedLine, ...]
    board: Integers
    board_wanted: Integers
    harvest: KilogramsArray
    waste: KilogramsArray
    stored: KilogramsArray
    trees: int
    objective: WeightedKilograms
    bound: WeightedKilograms
    gap: Share
    unavoidable: WeightedKilograms
    yield_per_tree: KilogramsArray
    proof: Proof | None
    notices: tuple[Notice, ...]
    shortfall: WeightedKilograms = 0.0
    alternatives: tuple[Alternative, ...] = ()
    worth: tuple[Worth, ...] = ()
    standing: tuple[StandingAdvice, ...] = ()
    batches: Batches | None = None
    harder_springs: tuple[int, ...] = ()
    blends: tuple[BlendMade, ...] = ()
    disease: tuple[DiseaseLine, ...] = ()
    pinches: tuple[Pinched, ...] = ()
    sizes: tuple[SizeStep, ...] = ()
    picking: PickingWeeks | None = None
    table_age: TableAge | None = None
    risk: Risk = Risk.CAREFUL
    wanted: WeightedKilograms = 0.0
    most_lost: Share | None = None
    sound_share: Share = 1.0

    @property
    def pressed(self) -> KilogramsArray:
        """(52,) fruit that goes through the press in each week, mean over the years."""
        return sum((made.by_week for made in self.blends if made.pressed), np.zeros(WEEKS))

    @property
    def gap_of_avoidable(self) -> Share:
        """The gap beside the part of the cost that any planting can change."""
        part = self.objective - self.unavoidable
        return max(0.0, self.objective - self.bound) / part if part > 0 else 0.0

    @property
    def wanted_kg(self) -> Kilograms:
        """What the kitchen wants in a year, all needs alike."""
        return sum(float(need.wanted.sum()) for need in self.needs)

    @property
    def served_kg(self) -> Kilograms:
        """What of it reaches the kitchen in the mean year."""
        return sum(float(need.served.sum(axis=1).mean()) for need in self.needs)

    @property
    def worst_fifth(self) -> Share:
        """Share of all that is wanted that reaches the kitchen in the worst fifth of years."""
        return served_in_the_worst_fifth(self.needs)


def served_in_the_worst_fifth(needs: Sequence[NeedLine]) -> Share:
    """Share of all that is wanted that reaches the kitchen in the worst fifth of years."""
    served = np.sort(np.sum([need.served.sum(axis=1) for need in needs], axis=0))
    few = served[: max(1, round(WORST_SHARE * served.size))]
    return float(few.mean() / max(sum(float(need.wanted.sum()) for need in needs), 1e-9))
