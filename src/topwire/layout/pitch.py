"""The spacings of one block at one bearing, as the plan states them or chosen, and the wall they make."""

from dataclasses import dataclass

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.layout import bearing as bearings
from topwire.layout import spacing as room
from topwire.layout.light import Array, Wall
from topwire.plan.model import Plan
from topwire.plan.place import Block, Fertility, Texture
from topwire.values.units import Kind, UnitSystem, shown

ABOVE_WIRE = 0.3  # [m] shoots stand above the top wire: common practice, no source
LOWEST_LEAVES = 0.5  # [m] trunk kept clear: common practice, no source
STEPS = {UnitSystem.US: 0.1524, UnitSystem.METRIC: 0.1}  # [m] row spacing is chosen in these: 6 in, 10 cm
TREE_STEPS = {UnitSystem.US: 0.0762, UnitSystem.METRIC: 0.05}  # [m] 3 in, 5 cm
SANDY = (Texture.SAND, Texture.LOAMY_SAND)


@dataclass(frozen=True)
class Spaced:
    trees: float
    rows: float
    reason: str


def wall_of(plan: Plan, catalogue: Catalogue, row_spacing: float) -> Wall:
    top = plan.trellis.wire_heights[-1] + ABOVE_WIRE
    return Wall(min(LOWEST_LEAVES, top / 2), top, training_of(plan, catalogue).canopy_width_m, row_spacing)


def bounds_of(plan: Plan, catalogue: Catalogue, value: float) -> room.RowBounds:
    """Row spacings that published rules and the machine ask for, rows at bearing `value`."""
    height = plan.trellis.wire_heights[-1] + ABOVE_WIRE
    width = training_of(plan, catalogue).canopy_width_m
    return room.row_bounds(height, width, value, plan.ground.machine_width)


def training_of(plan: Plan, catalogue: Catalogue) -> room.TrainingRow:
    rows = catalogue.rows("training_spacing", room.TrainingRow)
    return next(row for row in rows if row.training == plan.trees.training.value)


def space(plan: Plan, catalogue: Catalogue, block: Block, value: float, sun: tuple[Array, Array]) -> Spaced:
    """Spacings of a block at one bearing: as stated, or chosen."""
    system = plan.unit_system
    training = training_of(plan, catalogue)
    trees_stated = plan.trees.tree_spacing if block.tree_spacing is None else block.tree_spacing
    rows_stated = plan.trees.row_spacing if block.row_spacing is None else block.row_spacing
    said = []
    if isinstance(trees_stated, str):
        soil = plan.place.soil
        stock = catalogue.rootstock[plan.trees.rootstock]
        row = room.stock_row(catalogue.rows("tree_spacing", room.SpacingRow), stock.name, stock.vigour)
        distance = room.tree_distance(
            row,
            room.Strength.MEDIUM,
            training,
            fertility=soil.fertility.value,
            sandy=soil.texture in SANDY or soil.fertility is Fertility.POOR,
            replant=soil.replant,
        )
        step = TREE_STEPS[system]
        trees = max(step, round(distance / step) * step)
        said.append(
            f"{tape(trees, system)} between trees for {stock.name} ({row.stock_class} class) under a scion of "
            f"medium vigour, trained as {plan.trees.training.value}"
        )
    else:
        trees = trees_stated
        said.append(f"{tape(trees, system)} between trees, as stated")
    if block.along_fence:
        rows = training.row_from_m if isinstance(rows_stated, str) else rows_stated
        return Spaced(trees, rows, "; ".join(said) + "; a single row, no alley")
    height = plan.trellis.wire_heights[-1] + ABOVE_WIRE
    bounds = bounds_of(plan, catalogue, value)
    if isinstance(rows_stated, str):
        step = STEPS[system]
        low = max(training.row_from_m, bounds.machine)
        high = max(training.row_to_m, low)
        steps = np.arange(np.ceil(low / step - 1e-6), np.floor(high / step + 1e-6) + 1) * step
        options = [float(option) for option in steps] or [low]
        light = [bearings.mixed_light(wall_of(plan, catalogue, option), *sun, value)[1] for option in options]
        rows = min(
            zip(options, light, strict=True), key=lambda pair: (abs(pair[1] - room.LIGHT_WANTED), pair[0])
        )[0]
        said.append(
            f"{tape(rows, system)} between rows: of {tape(options[0], system)} to "
            f"{tape(options[-1], system)} the one that catches nearest "
            f"{room.LIGHT_WANTED:.0%} of the season's light and lets the machine pass"
        )
    else:
        rows = rows_stated
        said.append(f"{tape(rows, system)} between rows, as stated")
    said.append(
        f"published rules for a wall of {tape(height, system)} give {tape(bounds.tight, system)} (tight) "
        f"and {tape(bounds.roomy, system)} (roomy)"
    )
    return Spaced(trees, rows, "; ".join(said))


def tape(metres: float, system: UnitSystem) -> str:
    return shown(metres, Kind.LENGTH, system, digits=1)
