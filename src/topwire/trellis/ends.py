"""End assemblies: tie-back, H-brace and diagonal brace, in plain statics."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class EndForces:
    """What an end assembly carries when its wires pull towards the row.

    `member` is the tension of guy or brace wire, `strut` the push in rail or diagonal; `anchor_*` what the ground must
    hold back, `uplift` what pulls the end post out (a thrust down is negative), `foot` the shear at the end post's foot
    (positive away from the row, the direction the ground must push).
    """

    member: float  # [N]
    strut: float
    anchor_horizontal: float
    anchor_uplift: float
    uplift: float
    foot: float
    post_moment: float  # [N m] greatest bending in the end post


def pull(tensions: Sequence[float], heights: Sequence[float]) -> tuple[float, float]:
    """Sum of wire tensions [N] and their moment about the ground [N m]."""
    t, z = np.asarray(tensions, dtype=float), np.asarray(heights, dtype=float)
    return float(t.sum()), float(t @ z)


def tie_back(
    tensions: Sequence[float], heights: Sequence[float], *, guy_height: float, lean: float, guy_angle: float
) -> EndForces:
    """Post leaning away by `lean` [deg from upright], guy from `guy_height` at `guy_angle` [deg above ground].

    The foot is a pin in the ground; the guy takes the whole moment about it. [FRASER99 for the equilateral case]
    """
    total, moment = pull(tensions, heights)
    tilt, angle = np.radians(lean), np.radians(guy_angle)
    guy = moment / (guy_height * np.cos(angle) + guy_height * np.tan(tilt) * np.sin(angle))
    return EndForces(
        member=float(guy),
        strut=0.0,
        anchor_horizontal=float(guy * np.cos(angle)),
        anchor_uplift=float(guy * np.sin(angle)),
        uplift=-float(guy * np.sin(angle)),
        foot=total - float(guy * np.cos(angle)),
        post_moment=_beam_moment(tensions, heights, guy_height) / float(np.cos(tilt)),
    )


def h_brace(
    tensions: Sequence[float], heights: Sequence[float], *, rail_height: float, rail_length: float
) -> EndForces:
    """End post and brace post with a rail between, wire from the brace post's top to the end post's foot."""
    total, moment = pull(tensions, heights)
    rail = moment / rail_height
    wire = rail * float(np.hypot(rail_height, rail_length)) / rail_length
    return EndForces(
        member=wire,
        strut=rail,
        anchor_horizontal=0.0,
        anchor_uplift=0.0,
        uplift=moment / rail_length,
        foot=total,
        post_moment=_beam_moment(tensions, heights, rail_height),
    )


def diagonal(
    tensions: Sequence[float], heights: Sequence[float], *, strut_height: float, strut_reach: float
) -> EndForces:
    """Strut on the row side from `strut_height` on the end post to the ground `strut_reach` away."""
    total, moment = pull(tensions, heights)
    push = moment / strut_height
    strut = push * float(np.hypot(strut_height, strut_reach)) / strut_reach
    return EndForces(
        member=0.0,
        strut=strut,
        anchor_horizontal=push,
        anchor_uplift=0.0,
        uplift=moment / strut_reach,
        foot=total - push,
        post_moment=_beam_moment(tensions, heights, strut_height),
    )


def _beam_moment(tensions: Sequence[float], heights: Sequence[float], support: float) -> float:
    """Greatest moment in a post held at its foot and at `support`, wires anywhere along it."""
    t, z = np.asarray(tensions, dtype=float), np.asarray(heights, dtype=float)
    reaction = float((t * z).sum() / support)
    places = np.append(z, support)
    # moment of everything above a cut: support pulls back, wires pull on
    held = reaction * np.maximum(support - places, 0)
    pulled = np.array([(t * np.maximum(z - place, 0)).sum() for place in places])
    return float(np.abs(held - pulled).max())


def length_ratio_of_plates(first: float, second: float) -> float:
    """Row lengths go with the plates' area: the ratio of two plate diameters squared. [DOMOTO02]"""
    return (first / second) ** 2
