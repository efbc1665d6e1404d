"""The room's questions: the only place of the room that sees the plan and the catalogue."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.catalogue.parents import parents_of
from topwire.choice.findings import Choice, ChosenCultivar
from topwire.choice.neighbours_question import outside_of
from topwire.choice.pollination import UNKNOWN_MATCH, compatibility, donor_weight
from topwire.layout import spacing as room
from topwire.layout.asked import (
    BlockAsked,
    Crabs,
    CultivarAsked,
    FenceAsked,
    Genes,
    GroundQuestion,
    LayoutQuestion,
    Strip,
    TreeStanding,
)
from topwire.layout.bees_question import bee_springs
from topwire.layout.codes import short_codes
from topwire.layout.findings import Ground
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.plan.place import Block, Fertility, Texture
from topwire.plan.standing import StandingTree as RecordedTree
from topwire.values.address import TreeAddress
from topwire.values.braces import CLEAR, RAIL, STRUT_REACHES
from topwire.values.terms import EndAssembly
from topwire.values.traits import CultivarKind, Grade, Susceptibility
from topwire.values.vigour import replant_vigour, scion_grade
from topwire.weather.record import Weather

SANDY = (Texture.SAND, Texture.LOAMY_SAND)
# Spacings are chosen in steps that either tape shows; the same for all, since the reader's units change no figure.
ROW_STEP = 0.1524  # [m] 6 in
TREE_STEP = 0.0508  # [m] 2 in
LEAST_WAGE = 5.0  # an hour, where the plan counts its own work as free: fruit would have no measure else
SCAB = {
    Susceptibility.VERY_RESISTANT: 0.0,
    Susceptibility.RESISTANT: 0.25,
    Susceptibility.MODERATE: 0.5,
    Susceptibility.SUSCEPTIBLE: 0.75,
    Susceptibility.VERY_SUSCEPTIBLE: 1.0,
}
THINNING = {Grade.LOW: 0.0, Grade.MEDIUM: 0.5, Grade.HIGH: 1.0}


def ground_question(
    plan: Plan, catalogue: Catalogue, outlines: Mapping[str, Any], standing: Sequence[RecordedTree]
) -> GroundQuestion:
    """What the ground is asked.

    Parameters
    ----------
    outlines : parsed GeoJSON by the file name written in the plan
    standing : trees already there
    """
    ground, soil = plan.ground, plan.place.soil
    stock = catalogue.rootstock[plan.trees.rootstock]
    grid = catalogue.rows("tree_spacing", room.SpacingRow)
    return GroundQuestion(
        blocks=tuple(_block(plan, block, outlines) for block in ground.blocks),
        latitude=plan.place.latitude,
        longitude=plan.place.longitude,
        margin=ground.margin,
        machine_width=ground.machine_width,
        gate=ground.gate,
        obstacles=None if ground.obstacles is None else outlines[ground.obstacles],
        wind_from=plan.place.wind_from,
        declination=plan.place.declination,
        top_wire=plan.trellis.wire_heights[-1],
        training=_training(plan, catalogue),
        stock=stock.name,
        stock_spacing=room.stock_row(grid, stock.name, stock.vigour),
        fertility=soil.fertility.value,
        sandy=soil.texture in SANDY or soil.fertility is Fertility.POOR,
        replant=soil.replant,
        tree_step=TREE_STEP,
        row_step=ROW_STEP,
        standing=tuple(
            TreeStanding(
                TreeAddress(tree.block, tree.row, tree.place),
                tree.cultivar,
                tree.rootstock,
                tree.year,
                tree.longitude,
                tree.latitude,
            )
            for tree in standing
        ),
        heights=tuple(ground.heights),
        paths=tuple(Strip(way.name, tuple(way.line), way.width / 2) for way in ground.paths),
        setbacks=tuple(Strip(one.name, tuple(one.line), one.distance) for one in ground.setbacks),
        cross_alley=ground.cross_alley_width,
    )


def _block(plan: Plan, block: Block, outlines: Mapping[str, Any]) -> BlockAsked:
    def stated(value: float | str) -> float | None:
        return None if isinstance(value, str) else value

    trees, ground, fence = plan.trees, plan.ground, block.fence
    braces = (
        _brace(plan, plan.trellis.near_end, plan.trellis.near_room),
        _brace(plan, plan.trellis.far_end, plan.trellis.far_room),
    )
    return BlockAsked(
        name=block.name,
        length=block.rectangle.length if block.rectangle else None,
        width=block.rectangle.width if block.rectangle else None,
        corners=None if block.corners is None else tuple((east, north) for east, north in block.corners),
        outline=None if block.outline is None else outlines[block.outline],
        bearing=_row_bearing(block),
        slope=block.slope,
        slope_bearing=block.slope_bearing,
        headland=ground.headland if block.headland is None else block.headland,
        tree_spacing=stated(trees.tree_spacing if block.tree_spacing is None else block.tree_spacing),
        row_spacing=stated(trees.row_spacing if block.row_spacing is None else block.row_spacing),
        along_fence=block.along_fence,
        fence=FenceAsked(
            None if fence.side is None else fence.side.bearing,
            fence.height,
            fence.kind,
            fence.colour,
            fence.shade,
        ),
        braces=braces,
        cross_alleys=tuple(block.cross_alleys),
        row_groups=tuple((*group.rows, group.tree_spacing) for group in block.row_groups),
        # the anchor of a tie-back stands out about as far as the top wire is high; a fence's row has none
        behind_ends=0.0 if block.along_fence or min(braces) > 0 else plan.trellis.wire_heights[-1],
    )


def _row_bearing(block: Block) -> float | None:
    """Along a fence whose side is stated the row runs square to where its trees look."""
    if not isinstance(block.row_bearing, str):
        return block.row_bearing
    if block.along_fence and block.fence.side is not None and block.rectangle is not None:
        return (block.fence.side.bearing + 90.0) % 180.0
    return None


def _brace(plan: Plan, wish: EndAssembly | None, room: float | None) -> float:
    """Row [m] that an end is sure to take for a brace: where one is asked for, or nothing else has room."""
    kind, top = wish or plan.trellis.end_assembly, plan.trellis.wire_heights[-1]
    tight = kind is EndAssembly.CHOOSE and room is not None and room < top
    if kind in (EndAssembly.DIAGONAL, EndAssembly.LONG_DIAGONAL):
        return STRUT_REACHES[kind is EndAssembly.LONG_DIAGONAL] * top + CLEAR
    return RAIL + CLEAR if kind is EndAssembly.H_BRACE or tight else 0.0


def _training(plan: Plan, catalogue: Catalogue) -> room.TrainingRow:
    rows = catalogue.rows("training_spacing", room.TrainingRow)
    return next(row for row in rows if row.training == plan.trees.training.value)


def layout_question(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    ground: Ground,
    choice: Choice,
    weather: Weather | None = None,
) -> LayoutQuestion:
    """What the planting is asked: the choice's cultivars, and those that only stand already.

    The last layout, where there is one, is laid beside it by whoever knows it. Without weather nothing is asked
    about bees.
    """
    chosen = {row.name: row for row in choice.chosen}
    standing = dict(zip(ground.standing_cultivar, ground.standing_rootstock, strict=True))
    names = [*chosen, *(name for name in standing if name and name not in chosen)]
    columns = [seasons.cultivars.index(name) for name in names]
    crabs = _crabs(catalogue, seasons, names)
    codes = short_codes(row.name for row in catalogue.cultivars)
    price = catalogue.prices["cooking apples"]
    crop = float(choice.yield_per_tree.mean()) if len(choice.yield_per_tree) else 0.0
    return LayoutQuestion(
        ground=replace(
            ground,
            blocks=tuple(replace(block, candidates=(), light=None) for block in ground.blocks),
            notices=(),
            declination=None,
        ),
        cultivars=tuple(
            _cultivar(plan, catalogue, seasons, name, chosen.get(name), standing.get(name, ""), codes[name])
            for name in names
        ),
        first_bloom=seasons.first_bloom[:, columns],
        petal_fall=seasons.petal_fall[:, columns],
        compatible=compatibility([catalogue.cultivar[name] for name in names]),
        genes=_genes(catalogue, seasons, [*names, *crabs.names]),
        crabs=crabs,
        bees=None if weather is None else bee_springs(weather, seasons.years.tolist(), plan.place.latitude),
        shortest_run=plan.trees.shortest_run,
        planting_year=plan.years.planting,
        top_wire=plan.trellis.wire_heights[-1],
        tree_worth=crop * price.price / max(plan.money.wage, LEAST_WAGE),
        crew=plan.money.hands,
        frozen=tuple(plan.ground.frozen),
        before=None,
        outside=outside_of(plan, catalogue, seasons, names)[1] if plan.place.neighbours else None,
    )


def _crabs(catalogue: Catalogue, seasons: PlaceSeasons, planted: Sequence[str]) -> Crabs:
    """Crabs that are not planted and give good pollen."""
    names = [
        row.name
        for row in catalogue.cultivars
        if row.kind is CultivarKind.CRAB and row.name not in planted and donor_weight(row) >= 1.0
    ]
    columns = [seasons.cultivars.index(name) for name in names]
    return Crabs(tuple(names), seasons.first_bloom[:, columns], seasons.petal_fall[:, columns])


def _genes(catalogue: Catalogue, seasons: PlaceSeasons, names: Sequence[str]) -> Genes:
    rows = [catalogue.cultivar[name] for name in names]
    parents = parents_of(catalogue)
    # place and year shift every cultivar's bloom alike: only what is each one's own moves them apart
    own = np.hypot(seasons.offset_error, seasons.single_error)
    return Genes(
        alleles=tuple(row.alleles for row in rows),
        sets=tuple(row.ploidy or 2 for row in rows),
        inherited=tuple(
            tuple(
                catalogue.cultivar[parent].alleles
                for parent in parents.get(name, ())
                if parent in catalogue.cultivar and catalogue.cultivar[parent].alleles
            )
            for name in names
        ),
        weight=np.array([donor_weight(row) for row in rows]),
        otherwise=UNKNOWN_MATCH,
        pool=tuple(allele for row in catalogue.cultivars for allele in row.alleles),
        bloom_error=own[[seasons.cultivars.index(name) for name in names]],
    )


def _cultivar(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    name: str,
    chosen: ChosenCultivar | None,
    standing_stock: str,
    code: str,
) -> CultivarAsked:
    row = catalogue.cultivar[name]
    stock = catalogue.rootstock[chosen.rootstock if chosen else standing_stock]
    soil = plan.place.soil
    scion = scion_grade(row.vigour, row.ploidy)
    loss = replant_vigour(stock.replant, soil.replant)
    grid = catalogue.rows("tree_spacing", room.SpacingRow)
    kilos = dict(chosen.uses) if chosen else {}
    fresh = kilos.get("fresh", 0.0) / max(sum(kilos.values()), 1e-9)
    column = seasons.cultivars.index(name)
    return CultivarAsked(
        name=name,
        code=code,
        rootstock=stock.name,
        trees=max(0, chosen.trees - chosen.standing) if chosen else 0,
        weeks=chosen.harvest_weeks if chosen else _weeks(seasons, column),
        care=_care(row),
        frost_worth=float(np.nan_to_num(seasons.worth_of_a_degree[column])),
        favourite=min(1.0, fresh + (0.3 if name in plan.taste.must_have else 0.0)),
        story=row.introduced if row.heritage else None,
        height=room.height_after_five(stock.height_after_5_years_m, stock.vigour or 1.0, scion) * loss**0.4,
        wanted_spacing=room.tree_distance(
            room.stock_row(grid, stock.name, stock.vigour),
            scion,
            _training(plan, catalogue),
            fertility=soil.fertility.value,
            sandy=soil.texture in SANDY,
            replant=soil.replant,
        ),
    )


def _weeks(seasons: PlaceSeasons, column: int) -> tuple[int, int] | None:
    """Weeks a cultivar that only stands is picked in, in the middle year."""
    first, last = seasons.harvest_first[:, column], seasons.harvest_last[:, column]
    known = np.isfinite(first) & np.isfinite(last)
    if not known.any():
        return None
    begin, end = (int(min(52, max(1, (np.median(days[known]) - 1) // 7 + 1))) for days in (first, last))
    return begin, end


def _care(row: Cultivar) -> float:
    """Need of sprays and thinning, 0 to 1; unknown counts as middling."""
    scab = 0.5 if row.scab is None else SCAB[row.scab]
    thinning = 0.5 if row.biennial is None else THINNING[row.biennial]
    return (scab + thinning) / 2
