"""Planting and staking sheets as blocks, and the labels' data."""

from itertools import groupby

from topwire.book.blocks import Block, notices, quiet, table, text
from topwire.engine.orchard import Orchard
from topwire.layout.findings import Ground, Layout
from topwire.layout.staking import PlantingLine, PlantingSheet, StakingSheet, planting_sheets, staking_sheets
from topwire.show.labels import SHEETS, Label, LabelSheet, place_labels, qr_modules, run_labels, tree_labels
from topwire.show.table import Table
from topwire.tell.layout import PURPOSES, post_words, square_words
from topwire.tell.reader import Reader
from topwire.tell.speech import all_told
from topwire.values.notice import Severity
from topwire.values.units import UnitSystem

COLUMNS = 3  # on a planting sheet
LINES = 42  # in a column of a page
TREE_LABELS_UP_TO = 60  # trees; a larger orchard gets a label for each run


def planting_blocks(orchard: Orchard) -> list[Block]:
    """A sheet for each row: every tree with its running distance from the start post."""
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return [text("There is no planting yet; the chapter on the ground says why.")]
    reader = Reader(orchard.origin.units)
    found = [
        text(
            "Stretch a tape from the start post, along the ground. Set each tree at the distance printed beside its "
            "number, and tick it off. Numbers run from the end each sheet names; a tree keeps its number for good, so "
            "an empty place keeps its number too."
        )
    ]
    found += crew_cautions(orchard)
    along = {
        (ground.blocks[block].name, ground.blocks[block].rows[row].number, int(place)): float(distance)
        for block, row, place, distance in zip(
            ground.block, ground.row, ground.place, layout.along_row, strict=True
        )
    }
    for sheet in planting_sheets(ground, layout):
        found += _sheets(sheet, along, reader)
    return found


def crew_cautions(orchard: Orchard) -> list[Block]:
    """What can hurt the crew that stakes, plants and strings: of the layout, nursery and trellis."""
    told = [
        notice
        for result in (orchard.layout, orchard.trellis)
        if result is not None
        for notice in result.notices
    ]
    return [notices(all_told(told, Reader(orchard.origin.units)), Severity.CAUTION)]


def _sheets(sheet: PlantingSheet, along: dict[tuple[str, int, int], float], reader: Reader) -> list[Block]:
    """One row on as many pages as it takes, each packed into columns of equal length."""
    lines: list[list[str]] = []
    for run in sheet.lines:
        lines.append([run.cultivar or "left empty", _says(run)])
        if run.cultivar and not run.standing:
            lines += [
                ["", str(place), reader.tape(along[(sheet.block, sheet.row, place)])]
                for place in range(run.first, run.last + 1)
            ]
    trees = sum(run.trees for run in sheet.lines)
    facts = (
        f"{trees} trees; row {reader.tape(sheet.length)} post to post; first tree at {reader.tape(sheet.first_tree)}, "
        f"then every {reader.tape(sheet.tree_spacing)}"
    )
    pages = packed(lines)
    return [
        {
            "kind": "sheet",
            "row": f"{sheet.block} {sheet.row}"
            + (f", page {number} of {len(pages)}" if len(pages) > 1 else ""),
            "facts": facts,
            "counted": f"Counted from the {sheet.start_side} end.",
            "columns": columns,
        }
        for number, columns in enumerate(pages, start=1)
    ]


def _says(run: PlantingLine) -> str:
    numbers = f"{run.first} to {run.last}" if run.last > run.first else f"{run.first}"
    if not run.cultivar:
        return numbers
    stock = f" on {run.rootstock}" if run.rootstock else ""
    standing = ", standing already" if run.standing else ""
    return f"{numbers}: {run.trees} tree{'s' if run.trees != 1 else ''}{stock}{standing}"


def packed(lines: list[list[str]]) -> list[list[list[list[str]]]]:
    """Lines as pages of columns. A heading is two lines high, never last in a column, and said again where its
    run goes on in the next."""
    height = sum(2 if len(line) == 2 else 1 for line in lines) + 2 * COLUMNS
    limit = min(LINES, -(-height // COLUMNS))
    columns: list[list[list[str]]] = [[]]
    used, heading = 0, ["", ""]
    for line in lines:
        is_heading = len(line) == 2
        needs = 3 if is_heading else 1
        if used and used + needs > limit:
            columns.append([])
            used = 0
            if not is_heading:
                columns[-1].append([f"{heading[0]}, continued", heading[1]])
                used = 2
        columns[-1].append(line)
        used += 2 if is_heading else 1
        heading = line if is_heading else heading
    pages = [columns[start : start + COLUMNS] for start in range(0, len(columns), COLUMNS)]
    return [[*found, *([[]] * (COLUMNS - len(found)))] for found in pages]


def staking_blocks(orchard: Orchard) -> list[Block]:
    """For each block: the rows' end posts, the tapes between them, and how the square is checked."""
    if orchard.ground is None:
        return []
    reader = Reader(orchard.origin.units)
    found: list[Block] = []
    for sheet in staking_sheets(orchard.ground):
        found += [table(stakes(sheet, reader)), table(tapes(sheet, reader))]
    return found


def stakes(sheet: StakingSheet, reader: Reader) -> Table:
    return Table(
        f"{sheet.block}: posts to mark",
        ("post", "east", "north", "height", "longitude", "latitude"),
        tuple(
            (
                post_words(stake.post),
                reader.tape(stake.east),
                reader.tape(stake.north),
                reader.tape(stake.height),
                f"{stake.longitude:.6f}",
                f"{stake.latitude:.6f}",
            )
            for stake in sheet.stakes
        ),
        "East and north of the orchard's origin, the first block's first corner.",
    )


def tapes(sheet: StakingSheet, reader: Reader) -> Table:
    return Table(
        f"{sheet.block}: distances to measure",
        ("from", "to", "distance", "what for"),
        tuple(
            (post_words(tape.start), post_words(tape.end), reader.tape(tape.length), PURPOSES[tape.purpose])
            for tape in sheet.tapes
        ),
        "Along the ground.",
        (square_words(sheet),),
        (1, 1, 1, 1.6),
    )


def sheets_data(orchard: Orchard) -> dict[str, object]:
    """Everything the planting sheets print."""
    chapters = [{"title": "Planting sheets", "blocks": planting_blocks(orchard)}]
    staking = staking_blocks(orchard)
    if staking:
        chapters.append(
            {"title": "Staking out", "blocks": [*staking, quiet("Corners first, then rows, then trees.")]}
        )
    return {
        "title": orchard.origin.name,
        "paper": paper(orchard.origin.units),
        "foot": f"Planting sheets, autumn {orchard.origin.planting_year}",
        "chapters": chapters,
    }


def paper(system: UnitSystem) -> str:
    return "us-letter" if system is UnitSystem.US else "a4"


def labels_data(orchard: Orchard) -> dict[str, object]:
    """Labels by sheet, with their codes drawn; none where nothing is planted."""
    ground, layout = orchard.ground, orchard.layout
    labels = labels_of(ground, layout) if ground is not None and layout is not None else ()
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


def labels_of(ground: Ground, layout: Layout) -> tuple[Label, ...]:
    """One for each tree of a small orchard, one for each run of a larger."""
    few = int((layout.cultivar >= 0).sum()) <= TREE_LABELS_UP_TO
    return tree_labels(ground, layout) if few else run_labels(ground, layout)


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
