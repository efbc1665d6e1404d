"""Which cultivars, how many of each, and why: the result of the Choice department."""

from dataclasses import dataclass

from topwire.notices import Notice
from topwire.values.arrays import Floats, Integers


@dataclass(frozen=True)
class ChosenCultivar:
    name: str
    trees: int  # all trees of it in the plan, standing ones included
    standing: int  # of these, already there
    rootstock: str
    own_graft: bool  # False: protected or unknown, buy the trees
    harvest_weeks: tuple[int, int]  # first and last pick week in the middle year
    uses: dict[str, float]  # use -> kg in the mean year
    donors: tuple[str, ...]  # useful pollen donors among the chosen
    loss_without: float | None  # what the plan would lose without it, weighted kg a year
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class NearMiss:
    name: str
    reason: str
    cost_to_include: float | None  # weighted kg a year the plan would lose by the smallest planting of it


@dataclass(frozen=True)
class Alternative:
    """A plan nearly as good, with few cultivars changed."""

    out: tuple[str, ...]  # cultivars that would go
    come: tuple[str, ...]  # cultivars that would come
    cost: float  # weighted kg a year the plan would lose; within the gap it means nothing


@dataclass(frozen=True)
class Worth:
    """What a little more of something would bring, the chosen cultivars kept and their numbers found anew."""

    what: str
    gain: float  # weighted kg a year


@dataclass(frozen=True)
class NeedLine:
    """One need as the programme saw it. Weeks 1 to 52 of the calendar year."""

    use: str
    label: str
    weight: float
    wanted: Floats  # (52,) [kg] whole fruit; a season's amount stands in its weeks in equal parts
    served: Floats  # (years, 52) [kg]
    season_total: bool
    made: tuple[int, ...] = ()  # weeks a product is made in, where the weeks above are those it is eaten in


@dataclass(frozen=True)
class YoungYear:
    """Service in a year after planting, mean over a good, a middling and a bad weather year."""

    leaf: int  # growing season of the trees planted first
    year: int  # calendar year of that harvest
    served: tuple[float, ...]  # share of each need, in the order of `needs`
    harvest: float  # [kg]


@dataclass(frozen=True)
class StandingAdvice:
    """What to do with trees that stand already."""

    cultivar: str
    standing: int
    advice: str  # keep, add, graft over, take out
    saves: float  # [weighted kg a year] by following it, crops lost by grafting over taken off
    keep: int = 0  # of those standing
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
    loses : [weighted kg] over all young years together, beside planting everything in the first autumn
    gains : [weighted kg] over them, beside giving every autumn an equal part of every cultivar
    """

    autumns: tuple[Batch, ...]
    planned: bool
    loses: float
    gains: float
    young_years: int


@dataclass(frozen=True)
class Choice:
    chosen: tuple[ChosenCultivar, ...]
    near_misses: tuple[NearMiss, ...]
    years: Integers  # (years,) weather years
    needs: tuple[NeedLine, ...]
    board: Integers  # (years, 52) different table cultivars on hand
    board_wanted: Integers  # (52,)
    harvest: Floats  # (years, chosen) [kg] at full crop
    waste: Floats  # (years,) [kg]
    stored: Floats  # (years, 52) [kg] in the cellar
    trees: int
    objective: float  # [weighted kg a year] shortfall, worst years, trees and waste, as docs/choice.md says
    bound: float  # proven least
    gap: float  # (objective - bound) / objective, 0 where both are 0
    unavoidable: float  # [weighted kg a year] part of the shortfall that no planting could serve here
    yield_per_tree: Floats  # (chosen,) [kg] of a full-grown tree in an ordinary year
    proof: "Proof | None"
    notices: tuple[Notice, ...]
    shortfall: float = 0.0  # [weighted kg a year] mean over the weather years, what none could serve included
    alternatives: tuple[Alternative, ...] = ()
    worth: tuple[Worth, ...] = ()
    young: tuple[YoungYear, ...] = ()
    standing: tuple[StandingAdvice, ...] = ()
    batches: Batches | None = None  # None where nothing new is planted
    harder_springs: tuple[int, ...] = ()  # weather years weighed once more with harder frost


@dataclass(frozen=True)
class Rival:
    """A plan made another way, served over the same held-out years."""

    name: str
    shortfall: float  # avoidable weighted kg short a year, mean
    worst_fifth: float  # mean of the worst fifth of years


@dataclass(frozen=True)
class Proof:
    """How sure are we: chosen on one half of the weather years, served in the other, and the other way round."""

    chosen_on: tuple[int, ...]
    served_in: tuple[int, ...]
    rivals: tuple[Rival, ...]  # ours first
