"""A card for each row, as the crew holds it: the row drawn to scale, its bundles, every tree with room for notes."""

from topwire.book.blocks import Block, notices, quiet, text
from topwire.engine.orchard import Orchard
from topwire.growth.training import FLAT
from topwire.layout.findings import Ground, GroundBlock, Layout
from topwire.layout.staking import PlantingLine, PlantingSheet, planting_sheets
from topwire.show.form_drawing import form_of
from topwire.show.row_strip import draw_strip
from topwire.tell.reader import Reader, counted
from topwire.tell.row_names import addresses
from topwire.tell.speech import all_told
from topwire.tell.staking import CARDS, FENCE_CARDS, both_bearings, off_fence
from topwire.tell.trellis_ground import beside_line
from topwire.trellis.fence_findings import FenceSupport
from topwire.values.address import row_name
from topwire.values.notice import Severity

COLUMNS = 3  # on a card
LINES = 45  # in a column of a page
FIRST_LINES = 36  # of its first page under the drawing, without the bundles' lines


def planting_blocks(orchard: Orchard) -> list[Block]:
    """A card for each row that has trees to plant."""
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return [text("There is no planting yet; the chapter on the ground says why.")]
    reader = Reader(orchard.origin.units)
    found = [
        text(
            (FENCE_CARDS if all(block.along_fence for block in ground.blocks) else CARDS).format(
                part="chapter on wires" if orchard.is_garden else "part on the trellis"
            )
            + " Lay the bundles out by the list, set each tree at the distance printed beside its number, and tick its "
            "box. On the line "
            "write – where no tree was set, or the code of what was set instead; count both at the run's head. A tree"
            " keeps its number for good, so an empty place keeps its number too."
        ),
        text(
            "Set each tree with its graft union a hand's breadth above the ground: a cultivar that roots itself is "
            "dwarf no longer. Spread the roots, firm the soil about them, tie the tree to the lowest wire or its "
            "stake, and water it in the same day (common practice)."
        ),
    ]
    found += crew_cautions(orchard)
    sheets = planting_sheets(ground, layout)
    bare = [row_name(sheet.block, sheet.row) for sheet in sheets if not _new(sheet)]
    if bare:
        found.append(quiet(f"Nothing is planted in {addresses(bare)}: these rows have no card."))
    for sheet in sheets:
        if _new(sheet):
            found += _card(orchard, ground, layout, sheet, reader)
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


def _new(sheet: PlantingSheet) -> list[PlantingLine]:
    return [line for line in sheet.lines if line.cultivar and not line.standing]


def _stands(sheet: PlantingSheet) -> bool:
    """Whether trees stand in a row already."""
    return any(line.standing for line in sheet.lines)


def _card(
    orchard: Orchard, ground: Ground, layout: Layout, sheet: PlantingSheet, reader: Reader
) -> list[Block]:
    """One row on as many pages as it takes."""
    code = dict(zip(layout.cultivars, layout.codes, strict=True))
    lines: list[list[str]] = []
    for run in sheet.lines:
        new = bool(run.cultivar) and not run.standing
        lines.append([_heading(run, code), _says(run), "tick" if new else ""])
        if new:
            lines += [
                [str(place), reader.tape(run.start + (place - run.first) * sheet.tree_spacing)]
                for place in range(run.first, run.last + 1)
            ]
    name = row_name(sheet.block, sheet.row)
    posts = _posts(orchard, name)
    block, bearing = next(
        (block, row.bearing)
        for block in ground.blocks
        for row in block.rows
        if (row.block, row.number) == (sheet.block, sheet.row)
    )
    pages = packed(lines, FIRST_LINES - -(-len(_new(sheet)) // 2) - (2 if posts else 0))
    first: Block = {
        "strip": draw_strip(sheet, [code.get(line.cultivar, "") for line in sheet.lines], posts, reader),
        "bundles": [
            [code[line.cultivar], line.cultivar, line.rootstock, str(line.trees)] for line in _new(sheet)
        ],
        "posts": _support(orchard, name, posts, reader) if posts else "",
    }
    starts = "the fence's first post with eyes" if block.along_fence else "the start post"
    return [
        {
            "kind": "sheet",
            "row": row_name(sheet.block, sheet.row)
            + (f", page {number} of {len(pages)}" if len(pages) > 1 else ""),
            "facts": f"{counted(sum(line.trees for line in _new(sheet)), 'tree')} to plant",
            "counted": f"Counted from the {sheet.start_side} end: {starts} stands there. The row is "
            f"{reader.tape(sheet.length)} {'long' if block.along_fence else 'from post to post'} and runs "
            f"{both_bearings(bearing, ground.declination)}. {beside_fence(orchard, block, reader)}"
            f"First tree at {reader.tape(sheet.first_tree)}, then every {reader.tape(sheet.tree_spacing)}."
            + (" The trees that stand hold the line: sight along them." if _stands(sheet) else ""),
            "columns": columns,
            **(first if number == 1 else {"strip": "", "bundles": [], "posts": ""}),
        }
        for number, columns in enumerate(pages, start=1)
    ]


def beside_fence(orchard: Orchard, block: GroundBlock, reader: Reader) -> str:
    """Where the trees of a block stand from its fence; empty where it has none."""
    flat = form_of(orchard) in FLAT
    return "" if block.fence is None else off_fence(block.fence.near.facing, flat, reader) + " "


def _fence(orchard: Orchard, row: str) -> FenceSupport | None:
    fences = orchard.trellis.fences if orchard.trellis is not None else ()
    return next((fence for fence in fences if fence.row == row), None)


def _posts(orchard: Orchard, row: str) -> tuple[float, ...]:
    """[m] from the start post, of every post of a row or of its fence; none where no trellis was sized."""
    fence = _fence(orchard, row)
    built = orchard.trellis.rows if orchard.trellis is not None else ()
    return fence.posts if fence else next((alike.positions for alike in built if row in alike.rows), ())


def _support(orchard: Orchard, row: str, posts: tuple[float, ...], reader: Reader) -> str:
    """Posts and anchors to build, or posts that stand."""
    places, fence = ", ".join(reader.tape(at) for at in posts), _fence(orchard, row)
    if fence is None:
        return f"Posts at {places}.{_anchors(orchard, row, reader)}"
    taken = "" if fence.spacing_known else " (their spacing is taken: measure it)"
    return f"{'Eyes in the wall' if fence.wall else 'Posts of the fence, with eyes,'} at {places}{taken}."


def _anchors(orchard: Orchard, row: str, reader: Reader) -> str:
    """Where the anchors of a row stand, beyond its end posts and beside their line."""
    built = orchard.trellis.rows if orchard.trellis is not None else ()
    alike = next((alike for alike in built if row in alike.rows), None)
    if alike is None:
        return ""
    ends = {"start": alike.end, "other": alike.far_end or alike.end}
    out = {
        side: f"{reader.tape(end.reach)} beyond %s, {beside_line(end, reader)}."
        for side, end in ends.items()
        if end.anchor is not None
    }
    if len(set(out.values())) == 1 and len(out) == 2:
        return " Anchors " + out["start"] % "both end posts"
    return "".join(f" Anchor {where % f'the {side} end post'}" for side, where in out.items())


def _heading(run: PlantingLine, code: dict[str, str]) -> str:
    return f"{code[run.cultivar]}  {run.cultivar}" if run.cultivar else "left empty"


def _says(run: PlantingLine) -> str:
    numbers = f"{run.first} to {run.last}" if run.last > run.first else f"{run.first}"
    if not run.cultivar:
        return numbers
    trees = f"{numbers}: {counted(run.trees, 'tree')}"
    if run.standing:
        return f"{trees}, standing"
    return f"{trees} on {run.rootstock}" if run.rootstock else trees


def packed(lines: list[list[str]], first: int = FIRST_LINES) -> list[list[list[list[str]]]]:
    """Lines as pages of columns, of `first` lines on the first page. A heading (three words) is three lines high, never
    last in a column, and its code is said again where its run goes on in the next."""
    columns: list[list[list[str]]] = [[]]
    used, heading = 0, ["", "", ""]
    height = sum(3 if len(line) == 3 else 1 for line in lines) + 2 * COLUMNS
    one_page = -(-height // COLUMNS) + 2
    for line in lines:
        limit = first if len(columns) <= COLUMNS else LINES
        if one_page <= first:
            limit = max(one_page, 6)
        is_heading = len(line) == 3
        needs = 4 if is_heading else 1
        if used and used + needs > limit:
            columns.append([])
            used = 0
            if not is_heading:
                columns[-1].append([f"{heading[0].partition('  ')[0]}, continued", heading[1], ""])
                used = 2
        columns[-1].append(line)
        used += 3 if is_heading else 1
        heading = line if is_heading else heading
    pages = [columns[start : start + COLUMNS] for start in range(0, len(columns), COLUMNS)]
    return [[*found, *([[]] * (COLUMNS - len(found)))] for found in pages]
