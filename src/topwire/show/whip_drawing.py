"""A whip after each leaf against the plan's wires, to scale."""

from collections.abc import Callable
from math import cos, radians, sin
from xml.sax.saxutils import escape

import numpy as np

from topwire.growth.whip import NOTHING_BELOW, WhipTraining
from topwire.layout.pitch import ABOVE_WIRE
from topwire.show.trellis_drawing import EARTH, EDGE, FAINT, FONT, INK, LEAF, PAGE, WOOD, length
from topwire.values.units import UnitSystem

_TALL = 420.0  # drawing units for the tallest wire or tree
_IN_SOIL = 0.45  # [m] of the cane
_FEATHERS_FROM = 2  # leaf
_FEATHER_STEP, _FEATHER = 0.22, 0.4  # [m] between feathers and their length, as drawn


def draw_whips(found: WhipTraining, *, system: UnitSystem = UnitSystem.METRIC) -> str:
    """Five trees side by side: middle height drawn, weak and strong trees as marks beside it."""
    wires = [line.wire for line in found.wires]
    held = max(wires) + ABOVE_WIRE  # where the leader is cut or bent
    heights = np.minimum(found.heights, held)
    top = held + 0.2
    scale = _TALL / top
    ground = 40 + _TALL
    parts = [
        f'<rect x="0" y="{ground:.1f}" width="{PAGE:g}" height="{_IN_SOIL * scale + 12:.1f}" fill="{EARTH}"/>'
    ]

    def y(metres: float) -> float:
        return ground - metres * scale

    for line in found.wires:
        parts.append(_line(EDGE, y(line.wire), PAGE - EDGE - 60, y(line.wire), INK, 1.2))
        parts.append(_text(PAGE - 8, y(line.wire) + 5, length(line.wire, system), "end"))
    step = (PAGE - 2 * EDGE - 60) / len(heights)
    for leaf, (weak, middle, strong) in enumerate(heights.tolist()):
        x = EDGE + (leaf + 0.5) * step
        parts.append(_line(x + 6, y(-_IN_SOIL), x + 6, y(found.cane - _IN_SOIL), WOOD, 2.5))
        if leaf >= _FEATHERS_FROM:
            parts += _feathers(x, y, heights[leaf - 1, 1], scale, found.angles[0].most)
        parts.append(_line(x, y(0), x, y(middle), INK, 3.0))
        for mark in (weak, strong):
            parts.append(_line(x - 16, y(mark), x + 2, y(mark), FAINT, 1.6))
        parts.append(_text(x - 20, y(middle) + 5, length(middle, system), "end"))
        says = "planted" if leaf == 0 else f"after leaf {leaf}"
        parts.append(_text(x, ground + _IN_SOIL * scale + 32, says, "middle"))
    height = ground + _IN_SOIL * scale + 48
    body = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {PAGE:g} {height:.0f}" role="img" '
        f'font-family="{FONT}" fill="{INK}">\n<title>A whip after each leaf, against the wires</title>\n'
        f'<rect width="{PAGE:g}" height="{height:.0f}" fill="#ffffff"/>\n{body}\n</svg>\n'
    )


def _feathers(x: float, y: Callable[[float], float], to: float, scale: float, angle: float) -> list[str]:
    """Feathers of last year's leader, bent as the table says; left and right in turn."""
    parts = []
    at, side = NOTHING_BELOW + 0.1, 1
    while at < to:
        over, up = sin(radians(angle)) * _FEATHER * scale, cos(radians(angle)) * _FEATHER * scale
        parts.append(_line(x, y(at), x + side * over, y(at) - up, LEAF, 7))
        parts.append(_line(x, y(at), x + side * over, y(at) - up, INK, 1.2))
        at, side = at + _FEATHER_STEP, -side
    return parts


def _line(x1: float, y1: float, x2: float, y2: float, colour: str, width: float) -> str:
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" '
        f'stroke-width="{width:g}"/>'
    )


def _text(x: float, y: float, says: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="15" text-anchor="{anchor}">{escape(says)}</text>'
