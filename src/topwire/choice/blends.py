"""What each blended product comes out as: acid, tannin and sugar of the mixture, by week and over the season."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.cellar.cider import STRENGTH, STRENGTH_SPREAD, gravity_of_brix, strength
from topwire.choice.findings import BlendMade, BlendSide, Mixture, Verdict
from topwire.choice.needs import WeeklyNeed
from topwire.choice.plate import Bound, JuiceSide, side_values
from topwire.choice.serving import Service
from topwire.choice.supply import Supply
from topwire.values.terms import Use

Array = npt.NDArray[np.float64]

LITTLE = 0.5  # [kg] of a week's mixture below which it is not shown
SHOWN = 0.01  # share of a mixture from which a cultivar is named
TELLING = 0.05  # share of a mixture from which a guessed figure is told
CHANCE = 1.28  # standard deviations of the middle eight in ten
ROUND = 1e-6


def blends_made(supply: Supply, needs: Sequence[WeeklyNeed], service: Service) -> tuple[BlendMade, ...]:
    """Every blended need that anything was mixed for."""
    found = []
    for number, mixed in sorted(service.mixed.items()):
        by_year = mixed.sum(axis=(1, 2))
        if by_year.max(initial=0.0) > LITTLE:
            found.append(_made(supply, needs[number], number, mixed, by_year))
    return tuple(found)


def _made(supply: Supply, need: WeeklyNeed, number: int, mixed: Array, by_year: Array) -> BlendMade:
    assert need.blend is not None
    at = int(np.argsort(by_year, kind="stable")[by_year.size // 2])
    of_middle = mixed[at]
    made = np.flatnonzero(by_year > LITTLE)
    juices, bitter = [row.juice for row in supply.cultivars], [row.bitter for row in supply.cultivars]
    fruit = mixed[made].sum(axis=2)
    within = np.ones(made.size, dtype=bool)
    sides = []
    season = mixture(supply, of_middle.sum(axis=1), 0)
    for side in JuiceSide:
        bound = need.blend.bounds.get(side, Bound())
        values = fruit @ side_values(side, juices, bitter) / fruit.sum(axis=1)
        low = -np.inf if bound.low is None else bound.low
        high = np.inf if bound.high is None else bound.high
        within &= (values >= low - ROUND) & (values <= high + ROUND)
        sides.append(
            BlendSide(side, bound.low, bound.high, bound.own, bound.source, _verdict(season, side, low, high))
        )
    share = of_middle.sum(axis=1) / max(float(of_middle.sum()), 1e-9)
    guessed = [
        row.name
        for row, part in zip(supply.cultivars, share, strict=True)
        if part >= TELLING and row.juice.guessed
    ]
    order = [(week - need.weeks[0]) % 52 for week in range(1, 53)]
    weeks = [
        mixture(supply, of_middle[:, week], int(week) + 1)
        for week in np.argsort(order, kind="stable")
        if of_middle[:, week].sum() > LITTLE
    ]
    return BlendMade(
        need=number,
        product=need.blend.product,
        year=int(supply.years[at]),
        season=season,
        weeks=tuple(weeks),
        sides=tuple(sides),
        within=float(within.mean()) if within.size else 0.0,
        fermented=need.use is Use.CIDER,
        alcohol=_alcohol(season) if need.use is Use.CIDER else None,
        guessed=tuple(guessed),
    )


def mixture(supply: Supply, fruit: Array, week: int) -> Mixture:
    """What so much of each cultivar comes out as. Figures of cultivars stray apart from each other.

    Parameters
    ----------
    fruit : (cultivars,) [kg]
    """
    total = float(fruit.sum())
    share = fruit / max(total, 1e-9)
    juices = [row.juice for row in supply.cultivars]
    figures = {
        side: (
            float(share @ np.array([juice.of(side).value for juice in juices])),
            float(np.sqrt((share**2) @ np.array([juice.of(side).spread for juice in juices]) ** 2)),
        )
        for side in (JuiceSide.ACID, JuiceSide.TANNIN, JuiceSide.SUGAR)
    }
    order = [int(at) for at in np.argsort(-share, kind="stable") if share[at] >= SHOWN]
    return Mixture(
        week,
        total,
        *figures[JuiceSide.ACID],
        *figures[JuiceSide.TANNIN],
        *figures[JuiceSide.SUGAR],
        bitter=float(share @ np.array([row.bitter for row in supply.cultivars], dtype=float)),
        shares=tuple((supply.cultivars[at].name, float(share[at])) for at in order),
    )


def _verdict(season: Mixture, side: JuiceSide, low: float, high: float) -> Verdict:
    """Within its bounds, within them only if the figures hold, or outside."""
    if side is JuiceSide.BITTER:
        return Verdict.WITHIN if season.bitter <= high + ROUND else Verdict.OUTSIDE
    value, spread = season.of(side)
    if not low - ROUND <= value <= high + ROUND:
        return Verdict.OUTSIDE
    sure = value - CHANCE * spread >= low and value + CHANCE * spread <= high
    return Verdict.WITHIN if sure else Verdict.IF_FIGURES_HOLD


def _alcohol(season: Mixture) -> tuple[float, float]:
    """Fermented dry, least and most: of the sugar and of what a unit of gravity gives. [% by volume]"""
    low, high = (season.sugar + sign * CHANCE * season.sugar_spread for sign in (-1, 1))
    return (
        float(strength(gravity_of_brix(max(low, 1.0)), STRENGTH - STRENGTH_SPREAD)),
        float(strength(gravity_of_brix(high), STRENGTH + STRENGTH_SPREAD)),
    )
