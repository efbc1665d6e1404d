"""Drawings of the trellis as SVG: a row from the side, to scale with its dimensions, and its end in detail."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import radians, tan
from xml.sax.saxutils import escape

from topwire.tell.reader import counted
from topwire.tell.row_names import addresses
from topwire.tell.trellis import END_KINDS
from topwire.trellis.kinds import EndKind
from topwire.trellis.row_findings import EndDetail, RowTrellis
from topwire.values.terms import Net
from topwire.values.units import Kind, UnitSystem, feet_and_inches, shown

PAGE = 1000.0  # drawing units across
EDGE = 70.0
WINDOW = 15.0  # [m] of a row shown large; the rest stands in the strip above
LABEL = 60.0  # drawing units more at the right of an end, for the heights in larger letters
END_LETTERS = 1.6  # an end is shown smaller than a row, and read as easily
NET_HATCH = 0.4  # [m] between the strokes of a drawn net
TREE = 0.45  # [m] half width of a drawn crown
FOOT_DEPTH = 0.6  # [m] of the pad under a diagonal's strut
INK, FAINT, EARTH, LEAF, WOOD = "#1d1d1b", "#8a8a85", "#efe8d8", "#dfe9d4", "#8a6a45"
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"


@dataclass
class Elevation:
    """A drawing in work: metres to units, height above ground upwards."""

    scale: float  # units per metre
    left: float  # [m] at the left edge
    ground: float  # [units] of the ground line
    mirror: float | None = None  # [m] place whose distances run the other way, for a far end
    letters: float = 1.0  # of the usual size
    parts: list[str] = field(default_factory=list)

    def x(self, metres: float) -> float:
        along = metres if self.mirror is None else self.mirror - metres
        return EDGE + (along - self.left) * self.scale

    def y(self, height: float) -> float:
        return self.ground - height * self.scale

    def line(self, a: tuple[float, float], b: tuple[float, float], width: float = 1.0, *, colour: str = INK,
             dash: str = "") -> None:  # fmt: skip
        """A line between points in metres."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<line x1="{self.x(a[0]):.1f}" y1="{self.y(a[1]):.1f}" x2="{self.x(b[0]):.1f}" y2="{self.y(b[1]):.1f}" '
            f'stroke="{colour}" stroke-width="{width:.2f}"{dashed}/>'
        )

    def text(self, x: float, y: float, says: str, *, size: float = 13.0, anchor: str = "middle", turn: bool = False
             ) -> None:  # fmt: skip
        """Words at a place in drawing units."""
        turned = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if turn else ""
        self.parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size * self.letters:g}" '
            f'text-anchor="{anchor}"{turned}>{escape(says)}</text>'
        )

    def across(self, start: float, end: float, at: float, says: str) -> None:
        """A dimension along the row, `at` drawing units from the top."""
        a, b = self.x(start), self.x(end)
        for edge in (a, b):
            self.parts.append(_stroke(edge, at - 5, edge, at + 5))
        self.parts.append(_stroke(a, at, b, at))
        self.text((a + b) / 2, at - 6, says)

    def up(self, low: float, high: float, at: float, says: str) -> None:
        """A dimension of height, `at` drawing units from the left."""
        a, b = self.y(low), self.y(high)
        for edge in (a, b):
            self.parts.append(_stroke(at - 5, edge, at + 5, edge))
        self.parts.append(_stroke(at, a, at, b))
        self.text(at - 6, (a + b) / 2, says, turn=True)


def _stroke(x1: float, y1: float, x2: float, y2: float) -> str:
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{FAINT}" stroke-width="0.9"/>'
    )


def draw_elevation(row: RowTrellis, *, system: UnitSystem = UnitSystem.METRIC) -> str:
    """A row from the side, to scale: end, first posts, wires, trees, depths; above it the whole row with every post."""
    whole, far = row.length <= WINDOW, row.ends[1]
    reach, beyond = _behind(row.end), _behind(far) if whole else 0.0
    shown_to = min(row.length, WINDOW)
    top = row.wire_heights[-1]
    scale = (PAGE - 2 * EDGE) / (shown_to + reach + beyond + 0.5)
    ground = 150 + (top + 0.6) * scale
    deepest = max(row.post_depth, 1.2, *(max(end.post_depth, _anchor_depth(end)) for end in row.ends))
    height = ground + deepest * scale + 95
    sheet = Elevation(scale, -reach - 0.25, ground)
    sheet.parts.append(
        f'<rect x="0" y="{ground:.1f}" width="{PAGE:g}" height="{deepest * scale + 25:.1f}" fill="{EARTH}"/>'
    )
    for tree in row.trees:
        if tree <= shown_to:
            _tree(sheet, tree, top)
    _wires(sheet, row, shown_to)
    if row.net is not Net.NONE:
        _net(sheet, row, shown_to)
    for position in row.positions[1:-1]:
        if position <= shown_to + 1e-9:
            _post(sheet, position, row.post_depth, top + 0.1, row.post_diameter)
    _end(sheet, row.end, top)
    if whole:
        sheet.mirror = row.length
        _end(sheet, far, top)
        sheet.mirror = None
    _dimensions(sheet, row, shown_to, height, system)
    _strip(sheet, row, system)
    title = f"{', '.join(row.rows[:4])}{' and more' if len(row.rows) > 4 else ''}: row from the side"
    return document(sheet.parts, height, title)


def _net(sheet: Elevation, row: RowTrellis, to: float) -> None:
    """The near sheet of a net, hatched from the ridge down to below the lowest wire."""
    ridge, hem = row.wire_heights[-1] + 0.1, row.wire_heights[0] - 0.2
    for number in range(int(to / NET_HATCH) + 1):
        at = number * NET_HATCH
        sheet.line((at, hem), (min(at + NET_HATCH, to), ridge), 0.5, colour=FAINT)
    for z in (ridge, hem):
        sheet.line((0.0, z), (to, z), 1.2, colour=FAINT)


def _dimensions(
    sheet: Elevation, row: RowTrellis, shown_to: float, height: float, system: UnitSystem
) -> None:
    spans = [position for position in row.positions if position <= shown_to + 1e-9]
    for a, b in pairwise(spans):
        sheet.across(a, b, height - 45, length(b - a, system))
    if shown_to < row.length - 1e-6:
        sheet.text(PAGE - EDGE, height - 18, f"goes on to {length(row.length, system)}", anchor="end")
    right = PAGE - 34
    for z in _levels(row):
        sheet.text(right + 30, sheet.y(z) + 4, length(z, system), size=11.5, anchor="end")
    if len(spans) > 1:
        at = sheet.x(spans[1]) + 12 + row.post_diameter * sheet.scale
        sheet.up(-row.post_depth, 0.0, at, length(row.post_depth, system))
    sheet.text(
        EDGE,
        height - 18,
        f"line posts {row.post}; wire {row.wire}; dashed: wire of the drip line"
        + (f"; hatched: {row.net.value} net" if row.net is not Net.NONE else ""),
        anchor="start",
    )


def _strip(sheet: Elevation, row: RowTrellis, system: UnitSystem) -> None:
    """The whole row above, posts as strokes."""
    whole = (PAGE - 2 * EDGE) / row.length
    sheet.text(
        EDGE, 30, f"whole row, {length(row.length, system)}, {counted(row.spans, 'span')}", anchor="start"
    )
    sheet.parts.append(_stroke(EDGE, 70, PAGE - EDGE, 70))
    near, far = (END_KINDS[end.kind] for end in row.ends)
    sheet.text(EDGE, 96, f"{near}, where counting starts", anchor="start", size=11.5)
    sheet.text(PAGE - EDGE, 96, f"{far}, far end", anchor="end", size=11.5)
    for position in row.positions:
        x = EDGE + position * whole
        end = position in (row.positions[0], row.positions[-1])
        sheet.parts.append(
            f'<line x1="{x:.1f}" y1="{46 if end else 54}" x2="{x:.1f}" y2="78" stroke="{INK}" '
            f'stroke-width="{3 if end else 1.4}"/>'
        )


def draw_end(row: RowTrellis, end: EndDetail, *, system: UnitSystem = UnitSystem.METRIC) -> str:
    """One end of a row in detail, to scale, with its dimensions."""
    top = row.wire_heights[-1]
    tied = end.anchor is not None
    left = _behind(end) + 0.3
    right = max(2.2, 0.0 if tied else end.reach + 0.7)
    scale = min((PAGE - 2 * EDGE - LABEL) / (left + right), 150.0)
    ground = 60 + (top + 0.5) * scale
    deepest = max(end.post_depth, _anchor_depth(end), 1.4)
    height = ground + deepest * scale + 95
    sheet = Elevation(scale, -left, ground, letters=END_LETTERS)
    sheet.parts.append(
        f'<rect x="0" y="{ground:.1f}" width="{PAGE:g}" height="{deepest * scale + 25:.1f}" fill="{EARTH}"/>'
    )
    back = tan(radians(end.lean))
    for z in _levels(row):
        _wire(sheet, row, z, (-z * back, right))
        sheet.text(sheet.x(right) + 6, sheet.y(z) + 4, length(z, system), anchor="start")
    _end(sheet, end, top)
    reach = (-end.reach, 0.0) if tied else (0.0, end.reach)
    sheet.across(*reach, height - 45, length(end.reach, system))
    into, down = end.foot
    sheet.up(-down, 0.0, sheet.x(into + end.post_diameter) + 30, length(down, system))
    deep, long = (length(metres, system) for metres in (end.post_depth, end.post_length))
    leans = f", leaning {end.lean:.0f}°" if end.lean else ""
    words = f"{END_KINDS[end.kind]}: {end.post}, {deep} of its {long} in the ground{leans}"
    sheet.text(EDGE, height - 18, words, anchor="start")
    if tied:
        many = f"{end.anchors} × " if end.anchors > 1 else ""
        pull = shown(end.member, Kind.FORCE, system)
        side = f", {length(end.anchors_apart, system)} apart" if end.anchors_apart else ""
        sheet.text(
            EDGE, 30, f"{many}{end.anchor}{side}; guy pulls {pull} in the design storm", anchor="start"
        )
    else:
        part = f"strut of {end.strut}" if end.feet else f"rail of {end.strut}, its brace wire"
        feet = f", on {end.feet} {'pads' if end.feet > 1 else 'pad'} dug in on edge" if end.feet else ""
        pull = shown(end.member, Kind.FORCE, system)
        sheet.text(EDGE, 30, f"{part} carries {pull} in the design storm{feet}", anchor="start")
    return document(sheet.parts, height, f"{row.rows[0]}: end assembly")


def kinds_of_ends(rows: tuple[RowTrellis, ...]) -> list[tuple[str, str, RowTrellis, EndDetail]]:
    """Each end that is built otherwise than the others: title, where it stands, and the one pulled most."""
    kinds: dict[EndDetail, list[tuple[EndDetail, RowTrellis, str]]] = {}
    for row in rows:
        for end, which in (
            (row.end, "where counting starts" if row.far_end else ""),
            (row.far_end, "far end"),
        ):
            if end is not None:
                same = replace(end, member=0.0, anchor_holds=None)
                kinds.setdefault(same, []).append((end, row, which))
    made = []
    for number, alike in enumerate(kinds.values(), start=1):
        sides = dict.fromkeys(which for *_, which in alike)
        where = "; ".join(
            addresses(tuple(name for _, row, side in alike if side == which for name in row.rows))
            + (f", {which}" if which else ", both of a row alike")
            for which in sides
        )
        end, row, _ = max(alike, key=lambda one: one[0].member)
        which = f"End {number} of {len(kinds)}" if len(kinds) > 1 else "The end"
        made.append((f"{which}, to build from", where, row, end))
    return made


def _anchor_depth(end: EndDetail) -> float:
    return (end.anchor_depth or 1.0) if end.anchor else 0.0


def _behind(end: EndDetail) -> float:
    """Room behind the end post [m]: to the plate or log in the ground."""
    if not end.anchor:
        return 0.6
    return end.reach + _anchor_depth(end) / (end.guy_slope or 1.0)


def _levels(row: RowTrellis) -> list[float]:
    """All wires from the ground up."""
    return [*([row.low_wire] if row.low_wire is not None else []), *row.wire_heights]


def _wires(sheet: Elevation, row: RowTrellis, to: float) -> None:
    """Wires from the end post, wherever it leans, to `to` [m]; the drip line's dashed."""
    back = tan(radians(row.end.lean))
    onward = tan(radians(row.ends[1].lean)) if to >= row.length - 1e-6 else 0.0
    for z in _levels(row):
        _wire(sheet, row, z, (-z * back, to + z * onward))


def _wire(sheet: Elevation, row: RowTrellis, z: float, along: tuple[float, float]) -> None:
    thick, dash = (1.0, "7 3") if z == row.low_wire else (1.4, "")
    sheet.line((along[0], z), (along[1], z), thick, dash=dash)


def _end(sheet: Elevation, end: EndDetail, top: float) -> None:
    """End post with its guy and anchor, its rail and brace wire, or its strut."""
    back = (top + 0.15) * tan(radians(end.lean))
    width = max(end.post_diameter * sheet.scale, 3.0)
    into, down = end.foot
    sheet.line((into, -down), (-back, top + 0.15), width, colour=WOOD)
    if end.anchor is not None:
        head = -top * tan(radians(end.lean))
        foot = (-end.reach, 0.0)
        sheet.line((head, top), foot, 1.8)
        slope = end.guy_slope or 1.0
        down = end.anchor_depth or 1.0
        tip = (-end.reach - down / slope, -down)
        sheet.line(foot, tip, 2.6)
        sheet.parts.append(
            f'<circle cx="{sheet.x(tip[0]):.1f}" cy="{sheet.y(tip[1]):.1f}" r="6" fill="none" stroke="{INK}" '
            f'stroke-width="2.2"><title>{escape(end.anchor)}</title></circle>'
        )
        return
    level = 0.75 * top
    if end.kind is EndKind.H_BRACE:
        sheet.line((end.reach, -end.post_depth), (end.reach, top + 0.15), width, colour=WOOD)
        sheet.line((0.0, level), (end.reach, level), max(width * 0.8, 2.5), colour=WOOD)
        sheet.line((end.reach, level), (0.0, 0.1), 1.8)
    else:
        sheet.line((0.0, level), (end.reach, 0.0), max(width * 0.8, 2.5), colour=WOOD)
        sheet.line((end.reach, 0.0), (end.reach, -FOOT_DEPTH), 5.0)


def _post(sheet: Elevation, at: float, depth: float, top: float, diameter: float) -> None:
    sheet.line((at, -depth), (at, top), max(diameter * sheet.scale, 2.5), colour=WOOD)


def _tree(sheet: Elevation, at: float, top: float) -> None:
    """A spindle: a narrow cone of leaves and its trunk."""
    points = ((at - TREE, 0.6), (at, top + 0.25), (at + TREE, 0.6))
    corners = " ".join(f"{sheet.x(x):.1f},{sheet.y(z):.1f}" for x, z in points)
    sheet.parts.append(f'<polygon points="{corners}" fill="{LEAF}"/>')
    sheet.line((at, 0.0), (at, 0.6), 1.6, colour=FAINT)


def length(metres: float, system: UnitSystem) -> str:
    """A length as it is read from a tape."""
    if system is UnitSystem.US:
        return feet_and_inches(metres)
    return f"{metres:.2f} m"


def document(parts: Iterable[str], height: float, title: str) -> str:
    body = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {PAGE:g} {height:.0f}" role="img" '
        f'font-family="{FONT}" fill="{INK}">\n<title>{escape(title)}</title>\n'
        f'<rect width="{PAGE:g}" height="{height:.0f}" fill="#ffffff"/>\n{body}\n</svg>\n'
    )
