"""The chance that a row goes over in a year and over its life: storms of a year against post, roots and ground.

Two methods for one model. `risk_by_integration` sums over the nodes of a quadrature of what is uncertain and takes
storms as a Poisson process; `risk_by_draws` draws rows and single storms (seeded) and counts what falls. They share the
mechanics of one bay and nothing else.
"""

from dataclasses import dataclass, replace

import numpy as np

from topwire.trellis.failing import MODEL, Bay, Footing, Kept, Uncertain, failure_gust
from topwire.trellis.gust_load import DRAG_AT_10, FALLS_AS, canopy_band
from topwire.trellis.standing import ROOT_STRESS
from topwire.trellis.storm_year import BROADSIDE, GUST_SCATTER, GustClimate, StormKind
from topwire.values.arrays import Floats

# Scatter of the logarithm of what is uncertain from place to place; it stays with a row for life.
DRAG_SCATTER, FALLS_SCATTER = 0.30, 0.12  # of the drag at 10 m/s; of the exponent itself
SOIL_SCATTER = 0.33  # strength of one texture from field to field
ROOT_SCATTER = 0.50
WOOD_SCATTER = 0.175  # mean of three posts (0.22 a post) and a batch (0.12)
TRUNK_SCATTER = 0.10
GROWS_MOST = 1.0  # growth of the ground's push by depth: evenly between 0 and this
_TRUNKS = 3 * TRUNK_SCATTER  # root moment goes with the trunk's cube
_DRAWN_FROM = 3.0  # scales below the mode from which storms are drawn at most
_FARTHEST = 5.0  # scatters of a gust at a row, beyond which none is looked for: three in ten million


@dataclass(frozen=True)
class GroundKnown:
    """What is held of ground and roots: a middle factor on the planning figure, and the scatter of its logarithm.

    Attributes
    ----------
    soil : of the ground drained, and soaked
    roots : of the stress at which roots give
    """

    soil: tuple[tuple[float, float], tuple[float, float]] = ((1.0, SOIL_SCATTER), (1.0, SOIL_SCATTER))
    roots: tuple[float, float] = (1.0, ROOT_SCATTER)


UNTESTED = GroundKnown()


@dataclass(frozen=True)
class RowAge:
    """Some years of a row's life: how thick its trunks are, what hangs, how high its leaves reach."""

    years: int
    trunk: float  # [m]
    crop: float  # [kg/m] full crop of these years
    top: float  # [m]


@dataclass(frozen=True)
class RowUnderStorms:
    """A row and what it goes through.

    Attributes
    ----------
    bay : grown up; trunk and leaves of the years come from `ages`
    grounds : drained, soaked
    place : gust at the row over that in level open country
    known : of ground and roots, more where they were tested
    """

    bay: Bay
    grounds: tuple[Footing, Footing]
    ages: tuple[RowAge, ...]
    kinds: tuple[StormKind, ...]
    climate: GustClimate
    place: float = 1.0
    known: GroundKnown = UNTESTED

    @property
    def years(self) -> int:
        return sum(age.years for age in self.ages)


@dataclass(frozen=True)
class RowRisk:
    """Chances of one row going over.

    Arrays have the shape of the bay's spacing; `by_year` and `by_year_with_crop` one axis more, last, the years: chance
    that it falls in just that year, and that it does so in a season with crop on it.
    """

    by_year: Floats
    by_year_with_crop: Floats
    in_life: Floats
    tips: Floats  # part of `in_life` in which the ground yields
    snaps: Floats  # part in which posts break

    @property
    def in_a_grown_year(self) -> Floats:
        """Chance in the last year, given that it still stands."""
        return np.asarray(self.by_year[..., -1] / np.maximum(1 - self.in_life + self.by_year[..., -1], 1e-12))


def _aged(row: RowUnderStorms, age: RowAge) -> Bay:
    return replace(row.bay, trunk=age.trunk, band=canopy_band(age.top))


_NORMAL5 = np.polynomial.hermite_e.hermegauss(5)
_NORMAL3 = np.polynomial.hermite_e.hermegauss(3)
_EVEN2 = np.polynomial.legendre.leggauss(2)
_AXES = 5
# The exponent of the drag's fall acts as more scatter of the drag itself, at the speeds that matter (25 m/s).
_DRAG_TOGETHER = float(np.hypot(DRAG_SCATTER, FALLS_SCATTER * np.log(2.5)))


def nodes(known: GroundKnown = UNTESTED, *, soaked: bool = False) -> tuple[Uncertain, Floats]:
    """Nodes over soil, its growth, wood, roots and drag, each on an axis of its own, and their weights."""

    def on(axis: int, values: Floats) -> Floats:
        return np.asarray(values).reshape([-1 if i == axis else 1 for i in range(_AXES)])

    (x5, w5), (x3, w3), (even, half) = _NORMAL5, _NORMAL3, _EVEN2
    (firm, firm_scatter), (rooted, root_scatter) = known.soil[soaked], known.roots
    together = float(np.hypot(root_scatter, _TRUNKS))
    unknown = Uncertain(
        soil=on(0, firm * np.exp(firm_scatter * x3)),
        soil_grows=on(1, GROWS_MOST * (even + 1) / 2),
        wood=on(2, np.maximum(1 + WOOD_SCATTER * x3, 0.3)),
        roots=on(3, rooted * ROOT_STRESS * np.exp(together * x3)),
        drag=on(4, DRAG_AT_10 * np.exp(_DRAG_TOGETHER * x5)),
    )
    weight = on(0, w3) * on(1, half) * on(2, w3) * on(3, w3) * on(4, w5)
    return unknown, np.asarray(weight / weight.sum())


@dataclass(frozen=True)
class GustRange:
    """Gust [m/s] at which rows go over: one in ten earlier, half of them, one in ten later."""

    low: float
    middle: float
    high: float


def gust_range(gusts: Floats, weight: Floats) -> GustRange:
    """Of gusts at the `nodes` with their weights."""
    values, share = (part.ravel() for part in np.broadcast_arrays(gusts, weight))
    order = np.argsort(values, kind="stable")
    below = np.cumsum(share[order])
    at = np.minimum(np.searchsorted(below, (0.1, 0.5, 0.9)), len(order) - 1)
    low, middle, high = values[order][at].tolist()
    return GustRange(low, middle, high)


def risk_by_integration(row: RowUnderStorms, kept: Kept | None = None) -> RowRisk:
    """Quadrature over what is uncertain of a row, storms as a Poisson process with scatter from storm to storm.

    kept : posts that other rows were reckoned with
    """
    kept = {} if kept is None else kept
    (drained, weight), (wet, _) = nodes(row.known), nodes(row.known, soaked=True)
    unknown = drained, wet
    spacing = np.asarray(row.bay.spacing, dtype=float)
    bay = replace(row.bay, spacing=spacing.reshape(*spacing.shape, *[1] * _AXES))
    yearly = []  # for each age: storms a year that fell a row, all, with crop, by tipping
    for age in row.ages:
        aged = replace(_aged(row, age), spacing=bay.spacing)
        total, with_fruit, tipping = np.zeros(1), np.zeros(1), np.zeros(1)
        for soaked in (False, True):
            kinds = [kind for kind in row.kinds if kind.soaked == soaked]

            def each(values: list[float]) -> Floats:
                return np.reshape(values, (-1, *[1] * (spacing.ndim + _AXES)))

            fruit = each([kind.crop for kind in kinds])
            found = failure_gust(
                aged, row.grounds[soaked], crop=fruit * age.crop, leaf=each([kind.leaf for kind in kinds]),
                shelter=each([kind.shelter for kind in kinds]), unknown=unknown[soaked], model=MODEL,
                netted=each([_up(row, kind) for kind in kinds]), kept=kept,
            )  # fmt: skip
            rate = each([kind.share for kind in kinds]) * _storms(row, found.first)
            total = total + rate.sum(axis=0)
            with_fruit = with_fruit + np.where(fruit > 0, rate, 0.0).sum(axis=0)
            tipping = tipping + np.where(found.tips <= found.snaps, rate, 0.0).sum(axis=0)
        yearly.append((total, with_fruit, tipping))
    axes = tuple(range(-_AXES, 0))

    def mean(values: Floats) -> Floats:
        return np.asarray((values * weight).sum(axis=axes))

    endured: Floats = np.zeros(1)
    by_year, with_crop, tips = [], [], np.zeros(spacing.shape)
    for age, (rate, cropped, tipping) in zip(row.ages, yearly, strict=True):
        in_a_year, safe = -np.expm1(-rate), np.maximum(rate, 1e-300)
        for _ in range(age.years):
            falls = np.exp(-endured) * in_a_year
            by_year.append(mean(falls))
            with_crop.append(mean(falls * cropped / safe))
            tips = tips + mean(falls * tipping / safe)
            endured = endured + rate
    every = np.stack(by_year, axis=-1)
    life = every.sum(axis=-1)
    return RowRisk(every, np.stack(with_crop, axis=-1), np.asarray(life), tips, np.asarray(life - tips))


def _up(row: RowUnderStorms, kind: StormKind) -> float:
    """1 where the row's net is up in such a storm."""
    net = row.bay.net
    return float(net is not None and net.is_up(leaf=kind.leaf, crop=kind.crop))


def _storms(row: RowUnderStorms, gust: Floats) -> Floats:
    """Storms a year above the gust, its scatter at the row averaged."""
    x, w = _NORMAL3
    found = sum(
        weight * row.climate.storms(gust / row.place * np.exp(GUST_SCATTER * at))
        for at, weight in zip(x.tolist(), (w / w.sum()).tolist(), strict=True)
    )
    return np.asarray(found)


def risk_by_draws(row: RowUnderStorms, *, rows: int = 4000, seed: int = 1) -> RowRisk:
    """Rows drawn one by one, each taken through storms drawn one by one; the bay's spacing is a single number."""
    chance = np.random.default_rng(seed)
    normal = chance.standard_normal
    firmer, rooted = normal(rows), row.known.roots
    ground = [firm * np.exp(scatter * firmer) for firm, scatter in row.known.soil]
    unknown = Uncertain(
        soil=ground[0],
        soil_grows=chance.uniform(0, GROWS_MOST, rows),
        wood=np.maximum(1 + WOOD_SCATTER * normal(rows), 0.3),
        roots=rooted[0] * ROOT_STRESS * np.exp(rooted[1] * normal(rows)),
        trunk=np.maximum(1 + TRUNK_SCATTER * normal(rows), 0.3),
        drag=DRAG_AT_10 * np.exp(DRAG_SCATTER * normal(rows)),
        falls_as=np.clip(FALLS_AS + FALLS_SCATTER * normal(rows), 0.2, 0.95),
    )
    low, felt_of_free = row.climate.mode - _DRAWN_FROM * row.climate.scale, row.place * np.sqrt(BROADSIDE)
    shares = np.array([kind.share for kind in row.kinds])
    standing = np.ones(rows, dtype=bool)
    upto = np.cumsum(shares / shares.sum())
    upto /= upto[-1]
    cropped = np.array([kind.crop > 0 for kind in row.kinds])
    kept: Kept = {}
    by_year, with_crop, tipped = [], [], 0
    for age in row.ages:
        first, tips = np.empty((len(row.kinds), rows)), np.empty((len(row.kinds), rows), dtype=bool)
        for soaked in (False, True):
            alike = [number for number, kind in enumerate(row.kinds) if kind.soaked == soaked]
            crop, leaf, shelter, netted = np.array(
                [(k.crop * age.crop, k.leaf, k.shelter, _up(row, k)) for k in row.kinds if k.soaked == soaked]
            ).T.reshape(4, -1, 1)
            found = failure_gust(
                _aged(row, age), row.grounds[soaked], crop=crop, leaf=leaf, shelter=shelter,
                unknown=replace(unknown, soil=ground[soaked]), model=MODEL, netted=netted, kept=kept,
            )  # fmt: skip
            first[alike], tips[alike] = found.first, found.tips <= found.snaps
        weakest = first.min(axis=0)
        # Each row's storms are drawn from the gust at the station on that could fell it.
        least = np.maximum(low, weakest / (felt_of_free * np.exp(_FARTHEST * GUST_SCATTER)))
        above = shares.sum() * np.exp((row.climate.mode - least) / row.climate.scale)
        for _ in range(age.years):
            number = chance.poisson(above)
            storms = int(number.sum())
            kind_at = chance.random(storms)
            free = np.repeat(least, number) + row.climate.scale * chance.exponential(size=storms)
            felt = free * felt_of_free * np.exp(-GUST_SCATTER * normal(storms))
            # Few: no other fells a row, of any kind.
            strong = np.flatnonzero(felt > np.repeat(weakest, number))
            which = np.searchsorted(np.cumsum(number), strong, side="right")
            kind = upto.searchsorted(kind_at[strong], side="right")
            over = felt[strong] > first[kind, which]
            struck = which[over]  # in order
            at = np.flatnonzero(np.diff(struck, prepend=-1))
            felled = struck[at]
            fell = np.zeros(rows, dtype=bool)
            fell[felled] = True
            fell &= standing
            cause = np.full(rows, -1)
            cause[felled] = kind[over][at]
            by_year.append(fell.mean())
            with_crop.append((fell & cropped[cause]).mean())
            tipped += int((fell & tips[cause, np.arange(rows)]).sum())
            standing &= ~fell
    every = np.array(by_year)
    life = float(every.sum())
    return RowRisk(
        every,
        np.array(with_crop),
        np.asarray(life),
        np.asarray(tipped / rows),
        np.asarray(life - tipped / rows),
    )
