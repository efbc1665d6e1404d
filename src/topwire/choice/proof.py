"""How sure are we: chosen on half of the weather years, served in the other, beside plain rivals of as many trees."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from topwire.choice.asked import ChoiceQuestion
from topwire.choice.findings import Proof, Rival, Rivalry
from topwire.choice.learnt import OfHalves, Settled, lasting
from topwire.choice.master import Cuts, Point, cost_of
from topwire.choice.planting import Donors, Limits
from topwire.choice.rivals import SPLITS, halves_of, rivals, scaled
from topwire.choice.search import ROUGH_GAP, SMALL, WHOLE_ROUNDS, Found, find_among
from topwire.choice.service import WORST_SHARE
from topwire.choice.serving import unavoidable
from topwire.choice.supply import Supply
from topwire.choice.years import Infeasible, Years
from topwire.values.terms import Risk

Index = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

ROUNDS = 1  # of whole decisions among all cultivars for our plan of a half
# Plans are served one way after the other: those of one way are much alike, so that a year is soon solved on from one
# to the next. The order is that of the fewest steps, as measured on the larger example.
SERVED = (
    Rivalry.OURS, Rivalry.FORESIGHT, Rivalry.OTHER_RISK, Rivalry.POPULAR, Rivalry.GREEDY, Rivalry.MEAN_YEAR,
)  # fmt: skip
# So unlike what was served before them that it is quicker to begin anew.
UNLIKE = (Rivalry.GREEDY, Rivalry.MEAN_YEAR)


@dataclass(frozen=True)
class Proven:
    """The proof, and what it taught that will tell in another one; None where nothing was asked."""

    proof: Proof
    taught: OfHalves | None = None


@dataclass
class Plainer:
    """What a proof can do before there is a plan to be proven.

    Attributes
    ----------
    plans : the rivals' of each half; None where there can be no proof
    years : served already with these as they are where every place is planted; they stay in the process that made them
    """

    plans: tuple[Mapping[Rivalry, Index], ...] | None
    years: Years | None

    def __getstate__(self) -> dict[str, object]:
        return {"plans": self.plans, "years": None}


def prepare(asked: ChoiceQuestion, before: Sequence[Floats] = ()) -> Plainer:
    """The rivals' plans and the years, ahead of the plan they will be set beside.

    Parameters
    ----------
    before : of each half trees for the mean year of an earlier question, (cultivars,)
    """
    plans = rivals(asked, before)
    if plans is None:
        return Plainer(None, None)
    years = _years(asked)
    for way in plans[0]:
        years.forget_others()
        for (_, unknown), of_half in zip(halves_of(asked.supply), plans, strict=True):
            if way in of_half:  # most plans of ours fill all places
                years.short(scaled(of_half[way], asked.limits.places).astype(float), unknown)
    return Plainer(plans, years)


def _years(asked: ChoiceQuestion) -> Years:
    weighed = asked.supply.with_harder_springs()
    return Years(weighed, asked.needs, asked.limits, threads=1)  # other steps run beside


def prove(
    asked: ChoiceQuestion,
    settled: Settled | None = None,
    begin: OfHalves | None = None,
    plainer: Plainer | None = None,
) -> Proven:
    """Our way and the rivals' in years that none of them has seen. No rivals where there are too few years.

    The years are halved in several ways; each half is chosen on and the other one served. Every rival is brought to as
    many trees as ours; one that plants nothing is left out. What no planting could have served is taken off all of them
    alike. A last line shows our plans in the years they were made for: what not knowing the years costs.

    Our plan of a half is left as soon as more rounds would only make surer that it is good: measured on the larger
    example and three changes of its needs, in the years it was made for it costs up to 1.6 % more than one sought to
    the gap of the plan itself, half a per cent in the middle and 1.9 % once. So ours is told a little too badly.

    Parameters
    ----------
    settled : what the search of the plan learnt of the years, of those weighed once more with harder frost too
    begin : what an earlier proof taught beside it, for these amounts
    plainer : what was made ready for it
    """
    supply, needs, limits, useful = asked.supply, asked.needs, asked.limits, asked.useful
    count = supply.years.size
    plainer = plainer or prepare(asked, () if begin is None else tuple(begin.mean_year))
    if plainer.plans is None:
        return Proven(Proof(count, 0, ()))
    years = plainer.years or _years(asked)
    years.forget_others()
    known, like = 0, list[Point]()
    if settled is not None:
        known, like = settled.cuts.year.size, [settled.point]
        years.stand_at(settled.bases)
        years.cuts = settled.cuts if begin is None else Cuts.of_all([settled.cuts, begin.cuts])
    sides = halves_of(supply)
    plantings: Sequence[Floats | None] = [None] * len(sides) if begin is None else list(begin.plantings)
    try:
        found = [
            _half(years, supply, limits, useful, half, others, like, before)
            for half, others, before in zip(sides, plainer.plans, plantings, strict=True)
        ]
    except Infeasible:
        return Proven(Proof(count, 0, ()))
    plans = [plan for half in found for plan in half.plans]
    lost, lines = unavoidable(supply, needs), {}
    for way in SERVED:
        mine = [plan for plan in plans if plan.way is way]
        if len(mine) == 2 * len(SPLITS):
            if way in UNLIKE:
                years.forget_others()
            served = _valued(years, mine, limits, lost)
            lines[way] = _rival(way, [served[at : at + 2] for at in range(0, len(served), 2)])
    proof = Proof(count, len(SPLITS), tuple(lines[way] for way in Rivalry if way in lines))
    none = np.zeros(len(supply.cultivars))
    mean_year = np.array([plans.get(Rivalry.MEAN_YEAR, none) for plans in plainer.plans], dtype=float)
    return Proven(proof, _taught(years, found, mean_year, known))


def _taught(years: Years, halves: Sequence["_Half"], mean_year: Floats, known: int) -> OfHalves:
    """Of what was learnt behind the `known` cuts, that which tells of the halves' own years."""
    assert years.cuts is not None
    own = years.cuts.some(np.arange(known, years.cuts.year.size))
    tells = [
        at[np.isin(own.year[at], half.which)]
        for half in halves
        for at in [lasting(own, half.ours.trees, half.ours.relaxed)]
    ]
    plantings = np.array([half.ours.trees for half in halves], dtype=float)
    return OfHalves(own.some(np.unique(np.concatenate(tells))), plantings, mean_year)


@dataclass(frozen=True)
class _Served:
    """A plan in one half: its trees, what is avoidably short in each year, and the full measure."""

    trees: int
    short: Floats
    measure: float


@dataclass(frozen=True)
class _Plan:
    """Trees chosen one way, and the weather years they are to be served in."""

    way: Rivalry
    trees: Index
    years: Index


@dataclass(frozen=True)
class _Half:
    """What was chosen on half of the years: ours as it was found on the years `which`, and every way's plan."""

    ours: Found
    which: Index
    plans: tuple[_Plan, ...]


def _half(
    years: Years,
    supply: Supply,
    limits: Limits,
    useful: Donors,
    sides: tuple[Index, Index],
    plainer: Mapping[Rivalry, Index],
    like: Sequence[Point],
    begin: Floats | None,
) -> _Half:
    """Ours on one half, and every way's plan to be served on the other."""
    seen, unknown = sides
    harder = supply.years.size + np.flatnonzero(
        np.isin(years.supply.years[supply.years.size :], supply.years[seen])
    )
    # What the main search learnt of these years is known here too. That is fair: a cut speaks of one weather year
    # alone, it is true of that year whoever found it, and nothing of the other half's years comes in.
    # A handful of trees is sought to the end; of many a few rounds find what more of them would only make surer.
    which = np.concatenate([seen, harder])
    rounds = WHOLE_ROUNDS if limits.places <= SMALL else ROUNDS
    if begin is not None:
        like = [*like, (begin, (begin > 0).astype(float))]
    chosen = find_among(
        years, limits, useful, gap=ROUGH_GAP, which=which, rounds=rounds, rough=True, like=like, begin=begin
    )
    ours = chosen.trees
    plans = [_Plan(Rivalry.OURS, ours, unknown), _Plan(Rivalry.FORESIGHT, ours, seen)]
    if limits.places <= SMALL:  # of many trees another search would cost more than it tells
        other = replace(limits, risk=Risk.EVEN if limits.risk is Risk.CAREFUL else Risk.CAREFUL)
        of_other = find_among(years, other, useful, gap=ROUGH_GAP, which=which, rounds=rounds).trees
        plans.append(_Plan(Rivalry.OTHER_RISK, of_other, unknown))
    count = int(ours.sum())
    plans += [_Plan(way, scaled(trees, count), unknown) for way, trees in plainer.items()]
    return _Half(chosen, which, tuple(plans))


def _valued(years: Years, plans: Sequence[_Plan], limits: Limits, lost: Floats) -> list[_Served]:
    """Plans of one way served in their years; what is served already is not served again.

    Parameters
    ----------
    lost : (years,) what none could serve [weighted kg]
    """
    known: dict[tuple[bytes, int], tuple[float, float]] = {}
    served = []
    for plan in plans:
        trees, key = plan.trees.astype(float), plan.trees.tobytes()
        new = np.array([at for at in plan.years.tolist() if (key, at) not in known], dtype=np.int64)
        for at, cost, short in zip(new.tolist(), *years.short(trees, new), strict=True):
            known[key, at] = cost, short
        costs, missing = np.array([known[key, at] for at in plan.years.tolist()]).T
        served.append(
            _Served(
                int(plan.trees.sum()),
                np.maximum(missing - lost[plan.years], 0.0),
                cost_of(costs, limits, trees) - float(lost[plan.years].mean()),
            )
        )
    return served


def _rival(way: Rivalry, splits: Sequence[Sequence[_Served]]) -> Rival:
    means = [float(np.concatenate([half.short for half in split]).mean()) for split in splits]
    years = np.sort(np.concatenate([half.short for split in splits for half in split]))[::-1]
    worst = years[: max(1, round(WORST_SHARE * years.size))]
    halves = [half for split in splits for half in split]
    return Rival(
        way,
        float(np.mean([half.trees for half in halves])),
        float(np.mean(means)),
        (min(means), max(means)),
        float(worst.mean()),
        float(np.mean([half.measure for half in halves])),
    )
