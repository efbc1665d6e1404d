"""The orchard as the water sees it: blocks as soil and canopy, rows as lines to feed, the source."""

from dataclasses import dataclass

import numpy as np

from topwire.layout.findings import Ground, GroundBlock, GroundRow, Layout
from topwire.plan.model import Plan
from topwire.plan.trees import WaterSource
from topwire.water.canopy import canopy
from topwire.water.friction import head_of
from topwire.water.need import Site
from topwire.water.system import Source
from topwire.water.tables import CoverRow, WaterTables
from topwire.water.zone import WateredRow
from topwire.weather.sun import declination_fao

LOW_WIRE = 0.3  # [m] line height where the trellis has no wire for it
_HIGHER_END = 0.3  # [m] by which one end must stand higher to be the end that is fed
_NARROWEST = 1.8  # [m] width a single row draws on


@dataclass(frozen=True)
class Trees:
    """Trees of one block: new ones, and those that already stood."""

    new: int
    standing: int

    @property
    def all(self) -> int:
        return self.new + self.standing


@dataclass(frozen=True)
class Setting:
    """Everything the department works on; blocks with no tree are left out."""

    sites: tuple[Site, ...]
    rows: tuple[tuple[WateredRow, ...], ...]  # by site
    trees: tuple[Trees, ...]  # by site
    source: Source
    cover: CoverRow  # apple over a bare alley
    grass: CoverRow | None
    mulch: bool


def setting(plan: Plan, tables: WaterTables, ground: Ground, layout: Layout) -> Setting:
    """Put the setting together from the plan, the ground and who stands where."""
    soil = tables.soils[plan.place.soil.texture.value]
    low_wire = plan.trellis.low_wire if plan.trellis.low_wire is not None else LOW_WIRE
    grassed = plan.water.grassed_alley
    planted = layout.cultivar >= 0
    sites, rows, trees = [], [], []
    for index, block in enumerate(ground.blocks):
        here = planted & (ground.block == index)
        if not here.any():
            continue
        width = max(block.row_spacing, _NARROWEST)
        sites.append(
            Site(
                block.name,
                width,
                block.tree_spacing,
                canopy(
                    wall_height=ground.wall_height,
                    row_spacing=width,
                    tree_spacing=block.tree_spacing,
                    soil_depth=plan.place.soil.depth,
                    grassed=grassed,
                ),
                soil,
                min(soil.wetted_width_m / width, 1.0),
                _noon(plan.place.latitude) if _east_west(block) else np.pi / 2,
            )
        )
        standing = int((here & layout.standing).sum())
        trees.append(Trees(int(here.sum()) - standing, standing))
        from_start = _start_is_fed(block)
        found = []
        for number, row in enumerate(block.rows):
            count = int((here & (ground.row == number)).sum())
            if count:
                found.append(_row(block, row, count, len(sites) - 1, from_start, low_wire))
        rows.append(tuple(found))
    return Setting(
        tuple(sites),
        tuple(rows),
        tuple(trees),
        _source(plan, ground, rows),
        tables.covers["apple, bare alley, killing frost"],
        tables.covers["grass alone, cool season"] if grassed else None,
        plan.water.mulch,
    )


def _noon(latitude: float) -> float:
    """[rad] elevation of the sun at noon, mid-July."""
    return float(np.radians(90 - latitude) + declination_fao(196))


def _east_west(block: GroundBlock) -> bool:
    return bool(abs(np.sin(np.radians(block.row_bearing))) > np.sqrt(0.5))


def _start_is_fed(block: GroundBlock) -> bool:
    """Lines are fed at their higher end where there is one, so that the fall helps; else where counting starts."""
    fall = float(np.mean([row.start_height - row.end_height for row in block.rows]))
    return fall > -_HIGHER_END


def _row(
    block: GroundBlock, row: GroundRow, trees: int, site: int, from_start: bool, low_wire: float
) -> WateredRow:
    run = (row.places - 1) * row.tree_spacing
    start = (*row.start, row.start_height)
    end = (*row.end, row.end_height)
    return WateredRow(
        f"{block.name} {row.number}",
        site,
        start if from_start else end,
        end if from_start else start,
        row.length,
        row.first_tree if from_start else max(row.length - row.first_tree - run, 0.0),
        run,
        trees,
        row.tree_spacing,
        low_wire,
    )


def _source(plan: Plan, ground: Ground, rows: list[tuple[WateredRow, ...]]) -> Source:
    """The source's pipe reaches the first block at the fed row end nearest to the gate, or its first row's."""
    water = plan.water
    first = rows[0]
    if ground.gate is None:
        point = first[0].feed
    else:
        gate = ground.gate
        point = min(first, key=lambda row: np.hypot(row.feed[0] - gate[0], row.feed[1] - gate[1])).feed
    return Source(
        water.flow,
        head_of(water.pressure),
        point[2] + water.height,
        water.distance,
        point,
        water.hours_per_day,
        water.source in (WaterSource.POND, WaterSource.STREAM),
        water.source is WaterSource.DRINKING_WATER,
    )
