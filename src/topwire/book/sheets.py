"""Planting and staking sheets as blocks, and the labels' data."""

from dataclasses import replace
from itertools import groupby

from topwire.book.blocks import Block, drawing, heading, page, quiet, table, text
from topwire.book.field_cards import beside_fence, planting_blocks
from topwire.engine.orchard import Orchard
from topwire.layout.findings import Ground, Layout
from topwire.layout.staking import StakingSheet, staking_sheets
from topwire.layout.ties import block_ties
from topwire.show.labels import SHEETS, Label, LabelSheet, place_labels, qr_modules, run_labels, tree_labels
from topwire.show.sheet import printed
from topwire.show.staking_drawing import draw_staking
from topwire.show.staking_sheets import bring_out, corners, on_tape, sides, tapes, totals
from topwire.show.table import Table
from topwire.tell.layout import PURPOSES, post_words, square_words
from topwire.tell.reader import Reader
from topwire.tell.staking import DRAWN, STAKING_ORDER, fence_staking, other_words, pull_words
from topwire.values.units import UnitSystem

TREE_LABELS_UP_TO = 60  # trees; a larger orchard gets a label for each run


def staking_blocks(orchard: Orchard) -> list[Block]:
    """For each block: its corners, two tapes to every end post, and how rows and square are checked."""
    ground = orchard.ground
    if ground is None:
        return []
    reader = Reader(orchard.origin.units)
    fenced = {block.name: block for block in ground.blocks if block.along_fence}
    found: list[Block] = [
        text(line) for line in STAKING_ORDER[: 1 if len(fenced) == len(ground.blocks) else None]
    ]
    ties = {tied.block: tied for tied in block_ties(ground, orchard.layout)}
    for sheet in staking_sheets(ground, orchard.layout):
        if sheet.block in ties:
            own = (ties[sheet.block],)
            if sheet.block != next(iter(ties)):
                found.append(page())
            found.append(heading(sheet.block))
            found.append(
                drawing(draw_staking(ground, orchard.layout, own[0], reader), f"{sheet.block}, its corners")
            )
            along = fenced.get(sheet.block)
            if along is None:
                found.append(quiet(f"{DRAWN} {pull_words(own[0], reader)}"))
            else:
                says = fence_staking(along.rows[0].start_side)
                found.append(text(f"{says} {beside_fence(orchard, along, reader)}"))
            tables = corners(own), sides(own, ground.declination), *(() if along else (tapes(own),))
            for listed in tables:
                named = replace(listed, title=f"{sheet.block}: {listed.title[:1].lower()}{listed.title[1:]}")
                found.append(table(printed(on_tape(named, reader), reader)))
            if not ties[sheet.block].to_other and len(ties) > 1 and sheet.block != next(iter(ties)):
                found.append(quiet(other_words(ties[sheet.block])))
        if sheet.block not in fenced:
            found.append(table(checks(sheet, reader)))
    return found


def checks(sheet: StakingSheet, reader: Reader) -> Table:
    return Table(
        f"{sheet.block}: distances that have to come out",
        ("from", "to", "distance", "what for"),
        tuple(
            (post_words(tape.start), post_words(tape.end), reader.tape(tape.length), PURPOSES[tape.purpose])
            for tape in sheet.tapes
        ),
        "Along the ground.",
        (square_words(sheet),),
        (1, 1, 1, 1.6),
    )


def bring_out_blocks(orchard: Orchard) -> list[Block]:
    """What the crew loads and lays down."""
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return []
    reader = Reader(orchard.origin.units)
    return [
        table(printed(listed, reader))
        for listed in (totals(ground, layout), bring_out(ground, layout))
        if listed.rows
    ]


def sheets_data(orchard: Orchard) -> dict[str, object]:
    """Everything the planting sheets print."""
    chapters = [
        {"title": "Staking out", "blocks": staking_blocks(orchard)},
        {"title": "Bringing out", "blocks": bring_out_blocks(orchard)},
        {"title": "Planting, row by row", "blocks": planting_blocks(orchard)},
    ]
    chapters = [chapter for chapter in chapters if chapter["blocks"]]
    return {
        "title": orchard.origin.name,
        "paper": paper(orchard.origin.units),
        "foot": f"Field cards, autumn {orchard.origin.planting_year}",
        "chapters": chapters,
    }


def paper(system: UnitSystem) -> str:
    return "us-letter" if system is UnitSystem.US else "a4"


def labels_data(orchard: Orchard, each: str = "") -> dict[str, object]:
    """Labels by sheet, with their codes drawn, for each “tree” or “run”, “” = by the orchard's size; none where nothing
    is planted."""
    ground, layout = orchard.ground, orchard.layout
    labels = labels_of(ground, layout, each) if ground is not None and layout is not None else ()
    sheet = next(
        found
        for found in SHEETS
        if found.name.startswith("letter" if orchard.origin.units is UnitSystem.US else "A4")
    )
    sheets: list[list[dict[str, object]]] = [[] for _ in range(max(-(-len(labels) // sheet.per_sheet), 1))]
    for placed in place_labels(labels, sheet):
        sheets[placed.sheet].append(
            {
                "left": 1e3 * placed.left,
                "top": 1e3 * placed.top,
                "cultivar": placed.label.cultivar,
                "address": placed.label.address,
                "note": placed.label.note,
                "code": code_svg(placed.label.code),
            }
        )
    return {"title": f"{orchard.origin.name}: labels", "sheets": sheets, **_measures(sheet)}


def labels_of(ground: Ground, layout: Layout, each: str = "") -> tuple[Label, ...]:
    """One for each tree of a small orchard, one for each run of a larger, where `each` does not say which."""
    few = int((layout.cultivar >= 0).sum()) <= TREE_LABELS_UP_TO
    wanted = each or ("tree" if few else "run")
    return tree_labels(ground, layout) if wanted == "tree" else run_labels(ground, layout)


def _measures(sheet: LabelSheet) -> dict[str, float]:
    return {
        "width": 1e3 * sheet.width,
        "height": 1e3 * sheet.height,
        "label_width": 1e3 * sheet.label_width,
        "label_height": 1e3 * sheet.label_height,
        "size": 10.0 if sheet.label_height < 0.03 else 12.0,
    }


def code_svg(words: str) -> str:
    """The square code of `words` with its quiet zone of four modules, as SVG."""
    modules = qr_modules(words)
    size = len(modules) + 8
    path = []
    for row, line in enumerate(modules, start=4):
        column = 4
        for dark, stretch in groupby(line):
            long = len(list(stretch))
            if dark:
                path.append(f"M{column} {row}h{long}v1h-{long}z")
            column += long
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}"><rect width="{size}" height="{size}" '
        f'fill="#fff"/><path d="{"".join(path)}" fill="#000"/></svg>'
    )
