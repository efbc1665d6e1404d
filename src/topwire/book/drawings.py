"""The book's drawings: maps of the ground and of each block, rows of the trellis from the side."""

import re
from dataclasses import replace

import numpy as np

from topwire.book.blocks import Block, Drawings, figure
from topwire.engine.orchard import Orchard
from topwire.growth.training import FLAT
from topwire.layout.findings import Ground, Layout
from topwire.show.form_drawing import draw_form, form_of, spacing_of
from topwire.show.ground_drawing import draw_ground
from topwire.show.ground_views import View
from topwire.show.trellis_drawing import draw_elevation, draw_end, kinds_of_ends
from topwire.show.trellis_sheets import rows_of
from topwire.show.whip_drawing import draw_whips

BOOK_FONT = "Libertinus Serif"
TEXT = (487.0, 670.0)  # [pt] wide and high, on the narrower and on the lower of the two papers
LEAST_LETTER = 7.0  # [pt] of a drawing
MAPS = 3  # blocks that get a map each
COVER, FULL_PAGE = 0.66, 0.8  # of the height of the text, at most


def ground_maps(orchard: Orchard, drawings: Drawings) -> list[Block]:
    """Who stands where: each block on a page of its own where they are few, else the whole ground."""
    ground, layout = orchard.ground, orchard.layout
    if ground is None or layout is None:
        return []
    with_rows = [number for number, block in enumerate(ground.blocks) if block.rows]
    if not 2 <= len(with_rows) <= MAPS:
        return [_map(orchard, ground, layout, View.CULTIVAR, "", drawings)]
    return [
        _map(
            orchard, *block_alone(ground, layout, number), View.CULTIVAR, ground.blocks[number].name, drawings
        )
        for number in with_rows
    ]


def harvest_map(orchard: Orchard, drawings: Drawings) -> list[Block]:
    """The ground by the week in which its trees are picked first."""
    if orchard.ground is None or orchard.layout is None:
        return []
    return [_map(orchard, orchard.ground, orchard.layout, View.HARVEST, "", drawings)]


def cover_map(orchard: Orchard, drawings: Drawings) -> list[Block]:
    """The ground with its trees by use, for the cover."""
    if orchard.ground is None:
        return []
    drawn = draw_ground(
        orchard.ground, orchard.layout, view=View.USE, system=orchard.origin.units, choice=orchard.choice,
        place=orchard.place,
    )  # fmt: skip
    drawings["cover.svg"] = in_book_type(drawn, share=COVER)
    return [
        figure(
            "",
            "cover.svg",
            "The ground from above, north up; colour and sign say what the fruit is for.",
            share=COVER,
        )
    ]


def _map(
    orchard: Orchard, ground: Ground, layout: Layout, view: View, title: str, drawings: Drawings
) -> Block:
    drawn = draw_ground(
        ground, layout, view=view, system=orchard.origin.units, choice=orchard.choice, place=orchard.place
    )
    says = "North is up. Signs and hatching tell the runs apart; row numbers stand at the end counting starts from."
    return drawn_as(title, drawn, says, drawings, share=FULL_PAGE)


def block_alone(ground: Ground, layout: Layout, number: int) -> tuple[Ground, Layout]:
    """One block of the ground with its trees, for a map of its own."""
    here = np.flatnonzero(ground.block == number)
    one = replace(
        ground,
        blocks=(ground.blocks[number],),
        block=np.zeros(here.size, dtype=np.int64),
        row=ground.row[here],
        place=ground.place[here],
        x=ground.x[here],
        y=ground.y[here],
        height=ground.height[here],
        standing_cultivar=tuple(ground.standing_cultivar[index] for index in here),
        standing_rootstock=tuple(ground.standing_rootstock[index] for index in here),
        standing_year=ground.standing_year[here],
        obstacles=(),
        gate=None,
        fence=(),
    )
    trees = replace(
        layout,
        cultivar=layout.cultivar[here],
        year_planted=layout.year_planted[here],
        standing=layout.standing[here],
        longitude=layout.longitude[here],
        latitude=layout.latitude[here],
        along_row=layout.along_row[here],
        pollen=layout.pollen[here],
        donors_in_reach=layout.donors_in_reach[here],
        pollen_chance=layout.pollen_chance[here],
        known_donor=layout.known_donor[here],
        runs=tuple(run for run in layout.runs if run.block == ground.blocks[number].name),
    )
    return one, trees


def elevations(orchard: Orchard, drawings: Drawings) -> list[Block]:
    """A row from the side, outer and inner, and its end in detail."""
    trellis, system = orchard.trellis, orchard.origin.units
    if trellis is None:
        return []
    drawable = trellis.rows
    kinds = [next((row for row in drawable if row.outer is outer), None) for outer in (True, False)]
    found = [
        drawn_as(
            "An outer row" if row.outer else "An inner row",
            draw_elevation(row, system=system),
            f"{rows_of(row)}, from the side, to scale. Other rows: posts and ends, in this part printed alone.",
            drawings,
        )
        for row in kinds
        if row is not None
    ]
    for title, where, row, end in kinds_of_ends(trellis.rows):
        drawn = draw_end(row, end, system=system)
        found.append(drawn_as(title, drawn, f"The ends of {where}.", drawings, width=0.62))
    return found


def whip_trees(orchard: Orchard, drawings: Drawings, width: float = 1.0) -> list[Block]:
    """A whip after each leaf against the wires; none where no whip is planted."""
    years, trellis = orchard.years, orchard.trellis
    if years is not None and trellis is not None and form_of(orchard) in FLAT:
        heights = [one.wire_heights for one in trellis.fences] + [row.wire_heights for row in trellis.rows]
        wires = heights[0] if heights else ()
        if wires:
            drawn = draw_form(form_of(orchard), wires, spacing_of(orchard), system=orchard.origin.units)
            says = "To scale; in grey the wood of that summer. Cuts and ties stand in the table."
            return [drawn_as("How a tree is shaped", drawn, says, drawings)]
    if years is None or years.whips is None:
        return []
    drawn = draw_whips(years.whips, system=orchard.origin.units)
    says = (
        "To scale: the middle tree with the heights of a weak and a strong one beside it, its cane, and the wires; a "
        "leader is cut or bent a hand above the top one. "
        "Feathers are bent as their table says."
    )
    return [drawn_as("A whip after each leaf", drawn, says, drawings, width=width)]


def drawn_as(
    title: str, drawn: str, says: str, drawings: Drawings, *, width: float = 1.0, share: float = 0.0
) -> Block:
    """A drawing as a figure, its letters never smaller than LEAST_LETTER on paper."""
    file = f"drawing-{len(drawings)}.svg"
    drawings[file] = in_book_type(drawn, width, share)
    return figure(title, file, says, width=width, share=share)


def in_book_type(drawn: str, width: float = 1.0, share: float = 0.0) -> str:
    """A drawing with its letters in the book's own type, which is the same on every machine, and legible there."""
    box = re.search(r'viewBox="[\d.+-]+ [\d.+-]+ ([\d.]+) ([\d.]+)"', drawn)
    if box:
        scale = min(width * TEXT[0] / float(box[1]), share * TEXT[1] / float(box[2]) if share else 1.0e3)
        least = LEAST_LETTER / scale
        drawn = re.sub(
            r'font-size="([\d.]+)"', lambda found: f'font-size="{max(float(found[1]), least):.4g}"', drawn
        )
    return re.sub(r'font-family="[^"]*"', f'font-family="{BOOK_FONT}"', drawn)
