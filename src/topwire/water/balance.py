"""SoilStore water day by day: many years, blocks and ages of trees at once.

Depths are millimetres over the whole floor of the orchard, a column for every year, block and age. A store is the
ground the roots explore; its uppermost centimetres also dry by evaporation. Equations of source FAO56, chapters 7
and 8.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from topwire.water.demand import evaporating_share

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class SoilStore:
    """SoilStore of a store; numbers or (columns,) arrays.

    Attributes
    ----------
    field_capacity, wilting_point : water by volume [-]
    root_depth : [m]
    rooted_share : share of the floor the roots explore [-]
    depletion_share : p of FAO56 table 22, at 5 mm/d [-]
    surface_depth : depth that dries by evaporation [m]
    readily_evaporable : water it gives without slowing [mm over the ground that evaporates]
    """

    field_capacity: npt.ArrayLike
    wilting_point: npt.ArrayLike
    root_depth: npt.ArrayLike
    rooted_share: npt.ArrayLike = 1.0
    depletion_share: npt.ArrayLike = 0.5
    surface_depth: npt.ArrayLike = 0.1
    readily_evaporable: npt.ArrayLike = 9.0

    @property
    def total_available(self) -> Array:
        """TAW, FAO56 equation 82, over the whole floor. [mm]"""
        water: Array = (
            1000
            * (np.asarray(self.field_capacity, dtype=float) - np.asarray(self.wilting_point, dtype=float))
            * np.asarray(self.root_depth, dtype=float)
            * np.asarray(self.rooted_share, dtype=float)
        )
        return water

    @property
    def total_evaporable(self) -> Array:
        """TEW, FAO56 equation 73, over the ground that evaporates. [mm]"""
        water: Array = (
            1000
            * (
                np.asarray(self.field_capacity, dtype=float)
                - 0.5 * np.asarray(self.wilting_point, dtype=float)
            )
            * np.asarray(self.surface_depth, dtype=float)
        )
        return water


@dataclass(frozen=True)
class Rule:
    """When to water and how much; numbers or arrays that broadcast to (columns,).

    Attributes
    ----------
    trigger : depletion at which watering starts, as a share of the readily available water [-]
    refill : depletion to refill to, the same share [-]
    most_per_day : net depth the system can give in a day [mm]; 0 = no watering
    wetted_share : share of the floor drip wets [-]
    """

    trigger: npt.ArrayLike = 0.7
    refill: npt.ArrayLike = 0.2
    most_per_day: npt.ArrayLike = np.inf
    wetted_share: npt.ArrayLike = 0.3


@dataclass(frozen=True)
class Drive:
    """What drives the balance. Arrays broadcast to (days, columns).

    Attributes
    ----------
    reference : [mm] reference evapotranspiration of the day
    rain : [mm] that counts
    basal : basal coefficient of the trees [-]
    grass : coefficient of grass that roots in the trees' store, over the whole floor [-]
    cover : ground under the crowns [-]
    most : upper limit of the coefficients together [-]
    allowed : 1 where the rule may water, 0 where it may not [-]
    mulch : share of evaporation that mulch lets through [-]
    given : net water given whatever the rule says, as in days that are past [mm]
    ceiling : most the rule may give on a day, as in a deficit [mm]
    """

    reference: Array
    rain: Array
    basal: Array
    grass: npt.ArrayLike = 0.0
    cover: npt.ArrayLike = 0.3
    most: npt.ArrayLike = 1.2
    allowed: npt.ArrayLike = 1.0
    mulch: npt.ArrayLike = 1.0
    given: npt.ArrayLike = 0.0
    ceiling: npt.ArrayLike = np.inf


@dataclass(frozen=True)
class Balance:
    """A run. Arrays are (days, columns), [mm] over the whole floor unless said otherwise."""

    depletion: Array  # at the end of the day
    irrigation: Array  # net
    transpiration: Array  # of trees and the grass that shares their soil
    evaporation: Array
    deep_loss: Array
    rain_in: Array  # rain that fell on the rooted ground
    stress: Array  # Ks, 1 = none [-]
    readily_available: Array  # [mm]
    start: Array  # (columns,) depletion before the first day

    @property
    def error(self) -> Array:
        """(columns,) what the books are out by over the run. [mm]"""
        change = self.depletion[-1] - self.start
        gained = self.irrigation.sum(axis=0) + self.rain_in.sum(axis=0)
        spent = self.transpiration.sum(axis=0) + self.evaporation.sum(axis=0) + self.deep_loss.sum(axis=0)
        error: Array = change - (spent - gained)
        return error


def _within(values: Array, least: float, most: float) -> Array:
    """As np.clip, which takes thrice as long on the few columns of a day."""
    found: Array = np.minimum(np.maximum(values, least), most)
    return found


def depletion_share(tabled: Array, use: Array) -> Array:
    """p at a daily use [mm] other than 5 mm; FAO56 table 22, note. [-]"""
    share: Array = _within(tabled + 0.04 * (5 - use), 0.1, 0.8)
    return share


def stress_factor(depletion: Array, total: Array, ready: Array) -> Array:
    """Ks: 1 while readily available water lasts, then down to 0 at wilting; FAO56 equation 84. [-]"""
    factor: Array = _within((total - depletion) / np.maximum(total - ready, 1e-12), 0.0, 1.0)
    return factor


def evaporation_share(depletion: Array, total: Array, ready: Array) -> Array:
    """Kr: 1 while the surface is wet, then down to 0; FAO56 equation 74. [-]"""
    share: Array = _within((total - depletion) / (total - ready), 0.0, 1.0)
    return share


def evaporation_coefficient(dryness: Array, room: Array, exposed: Array) -> Array:
    """Ke of FAO56 equation 71. [-]

    Parameters
    ----------
    dryness : Kr [-]
    room : upper limit of the coefficients together less the basal one [-]
    exposed : share of the ground wet and in the sun, times that limit [-]
    """
    coefficient: Array = np.maximum(np.minimum(dryness * room, exposed), 0.0)
    return coefficient


def run(
    drive: Drive,
    soil: SoilStore,
    rule: Rule,
    *,
    start: npt.ArrayLike = 0.0,
    surface_start: npt.ArrayLike = 0.0,
) -> Balance:
    """Water in the soil through a season, every column on its own.

    Rain falls at the start of a day, watering follows the depletion of the evening before, and stress is judged
    after both. Transpiration and evaporation never take more than the store holds; what it cannot hold is lost to
    depth. So the books close on every day.

    Parameters
    ----------
    start : array_like
        [mm] (columns,) depletion before the first day.
    surface_start : array_like
        [mm] (columns,) the same of the layer that evaporates, over the ground that evaporates.

    Raises
    ------
    ValueError
        Where a driving array holds NaN: fill the weather first.
    """
    reference, rain, basal, grass, cover, most, allowed, mulch, given_anyway, limit = np.broadcast_arrays(
        drive.reference,
        drive.rain,
        drive.basal,
        drive.grass,
        drive.cover,
        drive.most,
        drive.allowed,
        drive.mulch,
        drive.given,
        drive.ceiling,
    )
    for name, values in (("reference", reference), ("rain", rain), ("basal", basal)):
        if np.isnan(values).any():
            raise ValueError(f"{name} has gaps; the balance needs every day")
    days, columns = reference.shape
    shape = (columns,)
    taw = np.broadcast_to(soil.total_available, shape)
    rooted = np.broadcast_to(np.asarray(soil.rooted_share, dtype=float), shape)
    tabled = np.broadcast_to(np.asarray(soil.depletion_share, dtype=float), shape)
    tew = np.broadcast_to(soil.total_evaporable, shape)
    rew = np.minimum(np.broadcast_to(np.asarray(soil.readily_evaporable, dtype=float), shape), 0.95 * tew)
    wetted = np.broadcast_to(np.asarray(rule.wetted_share, dtype=float), shape)
    trigger = np.broadcast_to(np.asarray(rule.trigger, dtype=float), shape)
    refill = np.broadcast_to(np.asarray(rule.refill, dtype=float), shape)
    capacity = np.broadcast_to(np.asarray(rule.most_per_day, dtype=float), shape)

    # Everything that does not depend on the state is computed for all days at once; the loop keeps only the state.
    open_ground = evaporating_share(cover, wetted)
    room = np.maximum(most - basal, 0.0)
    exposed = open_ground * most
    per_exposed = 1 / open_ground
    wanted = (basal + grass) * reference
    soaks = rain * rooted

    shape2 = (days, columns)
    depletion, given, drunk, steamed, sunk, stress, ready = (np.empty(shape2) for _ in range(7))
    begin = np.broadcast_to(np.asarray(start, dtype=float), shape).copy()
    now = np.minimum(begin, taw)
    begin = now.copy()
    # depletion of the layer that evaporates, over the exposed ground
    surface = np.minimum(np.broadcast_to(np.asarray(surface_start, dtype=float), shape), tew)
    dripped = np.maximum(wetted, 1e-9)
    ready_before = depletion_share(tabled, wanted[0]) * taw
    for day in range(days):
        # watering is decided on what the evening before left
        ask = np.where(now >= trigger * ready_before, np.maximum(now - refill * ready_before, 0.0), 0.0)
        gift = np.minimum(np.minimum(ask, capacity), limit[day]) * allowed[day] + given_anyway[day]
        level = now - soaks[day] - gift
        surface = np.maximum(surface - rain[day] - gift / dripped, 0.0)
        lost = np.maximum(-level, 0.0)
        level = np.maximum(level, 0.0)

        kr = evaporation_share(surface, tew, rew)
        ke = evaporation_coefficient(kr, room[day], exposed[day]) * mulch[day]
        steam = ke * reference[day]
        use = wanted[day] + steam
        raw = depletion_share(tabled, use) * taw
        ks = stress_factor(level, taw, raw)
        vapour = np.minimum(steam, (tew - surface) * open_ground[day])
        vapour = np.maximum(np.minimum(vapour, taw - level), 0.0)
        drink = np.minimum(ks * wanted[day], taw - level - vapour)
        surface = np.minimum(surface + vapour * per_exposed[day], tew)
        now = level + vapour + drink

        depletion[day], given[day], drunk[day], steamed[day] = now, gift, drink, vapour
        sunk[day], stress[day], ready[day] = lost, ks, raw
        ready_before = raw
    return Balance(depletion, given, drunk, steamed, sunk, soaks, stress, ready, begin)


T = TypeVar("T", Drive, SoilStore, Rule)


def beside(parts: Sequence[T], shape: tuple[int, ...]) -> T:
    """Drives, stores or rules of one shape, the columns of one after those of the other."""
    made = {
        one.name: np.concatenate(
            [np.broadcast_to(np.asarray(getattr(part, one.name)), shape) for part in parts], axis=-1
        )
        for one in fields(parts[0])
    }
    return replace(parts[0], **made)


def run_together(parts: Sequence[tuple[Drive, SoilStore, Rule]], starts: Sequence[Array]) -> list[Balance]:
    """`run` of each with its start; all have as many columns."""
    drives, soils, rules = zip(*parts, strict=True)
    if len(parts) == 1:
        return [run(drives[0], soils[0], rules[0], start=starts[0])]
    days, columns = drives[0].reference.shape
    found = run(
        beside(drives, (days, columns)), beside(soils, (columns,)), beside(rules, (columns,)),
        start=np.concatenate(starts),
    )  # fmt: skip
    return [
        Balance(
            *(
                np.ascontiguousarray(getattr(found, one.name)[..., at : at + columns])
                for one in fields(Balance)
            )
        )
        for at in range(0, len(parts) * columns, columns)
    ]
