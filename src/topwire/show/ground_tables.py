"""Tables of the Ground department: blocks and rows before planting, and who stands where after it."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.layout.result import Ground, Layout
from topwire.show.reader import Reader, percent
from topwire.show.table import Cell, Table, figure
from topwire.values.units import Kind

_POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def compass(bearing: float) -> str:
    """The nearest of eight points."""
    return _POINTS[round(bearing / 45) % 8]


def ground_tables(orchard: Orchard) -> list[Table]:
    ground = orchard.ground
    if ground is None:
        return []
    reader = Reader(orchard.origin.units)
    found = [blocks(ground, reader)]
    if any(block.candidates for block in ground.blocks):
        found.append(bearings(ground))
    if any(block.light for block in ground.blocks):
        found += [light(ground), spacings(ground, reader)]
    return [*found, rows(ground, reader)]


def blocks(ground: Ground, reader: Reader) -> Table:
    lines = []
    for index, block in enumerate(ground.blocks):
        slope = (
            f"{100 * block.slope:.0f}% to the {compass(block.slope_bearing)}"
            if block.slope > 0.001
            else "level"
        )
        lines.append(
            (
                block.name,
                reader.figure(block.area, Kind.AREA, 2),
                slope,
                figure(block.row_bearing),
                reader.tape(block.row_spacing),
                reader.tape(block.tree_spacing),
                len(block.rows),
                int((ground.block == index).sum()),
            )
        )
    return Table(
        "The blocks",
        (
            "block", f"area, {reader.unit(Kind.AREA)}", "slope", "rows run, degrees from north", "row to row",
            "tree to tree", "rows", "places",
        ),
        tuple(lines),
        "Your plan's outlines; spacing as stated or chosen there.",
        tuple(f"{block.name}: {block.spacing_reason}" for block in ground.blocks if block.spacing_reason),
        (1.2, 0.8, 1.5, 1, 1, 1, 0.6, 0.7),
    )  # fmt: skip


def bearings(ground: Ground) -> Table:
    lines: list[tuple[Cell, ...]] = [
        (
            block.name,
            figure(candidate.bearing),
            candidate.places,
            percent(candidate.light),
            candidate.note,
        )
        for block in ground.blocks
        for candidate in block.candidates
    ]
    return Table(
        "Ways the rows could run",
        ("block", "degrees from north", "places", "light caught, % of direct sun", "remark"),
        tuple(lines),
        "The same block filled at each bearing.",
        widths=(0.9, 0.7, 0.6, 0.8, 3.4),
    )


def light(ground: Ground) -> Table:
    return Table(
        "Light on the leaves over the season, % of the open sky",
        (
            "block",
            "caught by the wall of leaves",
            "top third",
            "middle third",
            "bottom third",
            "one side",
            "the other",
        ),
        tuple(
            (
                block.name,
                percent((block.light.beam_leaves + block.light.diffuse_leaves) / 2),
                *(percent(share) for share in block.light.zones),
                *(
                    f"{name} {share:.0%}"
                    for name, share in zip(block.light.side_names, block.light.sides, strict=True)
                ),
            )
            for block in ground.blocks
            if block.light is not None
        ),
        "Direct and diffuse light in equal parts, trees full grown.",
    )


def spacings(ground: Ground, reader: Reader) -> Table:
    return Table(
        "Other row spacings",
        ("block", "row to row", "what for", "light caught, %", "light on the lowest leaves, %"),
        tuple(
            (block.name, reader.tape(line.row_spacing), line.why, percent(line.caught), percent(line.base))
            for block in ground.blocks
            if block.light is not None
            for line in block.light.spacings
        ),
        "Caught by a wall no light passes, an upper bound.",
        widths=(0.8, 0.9, 2.6, 0.8, 0.9),
    )


def rows(ground: Ground, reader: Reader) -> Table:
    return Table(
        "The rows",
        ("row", "counted from", "length", "first tree at", "tree to tree", "places", "rises by"),
        tuple(
            (
                f"{row.block} {row.number}",
                row.start_end,
                reader.tape(row.length),
                reader.tape(row.first_tree),
                reader.tape(row.tree_spacing),
                row.places,
                reader.tape(row.end_height - row.start_height),
            )
            for block in ground.blocks
            for row in block.rows
        ),
        "End post to end post, along the ground.",
    )


def layout_tables(orchard: Orchard) -> list[Table]:
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return []
    reader = Reader(orchard.origin.units)
    return [planted(layout), pollen(ground, layout), walk(layout, reader), runs(layout), *gaps(layout)]


def planted(layout: Layout) -> Table:
    lines = []
    for index, name in enumerate(layout.cultivars):
        here = layout.cultivar == index
        if here.any():
            of_it = [run for run in layout.runs if run.cultivar == name]
            lines.append(
                (
                    name,
                    layout.rootstock[index] or "–",
                    int(here.sum()),
                    int((here & layout.standing).sum()),
                    len(of_it),
                    ", ".join(dict.fromkeys(f"{run.block} {run.row}" for run in of_it)),
                )
            )
    return Table(
        "Where each cultivar stands",
        ("cultivar", "rootstock", "trees", "of these standing", "runs", "rows"),
        tuple(lines),
        f"{int((layout.cultivar >= 0).sum()):,} trees; {int((layout.cultivar < 0).sum())} places left empty.",
        widths=(1.5, 0.8, 0.6, 0.8, 0.5, 2.2),
    )


def pollen(ground: Ground, layout: Layout) -> Table:
    """The five trees with least pollen, and the donors about them."""
    planted_ = np.flatnonzero(layout.cultivar >= 0)
    worst = planted_[np.argsort(layout.pollen[planted_], kind="stable")][:5]
    return Table(
        "The trees with the least useful pollen",
        ("tree", "cultivar", "useful pollen, 1 = enough", "useful donor cultivars in reach"),
        tuple(
            (
                ground.address(int(index)),
                layout.cultivars[layout.cultivar[index]],
                figure(float(layout.pollen[index]), 2),
                int(layout.donors_in_reach[index]),
            )
            for index in worst
        ),
        "Pollen in the worst weather year of ten; donors within 20 m (66 ft) that flower with the tree in nine of ten.",
        (f"In at least {layout.pollen_good_years:.0%} of weather years every tree has enough.",)
        if layout.pollen_good_years
        else (),
    )


def walk(layout: Layout, reader: Reader) -> Table:
    lines = [
        ("this planting", reader.figure(layout.picking_walk, Kind.LENGTH)),
        ("the same trees in random order", reader.figure(layout.picking_walk_random, Kind.LENGTH)),
    ]
    if layout.picking_walk_random_runs:
        lines.append(
            ("whole runs in random order", reader.figure(layout.picking_walk_random_runs, Kind.LENGTH))
        )
    lines.append(("planted in catalogue order", reader.figure(layout.picking_walk_catalogue, Kind.LENGTH)))
    looked = (
        "Every order of runs was tried."
        if layout.exact
        else f"Best of {layout.tried:,} plantings looked at."
        if layout.tried
        else ""
    )
    return Table(
        "The pickers' walk over a season",
        ("planting", f"walk, {reader.unit(Kind.LENGTH)}"),
        tuple(lines),
        looked,
    )


def runs(layout: Layout) -> Table:
    return Table(
        "Runs of one cultivar",
        ("row", "trees", "number", "cultivar"),
        tuple(
            (
                f"{run.block} {run.row}",
                f"{run.first} to {run.last}" if run.last > run.first else str(run.first),
                run.last - run.first + 1,
                run.cultivar,
            )
            for run in layout.runs
        ),
        "Counted from the end each row names; empty places inside a run are not counted out.",
    )


def gaps(layout: Layout) -> list[Table]:
    if not layout.gaps:
        return []
    return [
        Table(
            "Places left empty", ("place and what should stand there",), tuple((gap,) for gap in layout.gaps)
        )
    ]
