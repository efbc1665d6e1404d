"""A tree trained flat, year by year against the plan's wires: espalier, fan, oblique cordon."""

from collections.abc import Sequence
from itertools import pairwise
from math import cos, radians, sin, tan

from topwire.engine.orchard import Orchard
from topwire.show.trellis_drawing import EARTH, EDGE, FAINT, INK, PAGE, WOOD, Elevation, document, length
from topwire.values.terms import Training
from topwire.values.units import UnitSystem

GROWN = 99  # summers
_SUMMERS = (0, 1, 2, GROWN)
_ABOVE = 0.05  # [m] a cut is made above its wire
_RIBS = (20.0, 38.0, 56.0, 74.0)  # [deg from level] of a fan, grown
_SLANT = 45.0  # [deg] of a cordon
_TALL = 330.0  # drawing units for the top wire

Line = tuple[tuple[float, float], ...]


def form_of(orchard: Orchard) -> Training:
    """How the trees of the first block are trained."""
    blocks = orchard.ground.blocks if orchard.ground else ()
    return Training(blocks[0].spacing.training) if blocks else Training.TALL_SPINDLE


def spacing_of(orchard: Orchard) -> float:
    """[m] between the trees of the first block."""
    assert orchard.ground is not None
    return orchard.ground.blocks[0].tree_spacing


def branches(form: Training, wires: Sequence[float], half: float, summer: int) -> list[Line]:
    """Wood of a tree at the end of a summer (0 = planted), in metres from its foot; `half` of its room to each side."""
    if form is Training.ESPALIER:
        return _espalier(wires, half, summer)
    if form is Training.FAN:
        return _fan(wires, half, summer)
    run = wires[-1] / tan(radians(_SLANT))
    share = min(1.0, (0.45, 0.6, 0.78, 0.92)[summer] if summer < 4 else 1.0)
    return [((0.0, 0.0), (run * share, wires[-1] * share))]


def _espalier(wires: Sequence[float], half: float, summer: int) -> list[Line]:
    """A tier a summer, the newest still short."""
    if summer == 0:
        return [((0.0, 0.0), (0.0, wires[0] + _ABOVE))]
    tiers = min(summer, len(wires))
    up = wires[tiers - 1] if tiers == len(wires) else min(wires[tiers] + _ABOVE, wires[tiers - 1] + 0.5)
    found: list[Line] = [((0.0, 0.0), (0.0, up))]
    for tier in range(tiers):
        reach = half if summer == GROWN else half * min(1.0, 0.45 * (summer - tier))
        found += [((0.0, wires[tier]), (side * reach, wires[tier])) for side in (-1, 1)]
    return found


def _fan(wires: Sequence[float], half: float, summer: int) -> list[Line]:
    foot, top = wires[0] * 0.8, wires[-1]
    if summer == 0:
        return [((0.0, 0.0), (0.0, foot))]
    ribs = {1: (45.0,), 2: (30.0, 60.0), 3: (22.0, 45.0, 68.0)}.get(summer, _RIBS)
    grown = {1: 0.4, 2: 0.65, 3: 0.85}.get(summer, 1.0)
    found: list[Line] = [((0.0, 0.0), (0.0, foot))]
    for angle in ribs:
        reach = (
            min(half / max(cos(radians(angle)), 0.05), (top - foot) / max(sin(radians(angle)), 0.05)) * grown
        )
        end = (reach * cos(radians(angle)), foot + reach * sin(radians(angle)))
        found += [((0.0, foot), (side * end[0], end[1])) for side in (-1, 1)]
    return found


def draw_form(
    form: Training, wires: Sequence[float], spacing: float, *, system: UnitSystem = UnitSystem.METRIC
) -> str:
    """Planted, after each of two summers, and grown, side by side."""
    half = spacing / 2
    wide = 2 * half if form is not Training.OBLIQUE_CORDON else wires[-1] / tan(radians(_SLANT)) + 0.3
    scale = min(_TALL / wires[-1], (PAGE - 2 * EDGE - 60) / (len(_SUMMERS) * (wide + 0.25)))
    step = (PAGE - 2 * EDGE - 60) / len(_SUMMERS) / scale
    ground = 30 + (wires[-1] + 0.2) * scale
    drawn = Elevation(scale, 0.0, ground)
    drawn.parts.append(f'<rect x="0" y="{ground:.1f}" width="{PAGE:g}" height="14" fill="{EARTH}"/>')
    for height in wires:
        drawn.line((0.0, height), (step * len(_SUMMERS), height), 1.0, colour=FAINT)
        drawn.text(PAGE - 8, drawn.y(height) + 5, length(height, system), anchor="end")
    for at, summer in enumerate(_SUMMERS):
        foot = (at + 0.5) * step - (wide / 2 if form is Training.OBLIQUE_CORDON else 0.0)
        before = set(branches(form, wires, half, summer - 1)) if 0 < summer < GROWN else set()
        for line in branches(form, wires, half, summer):
            new = summer not in (0, GROWN) and line not in before
            for (x1, z1), (x2, z2) in pairwise(line):
                drawn.line(
                    (foot + x1, z1), (foot + x2, z2), 2.6 if new else 4.0, colour=FAINT if new else WOOD
                )
        says = {0: "planted", GROWN: "grown"}.get(summer, f"after summer {summer}")
        drawn.text(drawn.x((at + 0.5) * step), ground + 34, says)
    drawn.parts.append(f'<path d="M 0 {ground:.1f} H {PAGE:g}" stroke="{INK}" stroke-width="0.8"/>')
    return document(drawn.parts, ground + 50, f"{form.value}, year by year")
