"""A garden's row from the front: the fence or posts, the wires, and each tree with its name; or to build from."""

from dataclasses import dataclass
from itertools import pairwise

from topwire.engine.orchard import Orchard
from topwire.growth.training import FLAT
from topwire.show.form_drawing import GROWN, branches, form_of
from topwire.show.garden_sheets import GardenTree, garden_trees
from topwire.show.trellis_drawing import (
    EARTH,
    EDGE,
    FAINT,
    INK,
    LEAF,
    PAGE,
    WOOD,
    Elevation,
    document,
    length,
)
from topwire.trellis.fence_findings import FenceSupport
from topwire.trellis.kinds import FenceCure
from topwire.trellis.row_findings import RowTrellis
from topwire.values.calendar import week_label
from topwire.values.terms import Training
from topwire.values.units import UnitSystem

_NARROW = 74.0  # drawing units between trees below which names stand upright
_CROWN = 0.36  # [m] half width of a drawn crown
_LEVEL = 0.75  # of the top wire's height at which a strut meets its post
_STAKE = 1.5  # [m] of a tree without wires


@dataclass(frozen=True)
class RowSupport:
    """What a row's trees stand on, to draw."""

    row: str
    posts: tuple[float, ...]  # [m] from where counting starts
    depth: float
    wires: tuple[float, ...]
    low: float | None
    struts: tuple[float | None, float | None]  # of its first and its last end
    eyes: bool
    springs: bool = False
    wall: bool = False

    @property
    def strung(self) -> tuple[float, ...]:
        """All wires, the drip line's lowest; none where a tree has a stake."""
        return (self.low, *self.wires) if self.low is not None and self.wires else self.wires


def draw_rows(
    orchard: Orchard, *, system: UnitSystem = UnitSystem.METRIC, to_build: bool = False
) -> list[tuple[str, str]]:
    """Each row of a garden by its address: with its trees' names, or with the measures to build it."""
    trees = garden_trees(orchard)
    rows: dict[str, list[GardenTree]] = {}
    for tree in trees:
        rows.setdefault(tree.address.rsplit(", tree", 1)[0], []).append(tree)
    return [
        (row, _picture(_standing(orchard, row, here), here, form_of(orchard), system, to_build))
        for row, here in rows.items()
        if not to_build or _standing(orchard, row, here).wires
    ]


def _standing(orchard: Orchard, row: str, trees: list[GardenTree]) -> RowSupport:
    trellis = orchard.trellis
    if trellis is not None:
        for fence in trellis.fences:
            if fence.row == row:
                return _on_fence(fence)
        for design in trellis.rows:
            if row in design.rows:
                return _on_posts(design, row)
    return RowSupport(row, tuple(tree.along for tree in trees), 0.5, (), None, (None, None), eyes=False)


def _on_fence(fence: FenceSupport) -> RowSupport:
    return RowSupport(
        fence.row, fence.posts, fence.post_depth, fence.wire_heights, fence.low_wire,
        fence.strut_reaches or (None, None), eyes=True, wall=fence.wall,
        springs=fence.cure in (FenceCure.SPRINGS, FenceCure.SPRINGS_AND_STRUTS),
    )  # fmt: skip


def _on_posts(design: RowTrellis, row: str) -> RowSupport:
    near, far = design.ends
    return RowSupport(
        row, design.positions, design.post_depth, design.wire_heights, design.low_wire,
        (near.reach if near.feet else None, far.reach if far.feet else None), eyes=False,
    )  # fmt: skip


def _picture(
    stand: RowSupport, trees: list[GardenTree], form: Training, system: UnitSystem, to_build: bool
) -> str:
    last = max(stand.posts[-1], trees[-1].along + 0.5)
    first = min(stand.posts[0], trees[0].along - 0.5)
    top = max(stand.wires[-1] if stand.wires else _STAKE, 1.0)
    scale = min((PAGE - 2 * EDGE - 30) / (last - first + 0.5), 190.0)
    ground = 12 + (top + 0.25) * scale
    under = max(stand.depth * scale + 20, 0.0) if to_build else 0.3 * scale
    drawn = Elevation(scale, first - 0.25, ground)
    drawn.parts.append(f'<rect x="0" y="{ground:.1f}" width="{PAGE:g}" height="{under:.1f}" fill="{EARTH}"/>')
    flat = form in FLAT
    if flat:
        _support(drawn, stand, top, to_build)
    for tree, room in zip(trees, _rooms(trees), strict=True):
        _crown(drawn, tree.along, top, room, stand, form)
    if not flat:
        _support(drawn, stand, top, to_build)
    right = drawn.x(last) + 8
    for height in stand.strung:
        drawn.text(right, drawn.y(height) + 4, length(height, system), anchor="start", size=12)
    at = ground + under + 6
    at = _measures(drawn, stand, trees, at, system) if to_build else _names(drawn, trees, at)
    return document(drawn.parts, at + 10, f"{stand.row}: {len(trees)} trees")


def _support(drawn: Elevation, stand: RowSupport, top: float, to_build: bool) -> None:
    ends = (stand.posts[0], stand.posts[-1])
    if stand.wall:
        left, right, high = drawn.x(ends[0]) - 12, drawn.x(ends[1]) + 12, drawn.y(top + 0.25)
        drawn.parts.insert(
            1,
            f'<rect x="{left:.1f}" y="{high:.1f}" width="{right - left:.1f}" height="{drawn.y(0.0) - high:.1f}" '
            'fill="#f3e6dc"/>',
        )
    for post in () if stand.wall else stand.posts:
        foot = -stand.depth if to_build else -0.25
        high = top + 0.1 if stand.wires else _STAKE
        drawn.line((post, foot), (post, high), 5.0 if post in ends else 3.5, colour=WOOD)
    for end, way, reach in zip(ends, (1, -1), stand.struts, strict=True):
        if reach is not None:
            drawn.line((end, _LEVEL * top), (end + way * reach, 0.0), 3.5, colour=WOOD)
            drawn.line((end + way * reach - 0.15, -0.05), (end + way * reach + 0.15, -0.05), 5.0, colour=WOOD)
    for height in stand.strung:
        dash = "6 3" if height == stand.low else ""
        drawn.line((ends[0], height), (ends[1], height), 1.0 if dash else 1.3, dash=dash)
        if stand.eyes:
            drawn.parts += [
                f'<circle cx="{drawn.x(post):.1f}" cy="{drawn.y(height):.1f}" r="3.4" fill="#ffffff" stroke="{INK}"/>'
                for post in stand.posts
            ]


def _rooms(trees: list[GardenTree]) -> list[float]:
    """Half of the room [m] each tree has along the row."""
    steps = [b.along - a.along for a, b in pairwise(trees)] or [2 * _CROWN]
    return [min(near) / 2 for near in zip([*steps, steps[-1]], [steps[0], *steps], strict=True)]


def _crown(drawn: Elevation, at: float, top: float, room: float, stand: RowSupport, form: Training) -> None:
    if form in FLAT and stand.wires:
        for line in branches(form, stand.wires, 0.94 * room, GROWN):
            for (x1, z1), (x2, z2) in pairwise(line):
                drawn.line((at + x1, z1), (at + x2, z2), 5.0, colour=LEAF)
                drawn.line((at + x1, z1), (at + x2, z2), 2.0, colour=WOOD)
        return
    points = (
        (at - _CROWN, 0.55),
        (at - 0.12, top * 0.8),
        (at, top + 0.2),
        (at + 0.12, top * 0.8),
        (at + _CROWN, 0.55),
    )
    corners = " ".join(f"{drawn.x(x):.1f},{drawn.y(z):.1f}" for x, z in points)
    drawn.parts.append(f'<polygon points="{corners}" fill="{LEAF}" stroke="{FAINT}" stroke-width="0.6"/>')
    drawn.line((at, -0.1), (at, top), 1.8, colour=WOOD)


def _names(drawn: Elevation, trees: list[GardenTree], at: float) -> float:
    """Number, name and first pick under each tree; the end of what was written."""
    steps = [drawn.x(b.along) - drawn.x(a.along) for a, b in pairwise(trees)]
    upright = bool(steps) and min(steps) < _NARROW
    low = at
    for number, tree in enumerate(trees, start=1):
        x = drawn.x(tree.along)
        pick = f"from {week_label(tree.of.first_pick)}" if tree.of.first_pick else ""
        if upright:
            drawn.text(x, at + 12, str(number), size=13)
            drawn.parts.append(
                f'<text x="{x:.1f}" y="{at + 22:.1f}" font-size="13" '
                f'transform="rotate(60 {x:.1f} {at + 22:.1f})">{_safe(tree.of.cultivar)}</text>'
            )
            low = max(low, at + 30 + 6.2 * len(tree.of.cultivar))
            continue
        words = [str(number), *_broken(tree.of.cultivar), pick]
        for line, says in enumerate(words):
            drawn.text(x, at + 14 + 15 * line, says, size=13 if line else 14)
        low = max(low, at + 14 + 15 * len(words))
    return low


def _safe(words: str) -> str:
    return words.replace("&", "&amp;").replace("<", "&lt;")


def _broken(name: str) -> list[str]:
    """On two lines where it is long."""
    words = name.split(" ")
    if len(name) <= 11 or len(words) == 1:
        return [name]
    half = min(range(1, len(words)), key=lambda cut: abs(len(" ".join(words[:cut])) - len(name) / 2))
    return [" ".join(words[:half]), " ".join(words[half:])]


def _measures(
    drawn: Elevation, stand: RowSupport, trees: list[GardenTree], at: float, system: UnitSystem
) -> float:
    for a, b in pairwise(stand.posts):
        drawn.across(a, b, at + 22, length(b - a, system))
    drawn.text(EDGE - 8, at + 26, "eyes" if stand.wall else "posts", anchor="end", size=11)
    places = [stand.posts[0], *(tree.along for tree in trees)]
    for a, b in pairwise(places):
        drawn.across(a, b, at + 52, length(b - a, system))
    drawn.text(EDGE - 8, at + 56, "trees", anchor="end", size=11)
    if not stand.wall:
        drawn.up(-stand.depth, 0.0, drawn.x(stand.posts[0]) - 18, length(stand.depth, system))
    if any(stand.struts):
        for end, way, reach in zip((stand.posts[0], stand.posts[-1]), (1, -1), stand.struts, strict=True):
            if reach is not None:
                pad = end + way * reach
                drawn.across(min(end, pad), max(end, pad), at + 82, length(reach, system))
        drawn.text(EDGE - 8, at + 86, "strut", anchor="end", size=11)
        at += 30
    return at + 58
