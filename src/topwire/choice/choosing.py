"""The plan itself: searched within its limit of loss, then with as few cultivars as its gap allows."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from topwire.choice.amounts import amounts_of
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.fewer import with_fewer_cultivars
from topwire.choice.findings import Choice
from topwire.choice.learnt import Settled
from topwire.choice.losses import find_within, keeps_its_limit
from topwire.choice.master import Point
from topwire.choice.model import Index
from topwire.choice.must_give import what_must_give
from topwire.choice.reasons import NEWCOMERS, Nearby, nearby
from topwire.choice.search import FAVOURED, Found
from topwire.choice.solver import Basis
from topwire.choice.years import GAP, Infeasible, Years
from topwire.values.notice import CannotAnswer
from topwire.values.progress import Progress

SEARCHED = 0.8  # share of the gap to which the plan is sought: the rest is for fewer cultivars


@dataclass(frozen=True)
class Chosen:
    """A plan as it was found.

    Attributes
    ----------
    asked : the question under the limits the plan was found under, with the conditions that hold a loss
    years : with all that was learnt of them, those with harder frost at the end
    bases : of the years, at the plan or near it, with its cultivars
    begun : the search began with what an earlier one had learnt
    """

    asked: ChoiceQuestion
    found: Found
    years: Years
    bases: tuple[Basis, ...]
    begun: bool

    @property
    def bases_near(self) -> tuple[Basis, ...]:
        """The same of the programmes of the cultivars that are looked at beside it alone."""
        return self.years.among(self.bases, self.standing.near)

    @property
    def standing(self) -> "StandingChoice":
        return StandingChoice(self.found.trees, nearby(self.found))


@dataclass(frozen=True)
class StandingChoice:
    """A plan as it is weighed: its trees, (cultivars,), and the cultivars that are looked at beside it."""

    trees: Index
    near: Index


def choose(
    asked: ChoiceQuestion, progress: Progress, settled: Callable[[Settled], None] = lambda _: None
) -> Chosen:
    """Numbers of trees.

    Parameters
    ----------
    settled : is told what is known once the best in fractions is found, for what need not wait for whole trees

    Raises
    ------
    CannotAnswer
        When no set of cultivars can meet the plan's conditions: says the least that must give.
    """
    supply, needs, limits, useful = asked.supply, asked.needs, asked.limits, asked.useful
    begun = asked.before is not None
    progress(
        f"weighing {len(supply.cultivars)} cultivars over {supply.years.size} weather years and {len(needs)} needs"
        + (", with what the last choice taught" if begun else "")
    )
    weighed = supply.with_harder_springs()
    years = Years(weighed, needs, limits, bases=() if asked.before is None else asked.before.bases)
    if asked.before is not None:
        years.cuts = asked.before.for_amounts(amounts_of(needs, limits)).cuts
    like = () if asked.before is None else asked.before.points

    def told(point: Point) -> None:
        """Of the best in fractions the cultivars it plants for the greater part: mostly they become the plan."""
        assert years.cuts is not None
        some = point[1] > FAVOURED
        like = np.where(some, point[0], 0.0), some.astype(float)
        settled(Settled(years.cuts, like, years.bases(np.flatnonzero(some))))

    try:
        limited = find_within(years, needs, limits, useful, gap=SEARCHED * GAP, like=like, settled=told)
    except Infeasible:
        raise CannotAnswer(what_must_give(supply, limits, useful)) from None
    asked, found = replace(asked, limits=limited.limits, before=None), limited.found
    keep = nearby(found)
    bases = years.among(years.bases(keep), keep)
    near = Nearby(weighed, needs, limited.limits, useful, keep, found.cuts, found.trees, bases)
    fewer = with_fewer_cultivars(near, found)
    if keeps_its_limit(near.years, limited, fewer.trees[near.keep].astype(float)):
        found = fewer
    years.cuts = found.cuts
    bases = years.keep_only(np.flatnonzero(found.trees))
    years.threads = 1  # from now on other steps run beside
    return Chosen(asked, found, years, bases, begun)


def standing_of(asked: ChoiceQuestion, choice: Choice) -> StandingChoice:
    """The same of a choice that was kept."""
    place = {row.name: at for at, row in enumerate(asked.supply.cultivars)}
    trees = np.zeros(len(place), dtype=np.int64)
    for line in choice.chosen:
        trees[place[line.name]] = line.trees
    newcomers = [place[miss.name] for miss in choice.near_misses if miss.cost_to_include is not None]
    return StandingChoice(trees, np.union1d(np.flatnonzero(trees), newcomers[:NEWCOMERS]).astype(np.int64))
