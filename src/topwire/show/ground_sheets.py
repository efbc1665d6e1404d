"""Sheets of the Ground department: blocks, ways the rows could run, light, rows."""

from topwire.layout.findings import Candidate, Ground, GroundBlock
from topwire.show.sheet import Column, Sheet, Value, setting, table
from topwire.tell.ground import RULES, spacing_words
from topwire.tell.reader import SMALL_GROUND, Reader, counted
from topwire.values.address import row_name
from topwire.values.quantities import Plain
from topwire.values.terms import compass
from topwire.values.units import Kind

_BLOCKS = setting("ground.blocks")
_ROW_SPACING = setting("trees.row_spacing") + table("training_spacing")
_TREE_SPACING = setting("trees.tree_spacing") + table("tree_spacing")
LEVEL = 0.001  # slope below which ground is called level


def sheets(found: Ground, reader: Reader) -> list[Sheet]:
    made = [blocks(found, reader)]
    if any(block.candidates for block in found.blocks):
        made.append(bearings(found, reader))
    if any(block.light for block in found.blocks):
        made += [light(found), spacings(found)]
    return [*made, rows(found)]


def blocks(found: Ground, reader: Reader) -> Sheet:
    area = Kind.GROUND if all(block.area < SMALL_GROUND for block in found.blocks) else Kind.AREA
    return Sheet(
        "ground.blocks",
        "The blocks",
        (
            Column("block", "block", width=1.2),
            Column("area", "area", area, 0 if area is Kind.GROUND else 2, width=0.8, links=_BLOCKS),
            Column("slope", "slope", width=1.5, links=_BLOCKS),
            Column("row_bearing", "rows run, degrees from north", Plain.COUNT, width=1, links=_BLOCKS),
            Column("row_spacing", "row to row", Kind.LENGTH, 2, width=1, links=_ROW_SPACING),
            Column("tree_spacing", "tree to tree", Kind.LENGTH, 2, width=1, links=_TREE_SPACING),
            Column("rows", "rows", width=0.6),
            Column("places", "places", width=0.7),
        ),
        tuple(
            (
                block.name,
                block.area,
                _slope(block, reader),
                block.row_bearing,
                None if block.along_fence else block.row_spacing,
                block.tree_spacing,
                len(block.rows),
                int((found.block == index).sum()),
            )
            for index, block in enumerate(found.blocks)
        ),
        "Your plan's outlines; spacing as stated or chosen there.",
        tuple(f"{block.name}: {spacing_words(block, reader)}" for block in found.blocks),
    )


def _slope(block: GroundBlock, reader: Reader) -> str:
    if block.slope <= LEVEL:
        return "level"
    return f"{reader.text(block.slope, Kind.SLOPE, 0)} to the {compass(block.slope_bearing)}"


def bearings(found: Ground, reader: Reader) -> Sheet:
    lines: list[tuple[Value, ...]] = []
    for block in found.blocks:
        most = max((item.places for item in block.candidates), default=0)
        lines += [
            (block.name, item.bearing, item.places, item.light, _weighed(item, most, reader))
            for item in block.candidates
        ]
    return Sheet(
        "ground.bearings",
        "Ways the rows could run",
        (
            Column("block", "block", width=0.9),
            Column("bearing", "degrees from north", Plain.COUNT, width=0.7, links=_BLOCKS),
            Column("places", "places", width=0.6),
            Column("light", "direct sun caught", Plain.SHARE, width=0.8),
            Column("remark", "remark", width=3.4),
        ),
        tuple(lines),
        "The same block filled at each bearing.",
    )


def _weighed(item: Candidate, most: int, reader: Reader) -> str:
    """What a bearing costs, in words."""
    lost = most - item.places
    parts = ["as many trees as any" if lost <= 0 else f"{counted(lost, 'tree')} fewer than the fullest"]
    parts.append(f"catches {item.mixed_light:.0%} of the season's light")
    if item.climb > 0.01 or item.tilt > 0.01:
        climb, tilt = (reader.text(value, Kind.SLOPE, 0) for value in (item.climb, item.tilt))
        parts.append(f"climbs {climb} along and tilts {tilt} across the row")
    if item.broadside is not None:
        parts.append(f"takes {item.broadside:.0%} of the storm wind's push on its side")
    if not item.allowed:
        parts.append("too steep along the row: the wheel tracks would wash out")
    return "; ".join(parts)


def light(found: Ground) -> Sheet:
    return Sheet(
        "ground.light",
        "Light on the leaves over the season, of the open sky",
        (
            Column("block", "block"),
            Column("caught", "caught by the wall of leaves", Plain.SHARE),
            Column("top", "top third", Plain.SHARE),
            Column("middle", "middle third", Plain.SHARE),
            Column("bottom", "bottom third", Plain.SHARE),
            Column("one_side", "one side"),
            Column("other_side", "the other"),
        ),
        tuple(
            (
                block.name,
                (block.light.beam_leaves + block.light.diffuse_leaves) / 2,
                *block.light.zones,
                *(
                    f"{side} {share:.0%}"
                    for side, share in zip(block.light.facing, block.light.sides, strict=True)
                ),
            )
            for block in found.blocks
            if block.light is not None
        ),
        "Direct and diffuse light in equal parts, trees full grown.",
    )


def spacings(found: Ground) -> Sheet:
    return Sheet(
        "ground.spacings",
        "Other row spacings",
        (
            Column("block", "block", width=0.8),
            Column("row_spacing", "row to row", Kind.LENGTH, 2, width=0.9, links=_ROW_SPACING),
            Column("rule", "what for", width=2.6),
            Column("caught", "light caught", Plain.SHARE, width=0.8),
            Column("base", "light on the lowest leaves", Plain.SHARE, width=0.9),
        ),
        tuple(
            (block.name, line.row_spacing, RULES[line.rule], line.caught, line.base)
            for block in found.blocks
            if block.light is not None
            for line in block.light.spacings
        ),
        "Caught by a wall no light passes, an upper bound.",
    )


def rows(found: Ground) -> Sheet:
    return Sheet(
        "ground.rows",
        "The rows",
        (
            Column("row", "row"),
            Column("counted_from", "counted from"),
            Column("length", "length", Kind.LENGTH, 2),
            Column("first_tree", "first tree at", Kind.LENGTH, 2),
            Column("tree_spacing", "tree to tree", Kind.LENGTH, 2, links=_TREE_SPACING),
            Column("places", "places"),
            Column("rise", "rises by", Kind.LENGTH, 2),
        ),
        tuple(
            (
                row_name(row.block, row.number),
                f"{row.start_side} end",
                row.length,
                row.first_tree,
                row.tree_spacing,
                row.places,
                row.end_height - row.start_height,
            )
            for block in found.blocks
            for row in block.rows
        ),
        "End post to end post, along the ground.",
    )
