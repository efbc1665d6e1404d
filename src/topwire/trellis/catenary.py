"""The elastic catenary: exact tension and shape of a slack or taut wire under its own weight per unstressed metre."""

from dataclasses import dataclass

import numpy as np

from topwire.values.fault import Faults, fault


@dataclass(frozen=True)
class Catenary:
    """Forces at both ends of a cable from a lower-index end A to B (B is `rise` above A)."""

    horizontal: float  # [N]
    vertical_start: float  # [N] upward reaction at A
    vertical_end: float  # [N] upward reaction at B
    tension_start: float
    tension_end: float
    sag: float  # [m] greatest vertical distance below the chord


def elastic_catenary(
    span: float, rise: float, *, free_length: float, load: float, stiffness: float
) -> Catenary:
    """Equilibrium of a cable of unstressed `free_length` under `load` per unstressed metre. [IRVINE81]

    Parameters
    ----------
    span, rise : horizontal and vertical distance of the ends [m]
    load : [N/m] of unstressed length, above zero
    stiffness : EA [N]

    Raises
    ------
    Faults
        When the lengths or the load make no cable, or the search for equilibrium fails.

    Notes
    -----
    Newton on (H, V) from the parabola's H, which keeps it off the root with negative H; steps that would make H
    negative are halved.
    """
    if span <= 0 or free_length <= 0 or load <= 0 or stiffness <= 0:
        raise Faults([fault("trellis", "a cable needs span, length, load and stiffness above zero.")])
    weight = load * free_length
    chord = float(np.hypot(span, rise))
    strain = chord / free_length - 1
    # parabola between the ends: H from elastic stretch, or from spare length when slack
    if strain > 0:
        k = stiffness * (load * chord) ** 2 / 24
        h = max(stiffness * strain, 0.0) + float(np.cbrt(k))
    else:
        spare = max(-strain, 1e-9)
        h = load * span / np.sqrt(24 * (spare + (load * span) ** 2 / (24 * stiffness**2)) + 1e-15)
    state = np.array([h, weight / 2 + h * rise / span])
    target = np.array([span, rise])
    for _ in range(200):
        place, tangent = _reach(state, free_length, weight, stiffness)
        error = target - place
        if np.max(np.abs(error)) < 1e-13 * chord:
            break
        step = np.linalg.solve(tangent, error)
        while state[0] + step[0] <= 0:
            step /= 2
        state = state + step
    else:
        if np.max(np.abs(error)) > 1e-9 * chord:
            raise Faults([fault("trellis", "no equilibrium found for this cable.", "Check its lengths.")])
    h, v = float(state[0]), float(state[1])
    return Catenary(
        horizontal=h,
        vertical_start=v,
        vertical_end=weight - v,
        tension_start=float(np.hypot(h, v)),
        tension_end=float(np.hypot(h, weight - v)),
        sag=_greatest_sag(h, v, span, rise, free_length, weight, stiffness),
    )


def _reach(state: np.ndarray, length: float, weight: float, ea: float) -> tuple[np.ndarray, np.ndarray]:
    """Horizontal and vertical distance covered by the cable, and their derivatives by (H, V).

    V is the upward reaction at A, so the cable starts downhill: the height of B above A is minus the drop of the hung
    part plus the climb.
    """
    h, v = state
    u = v - weight  # minus the reaction at B
    a, b = np.hypot(h, v), np.hypot(h, u)
    scale = length / weight
    log = np.arcsinh(v / h) - np.arcsinh(u / h)
    x = h * length / ea + h * scale * log
    y = -(v * length - weight * length / 2) / ea - scale * (a - b)
    dx_dh = length / ea + scale * log - scale * (v / a - u / b)
    dx_dv = h * scale * (1 / a - 1 / b)
    dy_dh = -scale * (h / a - h / b)
    dy_dv = -length / ea - scale * (v / a - u / b)
    return np.array([x, y]), np.array([[dx_dh, dx_dv], [dy_dh, dy_dv]])


def _greatest_sag(
    h: float, v: float, span: float, rise: float, length: float, weight: float, ea: float
) -> float:
    """Greatest vertical distance below the chord: where the cable runs parallel to it."""
    s = float(np.clip((v + h * rise / span) / (weight / length), 0, length))  # slope dy/dx = -(V - w s)/H
    u = v - weight * s / length
    scale = length / weight
    x = h * s / ea + h * scale * (np.arcsinh(v / h) - np.arcsinh(u / h))
    y = -(v * s - weight * s**2 / (2 * length)) / ea - scale * (np.hypot(h, v) - np.hypot(h, u))
    return float(rise / span * x - y)
