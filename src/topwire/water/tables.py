"""Rows of the water tables, in the trade's units as the tables print them."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from topwire.values.notice import CannotAnswer, refusal
from topwire.water.emitter import Emitter, coefficient
from topwire.water.findings import LineHydraulics

LITRES_PER_HOUR = 1 / 3.6e6  # [m3/s]
CUBIC_METRES_PER_HOUR = 1 / 3600  # [m3/s]
MILLIMETRES_PER_HOUR = 1 / 3.6e6  # [m/s]


@dataclass(frozen=True)
class TubeRow:
    """A pipe or blank tube."""

    name: str
    use: str  # main or lateral
    outside_mm: float
    inside_mm: float
    most_kpa: float
    price_per_m: float | None
    price_source: str

    @property
    def diameter(self) -> float:
        """[m] inside."""
        return self.inside_mm / 1000


@dataclass(frozen=True)
class EmitterRow:
    """A line with emitters in its wall, or single emitters (buttons) on blank tube."""

    name: str
    kind: str  # line or button
    tube: str | None
    inside_mm: float
    litres_per_hour: float
    nominal_head_m: float
    exponent: float
    regulates_from_m: float
    most_head_m: float
    variation: float
    spacing_m: float | None
    per_tree: float | None
    barb_m: float
    price_per_m: float | None
    price_each: float | None
    price_source: str

    @property
    def hydraulics(self) -> Emitter:
        flow = self.litres_per_hour * LITRES_PER_HOUR
        return Emitter(
            coefficient(flow, self.nominal_head_m, self.exponent),
            self.exponent,
            self.regulates_from_m,
            self.variation,
        )

    @property
    def drip(self) -> LineHydraulics:
        emitter = self.hydraulics
        return LineHydraulics(
            self.diameter, self.barb_m, emitter.coefficient, emitter.exponent, emitter.regulates_from
        )

    @property
    def diameter(self) -> float:
        """[m] inside."""
        return self.inside_mm / 1000

    @property
    def compensating(self) -> bool:
        return self.regulates_from_m > 0

    def spacing(self, tree_spacing: float) -> float:
        """Distance between emitters along a row. [m]"""
        if self.spacing_m is not None:
            return self.spacing_m
        return tree_spacing / (self.per_tree or 1.0)


@dataclass(frozen=True)
class SoilRow:
    texture: str
    field_capacity: float
    wilting_point: float
    readily_evaporable_mm: float
    infiltration_mm_h: float
    curve_number: float
    wetted_width_m: float
    water_mark: str


@dataclass(frozen=True)
class CoverRow:
    """Crop coefficients of one ground cover."""

    cover: str
    single_initial: float
    single_middle: float
    single_end: float
    basal_initial: float
    basal_middle: float
    basal_end: float
    most_height_m: float
    depletion_share: float


@dataclass(frozen=True)
class QualityRow:
    what: str
    unit: str
    well_below: float
    trouble_above: float
    says: str
    remedy: str
    source: str


@dataclass(frozen=True)
class FittingRow:
    item: str
    kind: str
    most_m3_h: float
    most_pipe_mm: float | None
    loss_clean_m: float
    loss_dirty_m: float
    price: float | None
    price_source: str


@dataclass(frozen=True)
class WaterTables:
    """All water tables of one catalogue."""

    tubes: tuple[TubeRow, ...]
    emitters: tuple[EmitterRow, ...]
    soils: Mapping[str, SoilRow]
    covers: Mapping[str, CoverRow]
    quality: tuple[QualityRow, ...]
    fittings: tuple[FittingRow, ...]

    @property
    def mains(self) -> tuple[TubeRow, ...]:
        """Pipes for main and manifold, narrowest first."""
        return tuple(sorted((row for row in self.tubes if row.use == "main"), key=lambda row: row.inside_mm))

    def fitting(self, kind: str, flow: float) -> FittingRow:
        """Smallest item of a kind that passes `flow` [m3/s]; the largest there is where none does."""
        rows = self._of_kind(kind)
        return next((row for row in rows if row.most_m3_h * CUBIC_METRES_PER_HOUR >= flow), rows[-1])

    def joining(self, kind: str, pipe: TubeRow) -> FittingRow:
        """Smallest item of a kind that takes a pipe so wide; the largest there is where none does."""
        rows = self._of_kind(kind)
        return next((row for row in rows if (row.most_pipe_mm or np.inf) >= pipe.outside_mm), rows[-1])

    def _of_kind(self, kind: str) -> list[FittingRow]:
        rows = sorted(
            (row for row in self.fittings if row.kind == kind),
            key=lambda row: (row.most_m3_h, row.most_pipe_mm or 0.0),
        )
        if not rows:
            raise CannotAnswer(
                [refusal("water.no_fitting", setting="catalogue/pumps_filters.csv", kind=kind)]
            )
        return rows
