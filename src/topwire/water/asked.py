"""What the Water is asked: blocks as soil and canopy, rows to feed, the source, weather, goods to choose from."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Self

import numpy as np

from topwire.values.arrays import Integers
from topwire.values.quantities import DayOfYear, DayOfYearArray, Metres, Share, SquareMetres
from topwire.values.terms import WaterSource
from topwire.water.clogging import InWater
from topwire.water.need import REFILL_TO, TRIGGER, Site
from topwire.water.system import WaterInlet
from topwire.water.tables import (
    LITRES_PER_HOUR,
    MILLIMETRES_PER_HOUR,
    CoverRow,
    EmitterRow,
    WaterTables,
)
from topwire.water.ways import Obstacles
from topwire.water.wetting import Ball, Drip, Soaked, watering
from topwire.water.zone import WateredRow
from topwire.weather.record import Weather


@dataclass(frozen=True)
class BlockTrees:
    """Trees of one block: new ones, and those that already stood."""

    new: int
    standing: int

    @property
    def all(self) -> int:
        return self.new + self.standing


@dataclass(frozen=True)
class SeasonDays:
    """Days of the place's seasons that turn the trees' thirst; `green_tip`, `first_frost` (years,) of `years`."""

    years: Integers
    green_tip: DayOfYearArray
    first_frost: DayOfYearArray


@dataclass(frozen=True)
class PlantedDays:
    """What the cultivars planted bring along, middle of the trees.

    Attributes
    ----------
    bloom_kill : share of their bloom that frost takes in a middle year
    """

    bloom: DayOfYear
    harvest: DayOfYear
    bloom_kill: Share


@dataclass(frozen=True)
class WaterQuestion:
    """All the Water's sums need, whichever cultivars are planted; blocks with no tree are left out.

    Attributes
    ----------
    weather : what the water does not read is left out
    latitude : [degrees north]
    rows, trees : by site
    lines : drip lines to choose from; one where the plan names it
    cover : coefficients of apple over a bare alley
    grass : of the alley's grass, None for a bare alley
    catchment : of the pond, None where the plan does not say: it is then full when the irrigation opens
    store_depth : of pond or tank, full
    frost_depth : to which the ground freezes by the local code, None where the plan does not say
    test : what a laboratory found in the water, by the names of the table of water quality, in its units
    around : what pipes go around
    """

    weather: Weather
    latitude: float
    elevation: Metres
    seasons: SeasonDays
    sites: tuple[Site, ...]
    rows: tuple[tuple[WateredRow, ...], ...]
    trees: tuple[BlockTrees, ...]
    source: WaterInlet
    source_kind: WaterSource
    lines: tuple[EmitterRow, ...]
    cover: CoverRow
    grass: CoverRow | None
    mulch: bool
    catchment: SquareMetres | None
    store_depth: Metres
    frost_depth: Metres | None
    test: Mapping[InWater, float]
    tables: WaterTables
    around: Obstacles

    def fitted(self, name: str) -> Self:
        """The same with what becomes of a watering through the line of that name, block by block and leaf by leaf."""
        line = next(line for line in self.lines if line.name == name)
        return replace(
            self,
            sites=tuple(
                replace(site, soaks=self._soaks(site, rows, line))
                for site, rows in zip(self.sites, self.rows, strict=True)
            ),
        )

    def _soaks(self, site: Site, rows: tuple[WateredRow, ...], line: EmitterRow) -> tuple[Soaked, ...]:
        soil, crown = site.soil, site.canopy
        share = self.cover.depletion_share
        drip = Drip(
            line.litres_per_hour * LITRES_PER_HOUR,
            line.spacing(site.tree_spacing),
            round(line.per_tree or 1) if line.spacing_m is None else 0,
            line.spacing_m is not None and all(row.in_step(line) for row in rows),
        )
        ready = site.ready(share) * np.minimum(TRIGGER - REFILL_TO, site.wetted_part) * site.floor / 1000
        return tuple(
            watering(
                drip,
                Ball(
                    site.tree_spacing,
                    float(radius),
                    float(crown.rooted_share[-1]) * site.row_spacing / 2,
                    float(depth),
                ),
                conductivity=soil.infiltration_mm_h * MILLIMETRES_PER_HOUR,
                lacks=TRIGGER * share * (soil.field_capacity - soil.wilting_point),
                wanted=float(wanted),
            )
            for radius, depth, wanted in zip(crown.root_radius, crown.root_depth, ready, strict=True)
        )

    @property
    def floor(self) -> float:
        """[m2] of all trees."""
        return sum(site.floor * trees.all for site, trees in zip(self.sites, self.trees, strict=True))

    @property
    def low_wire(self) -> float:
        """[m] the drip line hangs above ground."""
        return self.rows[0][0].low_wire


@dataclass(frozen=True)
class PlantedQuestion(WaterQuestion):
    """The Water's question, whole."""

    planted: PlantedDays

    @property
    def bare(self) -> WaterQuestion:
        """The question without the cultivars."""
        return WaterQuestion(**{one.name: getattr(self, one.name) for one in fields(WaterQuestion)})
