"""What each blended product comes out as: acid, tannin and sugar of the mixture, by week and over the season."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.cellar.cider import STRENGTH, STRENGTH_SPREAD, gravity_of_brix, strength
from topwire.choice.findings import BlendMade, BlendSide, Mixture, Verdict
from topwire.choice.needs import WeeklyNeed
from topwire.choice.plate import Bound, Juice, JuiceSide, mixed_value, side_values
from topwire.choice.serving import Service
from topwire.choice.supply import Supply
from topwire.values.terms import Use

Array = npt.NDArray[np.float64]

LITTLE = 0.5  # [kg] of a week's mixture below which it is not shown
SHOWN = 1e-4  # share of a mixture from which a cultivar is named
TELLING = 0.05  # share of a mixture from which a guessed figure is told
CHANCE = 1.28  # standard deviations of the middle eight in ten
ROUND = 1e-6
STRAYING = (JuiceSide.ACID, JuiceSide.TANNIN, JuiceSide.SUGAR, JuiceSide.PH)  # from year to year


def blends_made(supply: Supply, needs: Sequence[WeeklyNeed], service: Service) -> tuple[BlendMade, ...]:
    """Every blended need that anything was mixed for."""
    by_year = {number: mixed.sum(axis=(1, 2)) for number, mixed in sorted(service.mixed.items())}
    made = [number for number, amount in by_year.items() if amount.max(initial=0.0) > LITTLE]
    pressed = sum((by_year[number] for number in made if needs[number].pressed), np.zeros(supply.years.size))
    found = []
    for number in made:
        own = by_year[number]
        at = _middle(pressed if needs[number].pressed else own)
        at = at if own[at] > LITTLE else _middle(own)
        some = np.flatnonzero(service.mixed[number].any(axis=(0, 2)))
        found.append(
            _made(supply.chosen(some), needs[number], number, service.mixed[number][:, some], own, at)
        )
    return tuple(found)


def _middle(amount: Array) -> int:
    """The year in which the middle amount is made."""
    return int(np.argsort(amount, kind="stable")[amount.size // 2])


def _made(supply: Supply, need: WeeklyNeed, number: int, mixed: Array, by_year: Array, at: int) -> BlendMade:
    from scipy.special import ndtr

    assert need.blend is not None
    of_middle = mixed[at]
    made = np.flatnonzero(by_year > LITTLE)
    chances = np.ones(made.size)
    juices, bitter = [row.juice for row in supply.cultivars], [row.bitter for row in supply.cultivars]
    fruit = mixed[made].sum(axis=2)
    within = np.ones(made.size, dtype=bool)
    sides = []
    season = mixture(supply, of_middle.sum(axis=1), 0)
    for side in JuiceSide:
        bound = need.blend.bounds.get(side, Bound())
        share = fruit / fruit.sum(axis=1, keepdims=True)
        values = mixed_value(side, juices, bitter, share)
        low = -np.inf if bound.low is None else bound.low
        high = np.inf if bound.high is None else bound.high
        within &= (values >= low - ROUND) & (values <= high + ROUND)
        if side in STRAYING:
            spread = np.sqrt(_weights(side, juices, bitter, share) ** 2 @ _spreads(side, juices) ** 2)
            chances *= ndtr((high - values) / spread) - ndtr((low - values) / spread)
        sides.append(
            BlendSide(side, bound.low, bound.high, bound.own, bound.source, _verdict(season, side, low, high))
        )
    of_middle_year = of_middle.sum(axis=1) / max(float(of_middle.sum()), 1e-9)
    guessed = [
        row.name
        for row, part in zip(supply.cultivars, of_middle_year, strict=True)
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
        chance=float(chances.mean()) if chances.size else 0.0,
        pressed=need.pressed,
        style=need.style,
        volume=need.volume,
        by_year=by_year,
        by_week=mixed.sum(axis=1).mean(axis=0),
    )


def mixture(supply: Supply, fruit: Array, week: int) -> Mixture:
    """What so much of each cultivar comes out as. Figures of cultivars stray apart from each other.

    Parameters
    ----------
    fruit : (cultivars,) [kg]
    """
    total = float(fruit.sum())
    share = fruit / max(total, 1e-9)
    juices, bitter = [row.juice for row in supply.cultivars], [row.bitter for row in supply.cultivars]
    figures = {
        side: (
            float(mixed_value(side, juices, bitter, share)),
            float(np.sqrt(_weights(side, juices, bitter, share) ** 2 @ _spreads(side, juices) ** 2)),
        )
        for side in STRAYING
    }
    order = [int(at) for at in np.argsort(-share, kind="stable") if share[at] >= SHOWN]
    return Mixture(
        week,
        total,
        *figures[JuiceSide.ACID],
        *figures[JuiceSide.TANNIN],
        *figures[JuiceSide.SUGAR],
        bitter=float(share @ np.array(bitter, dtype=float)),
        shares=tuple((supply.cultivars[at].name, float(share[at])) for at in order),
        ph=figures[JuiceSide.PH][0],
        ph_spread=figures[JuiceSide.PH][1],
        hard=float(mixed_value(JuiceSide.HARD, juices, bitter, share)),
        table=float(mixed_value(JuiceSide.TABLE, juices, bitter, share)),
        measured=float(share @ np.array([not juice.guessed for juice in juices], dtype=float)),
        ph_measured=float(share @ np.array([juice.measured_ph is not None for juice in juices], dtype=float)),
    )


def _spreads(side: JuiceSide, juices: Sequence[Juice]) -> Array:
    return np.array([juice.of(side).spread for juice in juices])


def _weights(side: JuiceSide, juices: Sequence[Juice], bitter: Sequence[bool], share: Array) -> Array:
    """How much a cultivar's own figure moves the mixture's; of pH by the salt it brings."""
    if side is not JuiceSide.PH:
        return share
    salt = share * side_values(JuiceSide.ACID, juices, bitter) * 10 ** side_values(side, juices, bitter)
    return np.asarray(salt / np.maximum(salt.sum(axis=-1, keepdims=True), 1e-12))


def _verdict(season: Mixture, side: JuiceSide, low: float, high: float) -> Verdict:
    """Within its bounds, within them only if the figures hold, or outside."""
    if side not in STRAYING:
        return Verdict.WITHIN if low - ROUND <= getattr(season, side) <= high + ROUND else Verdict.OUTSIDE
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
