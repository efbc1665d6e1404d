"""Scion wood that is hard to get: what so many sticks a winter become, a mother row raised from the first of them.

Old cultivars stand in few collections, which send two or three sticks. Grafted one winter early, these become whips
whose own wood, cut in the winters after, is many times as much.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import floor, sqrt

# Of a binomial count, standard deviations under its mean that are counted on: 19 batches of 20 bring more.
_SURE = 1.645


@dataclass(frozen=True)
class WoodRates:
    """What wood becomes; shares 0 to 1.

    Attributes
    ----------
    lives : of grafts, with a shoot to cut the winter after
    good : of grafts, planted and alive
    grafts_per_stick : margin for spoilt wood taken off
    from_whip, from_mother : sticks cut from a mother tree after its first season, and after each later one
    """

    lives: float
    good: float
    grafts_per_stick: float
    from_whip: float
    from_mother: float


@dataclass(frozen=True)
class WoodWinter:
    """One winter of a cultivar's wood.

    Attributes
    ----------
    before : winters before the one in which the orchard's trees are grafted; 0 is that winter itself
    fetched, own : sticks from elsewhere, and cut from the mother row
    grafts : that these allow; those of winters before the last become the mother row
    """

    before: int
    fetched: int
    own: int
    grafts: int


def wood_rates(figure: Mapping[str, float], skill: str, take: float | None = None) -> WoodRates:
    """By `figure` of propagation.csv, at the grafter's skill; `take` is the grower's own share of grafts that take."""
    takes = take or figure[f"take bench graft {skill}"]
    lives = takes * figure[f"overwinter {skill}"]
    per_stick = figure["usable buds per dormant stick"] // figure["buds per bench graft"]
    return WoodRates(
        lives=lives,
        good=lives * figure[f"grade {skill}"] * figure[f"transplant {skill}"],
        grafts_per_stick=per_stick / figure["wood margin"],
        from_whip=figure["dormant sticks per mother whip"],
        from_mother=figure["dormant sticks per young mother tree"],
    )


def winters_of(
    sticks: int, winters: int, rates: WoodRates, *, early: int | None = None
) -> tuple[WoodWinter, ...]:
    """What `sticks` fetched in each of so many winters allow, the first winter first.

    Every graft of a winter before the last becomes a mother tree. In the last one all wood goes to the orchard's trees.
    With `early` fewer are fetched in the winters before the last.
    """
    found, young, old = [], 0.0, 0.0
    for before in reversed(range(winters)):
        own = floor(young * rates.from_whip + old * rates.from_mother)
        fetched = sticks if early is None or before == 0 else early
        grafts = floor((fetched + own) * rates.grafts_per_stick)
        found.append(WoodWinter(before, fetched, own, grafts))
        young, old = grafts * rates.lives, old + young
    return tuple(found)


def least_winters(grafts: int, sticks: int, most: int, rates: WoodRates) -> tuple[WoodWinter, ...]:
    """Fewest winters, and fewest sticks in the early ones, after which so many grafts can be made.

    Where even `most` winters do not bring them: all that these bring.
    """
    for winters in range(1, most + 1):
        if winters_of(sticks, winters, rates)[-1].grafts >= grafts:
            ways = (winters_of(sticks, winters, rates, early=early) for early in range(sticks + 1))
            return next(way for way in ways if way[-1].grafts >= grafts)
    return winters_of(sticks, most, rates)


def trees_from(sticks: int, winters: int, rates: WoodRates) -> int:
    """Trees that may be counted on from that wood, the luck of a small batch taken off."""
    grafts = winters_of(sticks, winters, rates)[-1].grafts
    return max(0, floor(grafts * rates.good - _SURE * sqrt(grafts * rates.good * (1 - rates.good))))
