"""The rows that need a trellis, what each has to carry, and which are alike enough to share a design."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.growth.findings import CropForecast
from topwire.layout.findings import Ground, GroundBlock, GroundRow, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.trellis.demand import RowDemand, crop_of_row, row_demand
from topwire.trellis.storm import pressure_at_1

BLOOM_TO_HARVEST = 150.0  # [days] Golden Delicious, the cultivar that offsets count from
LONGEST_ROW = 150.0  # [m] between end assemblies (OMAFRA)
SHORTEST_ROW = 3.0  # [m]
LENGTH_STEP, CROP_STEP = 30.0, 4.0  # rows are sized for the next step up [m], [kg/m]
CANOPY_ABOVE = 0.3  # [m] where the ground states no wall height


@dataclass(frozen=True)
class TrellisRow:
    """One row that needs wires."""

    address: str
    block: GroundBlock
    row: GroundRow
    parts: int  # lengths between end assemblies
    crop: float  # [kg/m]
    trees: int  # new trees in it


@dataclass(frozen=True)
class LikeRows:
    """Rows sized together by their longest and heaviest."""

    rows: tuple[TrellisRow, ...]
    demand: RowDemand
    outer: bool


def rows_to_wire(
    plan: Plan,
    catalogue: Catalogue,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    seasons: PlaceSeasons | None = None,
) -> list[TrellisRow]:
    """Rows with new trees, with their crop per metre: heaviest cultivars, each until its own harvest."""
    full = {
        name: float(kg)
        for name, kg in zip(crop.cultivars, crop.full_crop_kg_per_tree, strict=True)
        if np.isfinite(kg)
    }
    kg = np.array([full.get(name, 0.0) for name in layout.cultivars])
    ripe = np.array([hanging_days(name, catalogue, seasons) for name in layout.cultivars])
    found = []
    for number, block in enumerate(ground.blocks):
        for index, row in enumerate(block.rows):
            here = np.flatnonzero((ground.block == number) & (ground.row == index))
            here = here[np.argsort(ground.place[here])]
            who = layout.cultivar[here]
            new = (who >= 0) & ~layout.standing[here]
            if not new.any():
                continue
            there = who >= 0
            mass = np.where(there, kg[np.maximum(who, 0)], 0.0) if kg.size else np.zeros(len(here))
            days = ripe[np.maximum(who, 0)] if ripe.size else np.full(len(here), BLOOM_TO_HARVEST)
            heaviest = crop_of_row(mass, days, row.tree_spacing)
            parts = max(int(np.ceil(row.length / LONGEST_ROW - 1e-9)), 1)
            found.append(
                TrellisRow(f"{block.name} {row.number}", block, row, parts, heaviest, int(new.sum()))
            )
    return found


def hanging_days(cultivar: str, catalogue: Catalogue, seasons: PlaceSeasons | None) -> float:
    """Days from full bloom to the first pick: middle weather year of this place, else the catalogue's offset."""
    if seasons is not None and cultivar in seasons.cultivars:
        at = seasons.cultivars.index(cultivar)
        days = seasons.harvest_first[:, at] - seasons.full_bloom[:, at]
        if np.isfinite(days).any():
            return max(float(np.nanmedian(days)), 30.0)
    offset = getattr(catalogue.cultivar.get(cultivar), "harvest_offset_days", None) or 0.0
    return max(BLOOM_TO_HARVEST + offset, 30.0)


def demand_of(plan: Plan, ground: Ground, row: TrellisRow, *, length: float, crop: float) -> RowDemand:
    """Demand of a row of this `length` [m] and `crop` [kg/m]."""
    heights = plan.trellis.wire_heights
    return row_demand(
        length=length,
        tree_spacing=row.row.tree_spacing,
        first_tree=max(row.row.first_tree, 0.0),
        row_spacing=row.block.row_spacing,
        inner=not row.row.outer,
        heights=heights,
        canopy_top=max(ground.wall_height, heights[-1] + CANOPY_ABOVE / 2),
        crop=crop,
        crop_on_wires=plan.trellis.crop_on_wires,
        pressure_at_1=pressure_at_1(plan, row.block.slope),
    )


def like_rows(plan: Plan, ground: Ground, rows: Sequence[TrellisRow]) -> list[LikeRows]:
    """Rows in groups, each taken at the next step of length and crop above its largest."""
    groups: dict[tuple[object, ...], list[TrellisRow]] = {}
    for row in rows:
        key = (
            row.row.outer,
            round(row.row.tree_spacing, 3),
            round(row.block.row_spacing, 3),
            round(pressure_at_1(plan, row.block.slope), 5),
            int(np.ceil(row.row.length / row.parts / LENGTH_STEP)),
            int(np.ceil(max(row.crop, 0.1) / CROP_STEP)),
        )
        groups.setdefault(key, []).append(row)
    made = []
    for members in groups.values():
        length = max(row.row.length / row.parts for row in members)
        heaviest = max(row.crop for row in members)
        longest = max(members, key=lambda row: row.row.length / row.parts)
        demand = demand_of(plan, ground, longest, length=length, crop=heaviest)
        made.append(LikeRows(tuple(members), demand, longest.row.outer))
    return made
