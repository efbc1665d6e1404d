"""All weather years as programmes, with all that was learnt of them."""

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from os import cpu_count
from typing import TypeVar

import numpy as np

from topwire.choice.master import Cuts, GatheredCuts
from topwire.choice.model import Index
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Array, Limits
from topwire.choice.serving import Service, service_of
from topwire.choice.solver import Basis
from topwire.choice.supply import Supply
from topwire.choice.year import YearProgramme, year_programmes

GAP = 0.0025  # between the planting found and the bound: the search ends there
TINY = 1e-6

T = TypeVar("T")


class Infeasible(Exception):
    """No set of trees meets the plan's conditions."""


class Years(GatheredCuts):
    """All weather years as programmes, with every cut that was learnt of them."""

    def __init__(
        self,
        supply: Supply,
        needs: Sequence[WeeklyNeed],
        limits: Limits,
        *,
        threads: int | None = None,
        bases: Sequence[Basis] = (),
    ) -> None:
        """
        Parameters
        ----------
        threads : that the years are shared out to; None: as many as there are processors
        bases : of the years, from which they are solved on; none: from nothing
        """
        self.supply, self.needs, self.threads = supply, needs, threads

        # Put together while whoever made them solves something else first.
        builder = ThreadPoolExecutor(1)
        self._built = builder.submit(lambda: _standing_at(year_programmes(supply, needs, limits), bases))
        builder.shutdown(wait=False)
        super().__init__()

    @property
    def programmes(self) -> tuple[YearProgramme, ...]:
        return self._built.result()

    def stand_at(self, bases: Sequence[Basis]) -> None:
        """Be solved on from there; years of which there is no basis stay where they are."""
        _standing_at(self.programmes, bases)

    def bases(self, cultivars: Index) -> tuple[Basis, ...]:
        """Where each year stood when it was last solved, these cultivars alone."""
        return tuple(programme.basis(cultivars) for programme in self.programmes)

    def among(self, bases: Sequence[Basis], keep: Index) -> tuple[Basis, ...]:
        """Of bases of these years those of their programmes with a few of their cultivars alone."""
        return tuple(
            programme.among(basis, keep) for programme, basis in zip(self.programmes, bases, strict=False)
        )

    def keep_only(self, cultivars: Index) -> tuple[Basis, ...]:
        """Of these alone will be asked from now on: quicker where they are few. What was learnt stays, and where each
        year stood, which is told."""
        return tuple(programme.keep_only(cultivars) for programme in self.programmes)

    def forget_others(self) -> None:
        """Begin anew with the cultivars that will be asked of from now on, and only those: quicker where they are few.
        What was learnt stays."""
        for programme in self.programmes:
            programme.forget_others()

    def short(self, trees: Array, years: Index) -> tuple[Array, Array]:
        """Costs of some years with these trees, and what is short in each. [weighted kg]"""
        told = self._each(lambda programme: programme.short(trees), years.tolist())
        return np.array([cost for cost, _ in told]), np.array([short for _, short in told])

    def missing(self, trees: Array, years: Index) -> Array:
        """What the kitchen goes without in some years with these trees, all needs alike. [kg]"""
        return np.array(self._each(lambda programme: programme.missing(trees), years.tolist()))

    def service(self, trees: Array, count: int) -> Service:
        """What reaches the kitchen with these trees in the first `count` years."""
        supply = self.supply.in_years(np.arange(count))
        solved = self._each(lambda programme: programme.served(trees)[:2], range(count))
        return service_of(supply, supply, self.needs, np.arange(trees.size), trees, solved)

    def room_prices(self, trees: Array) -> tuple[Array, Array]:
        """What more of cellar and of press saves in every year; see `YearProgramme.room_price`. [weighted kg/kg]"""
        told = self._each(lambda programme: programme.room_price(trees), range(len(self.programmes)))
        return np.array([cellar for cellar, _ in told]), np.array([press for _, press in told])

    def ask(self, trees: Array, planted: Array, years: Index | None = None) -> tuple[Array, Cuts]:
        """Costs of the years with these trees, and their cuts; all years, or some."""
        which = range(len(self.programmes)) if years is None else years.tolist()
        asked = self._each(lambda programme: programme.solve(trees, planted), which)
        cuts = Cuts.joined([cut for _, cut in asked])
        self.gather(cuts)
        return np.array([cost for cost, _ in asked]), cuts

    def _each(self, do: Callable[[YearProgramme], T], which: Iterable[int]) -> list[T]:
        """The solver lets other threads run meanwhile. Every year is a programme of its own, so that the answers do not
        hang on how many threads there are. Where other processes are at work one is best: threads that wait for each
        other cost a fifth more (measured)."""
        programmes = [self.programmes[at] for at in which]
        count = self.threads or cpu_count() or 1
        if count == 1:
            return [do(programme) for programme in programmes]
        with ThreadPoolExecutor(count) as threads:
            return list(threads.map(do, programmes))


def _standing_at(programmes: tuple[YearProgramme, ...], bases: Sequence[Basis]) -> tuple[YearProgramme, ...]:
    for programme, basis in zip(programmes, bases, strict=False):
        programme.stand_at(basis)
    return programmes
