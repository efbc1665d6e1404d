"""The ground plan as SVG: blocks, rows, who stands where, north, scale, slope, and a legend that needs no colour."""

import colorsys
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

import numpy as np
import numpy.typing as npt

from topwire.choice.findings import Choice
from topwire.layout.findings import ClearFor, Ground, GroundBlock, GroundRow, Layout
from topwire.phenology.findings import PlaceSeasons
from topwire.show.ground_levels import level_lines
from topwire.show.ground_views import View, ViewOfTrees, view_of
from topwire.tell.reader import counted
from topwire.values.units import Kind, UnitSystem, shown

Array = npt.NDArray[np.float64]

PAGE = 560.0  # drawing units along the longer side of the map: printed across a page 0.75 pt each
SMALLEST = 9.4  # units of a letter, 7 pt
EDGE = 46.0  # around the map, for row numbers
LINE = 17.0  # of the legend
LEGEND_COLUMN = 215.0
INK, FAINT, GROUND = "#1d1d1b", "#8a8a85", "#f6f3ea"
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
HALO = 'stroke="#ffffff" stroke-width="2.2" paint-order="stroke"'
HATCHES = 8
ROUND_METRES = (1, 2, 5, 10, 20, 50, 100, 200, 500)
ROUND_FEET = (3, 5, 10, 25, 50, 100, 250, 500, 1000)


@dataclass(frozen=True)
class _Frame:
    """From metres on the ground to units on the page; north is up."""

    left: float
    top: float
    scale: float  # units per metre

    def at(self, x: float, y: float) -> tuple[float, float]:
        return (EDGE + (x - self.left) * self.scale, EDGE + (self.top - y) * self.scale)

    def points(self, ring: Array) -> str:
        return " ".join("{:.1f},{:.1f}".format(*self.at(float(x), float(y))) for x, y in ring)


def draw_ground(
    ground: Ground,
    layout: Layout | None = None,
    *,
    view: View = View.CULTIVAR,
    system: UnitSystem = UnitSystem.METRIC,
    choice: Choice | None = None,
    place: PlaceSeasons | None = None,
) -> str:
    """The ground plan as one SVG document.

    Parameters
    ----------
    layout : the planted layout; None draws rows and places only
    view : what the trees are coloured and signed by
    choice, place : where the view needs them (use; bloom and harvest week)

    Returns
    -------
    str
        SVG with `<title>` hover texts on runs, rows and blocks. Every class has a sign, printed on its runs, and a
        hatching, so that a black-and-white print tells the same.
    """
    trees = None if layout is None else view_of(view, ground, layout, choice, place)
    corners = np.concatenate(_rings(ground))
    low, high = corners.min(axis=0), corners.max(axis=0)
    span = np.maximum(high - low, 1.0)
    scale = min(PAGE / span[0], PAGE * 1.2 / span[1])
    frame = _Frame(float(low[0]), float(high[1]), float(scale))
    width, depth = span[0] * scale + 2 * EDGE, span[1] * scale + 2 * EDGE
    width = max(width, 2 * LEGEND_COLUMN + 2 * EDGE)
    title = "Ground plan" if trees is None else f"Ground plan: {trees.title.lower()}"
    body = [
        _area(frame, ground),
        *_clear(frame, ground),
        *_levels(frame, ground, system),
        *_fence(frame, ground),
    ]
    colours = colours_of(trees) if trees else ()
    for number, block in enumerate(ground.blocks):
        body += _rows(frame, ground, layout, trees, number, block, colours)
        body.append(_block_name(frame, block, system))
    body += [_gate(frame, ground), _north(width), _scale_bar(frame, depth, system)]
    legend, legend_depth = _legend(trees, colours, width, depth + 12)
    height = depth + 12 + legend_depth
    said = _description(ground, layout, trees)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}" '
        f'height="{height:.0f}" role="img" font-family="{FONT}" font-size="12" fill="{INK}">'
        f"<title>{escape(title)}</title><desc>{escape(said)}</desc>"
        f"<defs>{''.join(_hatch(number) for number in range(1, HATCHES))}</defs>"
        f'<rect width="{width:.0f}" height="{height:.0f}" fill="#ffffff"/>'
        + "".join(body)
        + legend
        + "</svg>"
    )


def _rings(ground: Ground) -> list[Array]:
    rings = [np.asarray(ring) for ring in ground.fence]
    for block in ground.blocks:
        rings += [block.outline, *block.further_outlines]
        rings += [np.array([row.start, row.end]) for row in block.rows]
    if ground.gate is not None:
        rings.append(np.array([ground.gate]))
    return [ring for ring in rings if len(ring)]


def _area(frame: _Frame, ground: Ground) -> str:
    parts = []
    for block in ground.blocks:
        for ring in (block.outline, *block.further_outlines):
            if len(ring):
                parts.append(
                    f'<polygon points="{frame.points(ring)}" fill="{GROUND}" stroke="{FAINT}" stroke-width="1"/>'
                )
        parts += [
            f'<polygon points="{frame.points(hole)}" fill="#ffffff" stroke="{FAINT}" stroke-width="1"/>'
            for hole in block.holes
        ]
    parts += [
        f'<g><title>kept clear</title><polygon points="{frame.points(ring)}" fill="#d9d9d4" stroke="{INK}" '
        'stroke-width="0.8" stroke-dasharray="2 2"/></g>'
        for ring in ground.obstacles
    ]
    return "".join(parts)


def _clear(frame: _Frame, ground: Ground) -> list[str]:
    """Paths as white ways, setbacks as a dotted edge."""
    found = []
    for clear in ground.kept_clear:
        is_path = clear.what is ClearFor.PATH
        fill, dashes = ("#ffffff", "5 3") if is_path else ("none", "1 3")
        style = f'fill="{fill}" stroke="{FAINT}" stroke-dasharray="{dashes}"'
        found.append(
            f"<g><title>{escape(f'{clear.name}, {clear.what}: no trees')}</title>"
            f'<polygon points="{frame.points(np.asarray(clear.outline))}" {style} stroke-width="1"/></g>'
        )
    return found


def _levels(frame: _Frame, ground: Ground, system: UnitSystem) -> list[str]:
    """Lines of equal height where height points were given, each with its height above the first corner."""
    found = []
    for line in level_lines(ground, system):
        said = shown(line.height, Kind.LENGTH, system, digits=line.digits)
        d = " ".join(
            "M {:.1f} {:.1f} L {:.1f} {:.1f}".format(*frame.at(*a), *frame.at(*b)) for a, b in line.pieces
        )
        x, y = frame.at(*line.pieces[len(line.pieces) // 2][0])
        found.append(
            f'<g><title>{escape(f"{said} above the first corner")}</title><path d="{d}" fill="none" '
            f'stroke="#a8763e" stroke-width="0.9"/><text x="{x:.1f}" y="{y:.1f}" font-size="{SMALLEST}" '
            f'fill="#7a5223" text-anchor="middle" {HALO}>{escape(said)}</text></g>'
        )
    return found


def _fence(frame: _Frame, ground: Ground) -> list[str]:
    return [
        f'<g><title>deer fence</title><polygon points="{frame.points(np.asarray(ring))}" fill="none" stroke="{INK}" '
        'stroke-width="1" stroke-dasharray="7 4 1 4"/></g>'
        for ring in ground.fence
    ]


def _rows(
    frame: _Frame,
    ground: Ground,
    layout: Layout | None,
    trees: ViewOfTrees | None,
    number: int,
    block: GroundBlock,
    colours: Sequence[str],
) -> list[str]:
    found = []
    pitch = block.row_spacing * frame.scale
    thick = max(3.0, min(0.42 * pitch, 20.0))
    for index, row in enumerate(block.rows):
        start, end = frame.at(*row.start), frame.at(*row.end)
        says = f"{block.name} {row.number}: {counted(row.places, 'place')}, counted from the {row.start_side} end"
        found.append(
            f'<g><title>{escape(says)}</title><line x1="{start[0]:.1f}" y1="{start[1]:.1f}" x2="{end[0]:.1f}" '
            f'y2="{end[1]:.1f}" stroke="{FAINT}" stroke-width="1.2"/></g>'
        )
        here = np.flatnonzero((ground.block == number) & (ground.row == index))
        if layout is not None and trees is not None:
            found += _bands(frame, ground, layout, trees, row, here, thick, pitch, colours)
        else:
            spots = (frame.at(float(ground.x[i]), float(ground.y[i])) for i in here)
            found += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="1.6" fill="{INK}"/>' for x, y in spots]
        found.append(_row_number(start, end, row.number))
    return found


def _bands(
    frame: _Frame,
    ground: Ground,
    layout: Layout,
    trees: ViewOfTrees,
    row: GroundRow,
    here: npt.NDArray[np.intp],
    thick: float,
    pitch: float,
    colours: Sequence[str],
) -> list[str]:
    """One band for each stretch of neighbours alike in class and cultivar, its sign in the middle."""
    along = np.array(row.end) - np.array(row.start)
    half = along / row.length * row.tree_spacing / 2
    kind, classes = layout.cultivar[here], trees.class_of[here]
    cuts = np.flatnonzero((np.diff(kind) != 0) | (np.diff(classes) != 0)) + 1
    found = []
    for piece in np.split(here, cuts):
        number = int(trees.class_of[piece[0]])
        if number < 0:
            continue
        first, last = int(piece[0]), int(piece[-1])
        a = frame.at(float(ground.x[first] - half[0]), float(ground.y[first] - half[1]))
        b = frame.at(float(ground.x[last] + half[0]), float(ground.y[last] + half[1]))
        item = trees.classes[number]
        name = layout.cultivars[layout.cultivar[first]]
        places = (
            f"tree {ground.place[first]}"
            if first == last
            else f"trees {ground.place[first]} to {ground.place[last]}"
        )
        says = f"{row.block} {row.number}, {places}: {name}"
        if item.name != name:
            says += f"; {item.name}"
        long = float(np.hypot(b[0] - a[0], b[1] - a[1]))
        strokes = [f'stroke="{colours[number]}" stroke-width="{thick:.1f}"']
        if number % HATCHES:
            strokes.append(f'stroke="url(#h{number % HATCHES})" stroke-width="{thick:.1f}"')
        lines = "".join(
            f'<line x1="{a[0]:.1f}" y1="{a[1]:.1f}" x2="{b[0]:.1f}" y2="{b[1]:.1f}" {stroke}/>'
            for stroke in strokes
        )
        size = min(pitch * 0.75, long / max(len(item.sign), 1) * 1.2, 13.0)
        sign = ""
        if size >= SMALLEST:
            # along the row: signs of neighbouring rows do not touch
            turn = (float(np.degrees(np.arctan2(b[1] - a[1], b[0] - a[0]))) + 90.0) % 180.0 - 90.0
            x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
            sign = (
                f'<text x="{x:.1f}" y="{y + size * 0.36:.1f}" font-size="{size:.1f}" text-anchor="middle" '
                f'font-weight="bold" transform="rotate({turn:.1f} {x:.1f} {y:.1f})" {HALO}>{escape(item.sign)}</text>'
            )
        # a hair of white parts one run from the next
        unit = ((b[0] - a[0]) / long, (b[1] - a[1]) / long) if long else (0.0, 0.0)
        side = (-unit[1] * thick / 2, unit[0] * thick / 2)
        edge = (
            f'<line x1="{b[0] - side[0]:.1f}" y1="{b[1] - side[1]:.1f}" x2="{b[0] + side[0]:.1f}" '
            f'y2="{b[1] + side[1]:.1f}" stroke="#ffffff" stroke-width="1.2"/>'
        )
        found.append(f"<g><title>{escape(says)}</title>{lines}{edge}{sign}</g>")
    return found


def _row_number(start: tuple[float, float], end: tuple[float, float], number: int) -> str:
    long = float(np.hypot(end[0] - start[0], end[1] - start[1])) or 1.0
    x = start[0] - (end[0] - start[0]) / long * 12
    y = start[1] - (end[1] - start[1]) / long * 12 + 4
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="11" text-anchor="middle">{number}</text>'


def _block_name(frame: _Frame, block: GroundBlock, system: UnitSystem) -> str:
    """The block's name above it, and an arrow down its slope."""
    if not len(block.outline):
        return ""
    top = block.outline[int(np.argmax(block.outline[:, 1]))]
    x, y = frame.at(float(block.outline[:, 0].mean()), float(top[1]))
    area = shown(block.area, Kind.AREA, system, digits=2)
    said = f"{block.name}: {area}, rows {shown(block.row_spacing, Kind.LENGTH, system, digits=1)} apart"
    name = (
        f'<g><title>{escape(said)}</title><text x="{x:.1f}" y="{y - 8:.1f}" font-size="14" font-weight="bold" '
        f'text-anchor="middle" stroke="#ffffff" stroke-width="3" paint-order="stroke">{escape(block.name)}</text></g>'
    )
    if block.slope < 0.005:
        return name
    turn = np.radians(block.slope_bearing)
    corner = frame.at(float(block.outline[:, 0].max()), float(block.outline[:, 1].max()))
    cx, cy = corner[0] - 8, corner[1] + 14
    dx, dy = float(np.sin(turn)) * 15, -float(np.cos(turn)) * 15
    fall = shown(block.slope, Kind.SLOPE, system)
    return name + (
        f"<g><title>{escape(f'{block.name} falls {fall} this way')}</title>"
        f'<path d="M {cx - dx:.1f} {cy - dy:.1f} L {cx + dx:.1f} {cy + dy:.1f} m {-dx * 0.55 - dy * 0.3:.1f} '
        f"{-dy * 0.55 + dx * 0.3:.1f} l {dx * 0.55 + dy * 0.3:.1f} {dy * 0.55 - dx * 0.3:.1f} "
        f'l {-dx * 0.55 + dy * 0.3:.1f} {-dy * 0.55 - dx * 0.3:.1f}" fill="none" stroke="{INK}" stroke-width="1.6"/>'
        f'<text x="{cx - 19:.1f}" y="{cy + 4:.1f}" font-size="11" text-anchor="end" stroke="#ffffff" '
        f'stroke-width="2.5" paint-order="stroke">{fall} down</text></g>'
    )


def _gate(frame: _Frame, ground: Ground) -> str:
    if ground.gate is None:
        return ""
    x, y = frame.at(*ground.gate)
    return (
        f'<g><title>gate</title><rect x="{x - 6:.1f}" y="{y - 6:.1f}" width="12" height="12" fill="#ffffff" '
        f'stroke="{INK}" stroke-width="1.6"/><text x="{x - 9:.1f}" y="{y + 18:.1f}" font-size="11" '
        f'stroke="#ffffff" stroke-width="2.5" paint-order="stroke">gate</text></g>'
    )


def _north(width: float) -> str:
    x, y = width - 24, 14
    return (
        f'<g><title>north is up</title><path d="M {x} {y} l 7 20 l -7 -5 l -7 5 z" fill="{INK}"/>'
        f'<text x="{x}" y="{y + 33}" text-anchor="middle" font-size="12" font-weight="bold">N</text></g>'
    )


def _scale_bar(frame: _Frame, depth: float, system: UnitSystem) -> str:
    foot = 0.3048
    lengths = [(value, value * foot, "ft") for value in ROUND_FEET] if system is UnitSystem.US else [
        (value, float(value), "m") for value in ROUND_METRES
    ]  # fmt: skip
    value, metres, unit = max((item for item in lengths if item[1] * frame.scale <= 180), default=lengths[0])
    long, x, y = metres * frame.scale, 14.0, depth - 10
    return (
        f'<g><title>scale</title><path d="M {x} {y - 5:.1f} v 5 h {long:.1f} v -5" fill="none" stroke="{INK}" '
        f'stroke-width="1.6"/><text x="{x + long / 2:.1f}" y="{y - 7:.1f}" text-anchor="middle" font-size="11">'
        f"{value} {unit}</text></g>"
    )


def _legend(trees: ViewOfTrees | None, colours: Sequence[str], width: float, top: float) -> tuple[str, float]:
    if trees is None or not trees.classes:
        return "", 0.0
    columns = max(1, int((width - 20) // LEGEND_COLUMN))
    lines = -(-len(trees.classes) // columns)
    parts = [f'<text x="14" y="{top + 10:.1f}" font-weight="bold">{escape(trees.title)}</text>']
    for number, item in enumerate(trees.classes):
        x = 14 + (number // lines) * LEGEND_COLUMN
        y = top + 20 + (number % lines) * LINE
        box = f'x="{x:.1f}" y="{y:.1f}" width="26" height="13"'
        parts.append(f'<rect {box} fill="{colours[number]}"/>')
        if number % HATCHES:
            parts.append(f'<rect {box} fill="url(#h{number % HATCHES})"/>')
        parts.append(
            f'<text x="{x + 13:.1f}" y="{y + 10.5:.1f}" font-size="10.5" font-weight="bold" text-anchor="middle" '
            f"{HALO}>{escape(item.sign)}</text>"
            f'<text x="{x + 32:.1f}" y="{y + 10.5:.1f}">{escape(item.name)} ({item.trees})</text>'
        )
    return "".join(parts), 30 + lines * LINE


def colours_of(trees: ViewOfTrees) -> tuple[str, ...]:
    """Light fills that dark letters stay readable on: along one scale for ordered classes, around the wheel else."""
    count = max(len(trees.classes), 1)
    found = []
    for number in range(count):
        if trees.ordered:
            share = number / max(count - 1, 1)
            hue, light, strong = 0.14 + 0.48 * share, 0.88 - 0.22 * share, 0.75
        else:
            hue, light, strong = (number * 0.381966) % 1.0, (0.80, 0.70, 0.87)[number % 3], 0.60
        red, green, blue = colorsys.hls_to_rgb(hue, light, strong)
        found.append(f"#{round(red * 255):02x}{round(green * 255):02x}{round(blue * 255):02x}")
    return tuple(found)


def _hatch(number: int) -> str:
    size = 7
    line = f'stroke="{INK}" stroke-opacity="0.45" stroke-width="0.9" fill="none"'
    drawn = {
        1: f'<path d="M 0 {size} L {size} 0" {line}/>',
        2: f'<path d="M 0 0 L {size} {size}" {line}/>',
        3: f'<path d="M 0 3.5 H {size}" {line}/>',
        4: f'<path d="M 3.5 0 V {size}" {line}/>',
        5: f'<path d="M 0 {size} L {size} 0 M 0 0 L {size} {size}" {line}/>',
        6: f'<circle cx="3.5" cy="3.5" r="1.1" fill="{INK}" fill-opacity="0.5"/>',
        7: f'<path d="M 0 3.5 H {size} M 3.5 0 V {size}" {line}/>',
    }[number]
    return f'<pattern id="h{number}" width="{size}" height="{size}" patternUnits="userSpaceOnUse">{drawn}</pattern>'


def _description(ground: Ground, layout: Layout | None, trees: ViewOfTrees | None) -> str:
    """What the map shows, for those who do not see it."""
    blocks = "; ".join(
        f"{block.name} with {len(block.rows)} rows and {sum(row.places for row in block.rows)} places"
        for block in ground.blocks
    )
    if layout is None or trees is None:
        return f"{blocks}."
    listed = ", ".join(f"{item.name} {item.trees}" for item in trees.classes)
    return f"{blocks}. Trees by {trees.title.lower()}: {listed}."
