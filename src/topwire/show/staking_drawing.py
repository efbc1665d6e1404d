"""A block as the crew finds it: corners by their letters, lengths of the sides, rows with the end they start from."""

from xml.sax.saxutils import escape

import numpy as np

from topwire.layout.findings import Ground, Layout
from topwire.layout.staking import has_trees
from topwire.layout.ties import BlockTies
from topwire.show.row_strip import FONT, INK, LETTERS, WIDTH
from topwire.tell.reader import Reader

TALLEST = 620.0  # units, of the ground drawn
EDGE = 74.0
OUTSIDE = 34.0  # units that a side's length stands off it, where no row's number is
WIDER = 22.0  # units more where it stands to the left or right
FAINT = "#8a8a85"
HALO = 'stroke="#ffffff" stroke-width="4" paint-order="stroke"'


def draw_staking(ground: Ground, layout: Layout | None, ties: BlockTies, reader: Reader) -> str:
    """The block of `ties` as one SVG document, north up."""
    number = next(k for k, block in enumerate(ground.blocks) if block.name == ties.block)
    block = ground.blocks[number]
    outlines = [np.asarray(ring) for ring in (block.outline, *block.further_outlines) if len(ring) >= 3]
    gate = ground.gate if number == 0 else None
    corners = np.concatenate([*outlines, *([np.array([gate])] if gate is not None else [])])
    low, high = corners.min(axis=0), corners.max(axis=0)
    span = np.maximum(high - low, 1.0)
    scale = float(min((WIDTH - 2 * EDGE) / span[0], TALLEST / span[1]))
    left = (WIDTH - span[0] * scale) / 2

    def at(x: float, y: float) -> tuple[float, float]:
        return left + (x - low[0]) * scale, EDGE + (high[1] - y) * scale

    parts = []
    for ring in [*outlines, *(np.asarray(hole) for hole in block.holes)]:
        points = " ".join("{:.1f},{:.1f}".format(*at(x, y)) for x, y in ring)
        parts.append(f'<polygon points="{points}" fill="none" stroke="{FAINT}" stroke-width="1.5"/>')
    for index, row in enumerate(block.rows):
        if has_trees(ground, layout, number, index):
            parts.append(_row(at(*row.start), at(*row.end), str(row.number)))
    middle = np.mean([at(corner.east, corner.north) for corner in ties.corners], axis=0)
    for side in ties.sides[: len(ties.corners)]:
        a, b = (next(c for c in ties.corners if c.letter == letter) for letter in (side.start, side.end))
        x, y = at((a.east + b.east) / 2, (a.north + b.north) / 2)
        out = np.array([x, y]) - middle
        out /= np.hypot(*out) or 1.0
        x, y = np.array([x, y]) + out * (OUTSIDE + WIDER * abs(out[0]))
        parts.append(_word(x, y + 6, reader.tape(side.length)))
    if gate is not None:
        x, y = at(*gate)
        parts.append(
            f'<rect x="{x - 7:.1f}" y="{y - 7:.1f}" width="14" height="14" fill="{INK}"/>'
            + _word(x, y + 36, "gate")
        )
    for corner in ties.corners:
        x, y = at(corner.east, corner.north)
        parts.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="17" fill="#ffffff" stroke="{INK}" stroke-width="2.5"/>'
            + _word(x, y + 6, corner.letter, bold=True)
        )
    height = span[1] * scale + 2 * EDGE
    parts.append(
        f'<path d="M {WIDTH - 30:.0f} 14 l 11 32 l -11 -8 l -11 8 z" fill="{INK}"/>'
        + _word(WIDTH - 30, 64, "N", bold=True)
    )
    said = f"{block.name}, corners {', '.join(corner.letter for corner in ties.corners)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {height:.0f}" font-family="{FONT}" '
        f'font-size="{LETTERS:g}" fill="{INK}"><title>{escape(said)}</title>{"".join(parts)}</svg>'
    )


def _row(start: tuple[float, float], end: tuple[float, float], number: str) -> str:
    """A row's line, a full mark at its start post and an open one at its other end."""
    long = float(np.hypot(end[0] - start[0], end[1] - start[1])) or 1.0
    back = (start[0] - (end[0] - start[0]) / long * 16, start[1] - (end[1] - start[1]) / long * 16 + 6)
    return (
        f'<line x1="{start[0]:.1f}" y1="{start[1]:.1f}" x2="{end[0]:.1f}" y2="{end[1]:.1f}" stroke="{INK}" '
        f'stroke-width="1.4"/><circle cx="{start[0]:.1f}" cy="{start[1]:.1f}" r="5" fill="{INK}"/>'
        f'<circle cx="{end[0]:.1f}" cy="{end[1]:.1f}" r="4" fill="#ffffff" stroke="{INK}" stroke-width="1.6"/>'
        + _word(*back, number)
    )


def _word(x: float, y: float, says: str, *, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="middle"{weight} {HALO}>{escape(says)}</text>'
