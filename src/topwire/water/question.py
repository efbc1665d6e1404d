"""The Water's question: the only place of the room that sees the plan and the catalogue."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.layout.findings import Ground, GroundBlock, GroundRow, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.trees import WaterSection
from topwire.values.address import row_name
from topwire.values.arrays import Floats
from topwire.values.notice import CannotAnswer, refusal
from topwire.values.terms import WaterSource
from topwire.water.asked import BlockTrees, PlantedDays, PlantedQuestion, SeasonDays
from topwire.water.canopy import canopy
from topwire.water.clogging import InWater, needs_media
from topwire.water.emitter import wetted_share
from topwire.water.feeding import fed, pieces
from topwire.water.friction import head_of
from topwire.water.need import Site
from topwire.water.system import WaterInlet
from topwire.water.tables import (
    CoverRow,
    EmitterRow,
    FittingRow,
    QualityRow,
    SoilRow,
    TubeRow,
    WaterTables,
)
from topwire.water.ways import Obstacles
from topwire.water.zone import WateredRow
from topwire.weather.record import Weather
from topwire.weather.sun import declination_fao

LOW_WIRE = 0.3  # [m] line height where the trellis has no wire for it
_HIGHER_END = 0.3  # [m] by which one end must stand higher to be the end that is fed
_NARROWEST = 1.8  # [m] width a single row draws on


def question(
    plan: Plan, catalogue: Catalogue, weather: Weather, seasons: PlaceSeasons, ground: Ground, layout: Layout
) -> PlantedQuestion:
    """The orchard as the water sees it.

    Raises
    ------
    CannotAnswer
        Where no tree stands, or the emitter named is not in the catalogue.
    """
    planted = layout.cultivar >= 0
    if not planted.any():
        raise CannotAnswer([refusal("water.no_tree")])
    tables = water_tables(catalogue)
    here = [number for number in range(len(ground.blocks)) if (planted & (ground.block == number)).any()]
    around = _obstacles(ground)
    rows = tuple(_rows(plan, ground, layout, number, site, around) for site, number in enumerate(here))
    water = plan.water
    return PlantedQuestion(
        weather=_daily(weather),
        latitude=plan.place.latitude,
        elevation=plan.place.elevation,
        seasons=SeasonDays(seasons.years, seasons.green_tip, seasons.first_frost),
        sites=tuple(_site(plan, tables, ground, number) for number in here),
        rows=rows,
        trees=tuple(_trees(ground, layout, number) for number in here),
        source=replace(
            _source(plan, ground, rows, around), laden=needs_media(_tested(water), tables.quality)
        ),
        source_kind=water.source,
        lines=_lines(water.emitter, tables),
        cover=tables.covers["apple, bare alley, killing frost"],
        grass=tables.covers["grass alone, cool season"] if water.grassed_alley else None,
        mulch=water.mulch,
        catchment=water.catchment,
        store_depth=water.store_depth,
        frost_depth=plan.place.frost_depth,
        test=_tested(water),
        tables=tables,
        around=around,
        planted=_planted(seasons, layout),
    )


def _tested(water: WaterSection) -> dict[InWater, float]:
    """What the plan says of the water, by the table's rows."""
    said = {
        InWater.SALT: water.salt,
        InWater.CHLORIDE: water.chloride,
        InWater.SODIUM: water.sodium,
        InWater.BORON: water.boron,
        InWater.IRON: water.iron,
        InWater.MANGANESE: water.manganese,
        InWater.SULPHIDE: water.sulphide,
        InWater.ACIDITY: water.acidity,
        InWater.SUSPENDED: water.suspended,
        InWater.BACTERIA: water.bacteria,
    }
    return {what: value for what, value in said.items() if value is not None}


def water_tables(catalogue: Catalogue) -> WaterTables:
    """The water tables with the grower's own rows in them."""
    soils: Mapping[str, SoilRow] = {row.texture: row for row in catalogue.rows("soils_water", SoilRow)}
    return WaterTables(
        catalogue.rows("tubing", TubeRow),
        catalogue.rows("emitters", EmitterRow),
        soils,
        {row.cover: row for row in catalogue.rows("crop_coefficients", CoverRow)},
        catalogue.rows("water_quality", QualityRow),
        catalogue.rows("pumps_filters", FittingRow),
    )


def _daily(weather: Weather) -> Weather:
    """The record without hours and remarks."""
    return replace(
        weather,
        hourly=None,
        files=(),
        notices=(),
        hourly_dew_point=None,
        hourly_wind=None,
        hourly_sun=None,
        hourly_rain=None,
    )


def _planted(seasons: PlaceSeasons, layout: Layout) -> PlantedDays:
    planted = [number for number, name in enumerate(seasons.cultivars) if name in layout.cultivars]

    def middle(values: Floats, other: float) -> float:
        """Over the trees planted, or all where none is of the catalogue; `other` where no value is known."""
        taken = values[:, planted] if planted else values
        known = taken[np.isfinite(taken)]
        return float(np.median(known)) if known.size else other

    return PlantedDays(
        middle(seasons.full_bloom, 120.0),
        middle(seasons.harvest_first, 260.0),
        middle(seasons.bloom_kill, 0.0),
    )


def _lines(emitter: str, tables: WaterTables) -> tuple[EmitterRow, ...]:
    if emitter == "choose":
        return tables.emitters
    named = tuple(row for row in tables.emitters if row.name == emitter)
    if not named:
        known = tuple(row.name for row in tables.emitters)
        raise CannotAnswer(
            [refusal("water.unknown_emitter", setting="water.emitter", emitter=emitter, known=known)]
        )
    return named


def _site(plan: Plan, tables: WaterTables, ground: Ground, number: int) -> Site:
    block = ground.blocks[number]
    soil = tables.soils[plan.place.soil.texture.value]
    width = max(block.row_spacing, _NARROWEST)
    return Site(
        block.name,
        width,
        block.tree_spacing,
        canopy(
            wall_height=ground.wall_height,
            row_spacing=width,
            tree_spacing=block.tree_spacing,
            soil_depth=plan.place.soil.depth,
            grassed=plan.water.grassed_alley,
        ),
        soil,
        wetted_share(soil.wetted_width_m, width),
        _noon(plan.place.latitude) if _east_west(block) else np.pi / 2,
    )


def _trees(ground: Ground, layout: Layout, number: int) -> BlockTrees:
    here = (layout.cultivar >= 0) & (ground.block == number)
    standing = int((here & layout.standing).sum())
    return BlockTrees(int(here.sum()) - standing, standing)


def _noon(latitude: float) -> float:
    """[rad] elevation of the sun at noon, mid-July."""
    return float(np.radians(90 - latitude) + declination_fao(196))


def _east_west(block: GroundBlock) -> bool:
    return bool(abs(np.sin(np.radians(block.row_bearing))) > np.sqrt(0.5))


def _obstacles(ground: Ground) -> Obstacles:
    """Ponds, rocks and buildings; the ground by them is taken as high as at the nearest tree place."""

    def height(corner: Floats) -> float:
        return float(ground.height[int(np.hypot(ground.x - corner[0], ground.y - corner[1]).argmin())])

    return Obstacles(
        tuple(
            tuple((float(corner[0]), float(corner[1]), height(corner)) for corner in ring)
            for ring in ground.obstacles
        )
    )


def _rows(
    plan: Plan, ground: Ground, layout: Layout, number: int, site: int, around: Obstacles
) -> tuple[WateredRow, ...]:
    block = ground.blocks[number]
    here = (layout.cultivar >= 0) & (ground.block == number)
    low_wire = plan.trellis.low_wire if plan.trellis.low_wire is not None else LOW_WIRE
    found, watered = [], []
    for index, row in enumerate(block.rows):
        years = layout.year_planted[here & (ground.row == index)]
        if years.size:
            known = tuple(int(year) for year in np.unique(years))
            found.append(_row(block, row, years.size, known, site, low_wire))
            watered.append(row)
    return fed(found, pieces(watered), from_start=_start_is_fed(block), around=around)


def _start_is_fed(block: GroundBlock) -> bool:
    """Lines are fed at their higher end where there is one, so that the fall helps; else where counting starts."""
    fall = float(np.mean([row.start_height - row.end_height for row in block.rows]))
    return fall > -_HIGHER_END


def _row(
    block: GroundBlock, row: GroundRow, trees: int, years: tuple[int, ...], site: int, low_wire: float
) -> WateredRow:
    from_start = WateredRow(
        row_name(block.name, row.number),
        site,
        (*row.start, row.start_height),
        (*row.end, row.end_height),
        row.length,
        row.first_tree,
        (row.places - 1) * row.tree_spacing,
        trees,
        row.tree_spacing,
        low_wire,
        years,
    )
    return from_start if _start_is_fed(block) else from_start.turned


def _source(
    plan: Plan, ground: Ground, rows: tuple[tuple[WateredRow, ...], ...], around: Obstacles
) -> WaterInlet:
    """The source where the plan says it is; else where its pipe reaches the first block: at the fed row end nearest to
    the gate, or its first row's. Its height counts from there in both cases."""
    water = plan.water
    first = rows[0]
    if ground.gate is None:
        point = first[0].feed
    else:
        gate = ground.gate
        point = min(first, key=lambda row: np.hypot(row.feed[0] - gate[0], row.feed[1] - gate[1])).feed
    height, distance = point[2] + water.height, water.distance
    if water.at is not None:
        east, north = (corner + away for corner, away in zip(ground.first_corner, water.at, strict=True))
        point, distance = (*around.beside((east, north)), height), 0.0
    return WaterInlet(
        water.flow,
        head_of(water.pressure),
        height,
        distance,
        point,
        water.hours_per_day,
        water.source in (WaterSource.POND, WaterSource.STREAM),
        water.source is WaterSource.DRINKING_WATER,
        water.storage,
        placed=water.at is not None,
    )
