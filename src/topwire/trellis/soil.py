"""A post in the ground: code formulas, ultimate load of a short post, springs, frost.

Two answers stand side by side on purpose: the code's presumptive values are for any soil and any building, and come out
many times below the estimated ultimate load of a driven post.
"""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

CODE_DEPTH_LIMIT = 3.6576  # [m] 12 ft: lateral bearing grows no further (IBC-1807)
CLAY_SPRING = 67.0  # k b = 67 cu (DAVISSON, MEMORY)


def code_depth_free(force: float, height: float, *, width: float, bearing: float) -> float:
    """Depth [m] of a post not held at the ground, IBC 1807.3.2.1.

    Parameters
    ----------
    force : lateral load [N] at `height` [m]
    width : diameter, or diagonal of a square post [m]
    bearing : allowable lateral bearing per metre of depth [Pa/m], increases already in it
    """
    # d = A/2 (1 + sqrt(1 + 4.36 h/A)) is A = d^2 / (d + 1.09 h); with A = k/d that is d^3 = k (d + 1.09 h)
    k = 3 * 2.34 * force / (bearing * width)
    depth, before = float(np.sqrt(k) + np.cbrt(1.09 * height * k)), np.inf
    while depth < before:  # from above the root, where it is convex: falls until it stands
        before = depth
        depth -= (depth**3 - k * (depth + 1.09 * height)) / (3 * depth**2 - k)
    if before / 3 > CODE_DEPTH_LIMIT:
        a = code_parameter(force, before, width=width, bearing=bearing)
        return 0.5 * a * (1 + float(np.sqrt(1 + 4.36 * height / a)))
    return before


def code_parameter(force: float, depth: float, *, width: float, bearing: float) -> float:
    """A = 2.34 P / (S1 b), S1 at a third of the depth."""
    return 2.34 * force / (bearing * min(depth / 3, CODE_DEPTH_LIMIT) * width)


def code_force_free(depth: npt.ArrayLike, height: float, *, width: float, bearing: float) -> Floats:
    """Allowable lateral load [N] of a post of `depth` [m]: the free formula solved for P.

    d = A/2 (1 + sqrt(1 + 4.36 h/A)) gives A = d^2 / (d + 1.09 h).
    """
    d = np.asarray(depth, dtype=float)
    s1 = bearing * np.minimum(d / 3, CODE_DEPTH_LIMIT)
    return np.asarray(d**2 / (d + 1.09 * height) * s1 * width / 2.34)


def clay_ultimate(
    depth: npt.ArrayLike, height: npt.ArrayLike, *, width: npt.ArrayLike, cohesion: npt.ArrayLike
) -> Floats:
    """Ultimate lateral load [N] of a short free-headed post in clay, Broms 1964. [BROMS64, MEMORY]

    f = Hu/(9 cu b); g = L - 1.5 b - f; Hu (e + 1.5 b + f/2) = 2.25 b g^2 cu. No resistance above 1.5 b.
    """
    length, e, b, cu = np.broadcast_arrays(
        *(np.asarray(value, dtype=float) for value in (depth, height, width, cohesion))
    )
    reach = np.maximum(length - 1.5 * b, 0)
    # 9 cu b f (e + 1.5 b + f/2) = 2.25 b cu (r - f)^2, a quadratic in f: f^2 + (4 e + 6 b + 2 r) f - r^2 = 0
    p = 4 * e + 6 * b + 2 * reach
    f = (-p + np.sqrt(p**2 + 4 * reach**2)) / 2
    return np.asarray(9 * cu * b * f)


def sand_ultimate(
    depth: npt.ArrayLike,
    height: npt.ArrayLike,
    *,
    width: npt.ArrayLike,
    unit_weight: npt.ArrayLike,
    friction: npt.ArrayLike,
) -> Floats:
    """Ultimate lateral load [N] of a short free-headed post in sand: gamma b L^3 Kp / (2 (e + L)). [BROMS64, MEMORY]

    `friction` in degrees.
    """
    length, b = np.asarray(depth, dtype=float), np.asarray(width, dtype=float)
    kp = np.tan(np.radians(45 + np.asarray(friction, dtype=float) / 2)) ** 2
    return np.asarray(
        0.5 * np.asarray(unit_weight) * b * length**3 * kp / (np.asarray(height, dtype=float) + length)
    )


def frost_heave(width: float, frost_depth: float, *, adfreeze: float = 1.0e5) -> float:
    """Uplift [N] of frozen ground gripping a post; there is no accepted method. [HEAVE-PRACTICE; 65-100 kPa MEMORY]"""
    return float(adfreeze * np.pi * width * frost_depth)


def skin_holding(width: float, depth: float, frost_depth: float, *, friction: float) -> float:
    """Grip [N] of the ground below the frost on the post's skin, `friction` [Pa] on average."""
    return float(friction * np.pi * width * max(depth - frost_depth, 0.0))


def depth_held(width: float, frost_depth: float, *, friction: float, adfreeze: float = 6.5e4) -> float:
    """Depth [m] at which grip below the frost alone would hold a post down against the least stress of frozen ground.

    Far deeper than any post stands: posts do creep up. [HEAVE-PRACTICE; 65-100 kPa MEMORY]
    """
    per_metre = skin_holding(width, frost_depth + 1.0, frost_depth, friction=friction)
    return frost_depth + frost_heave(width, frost_depth, adfreeze=adfreeze) / per_metre


def face_ultimate(
    depth: float, *, width: float, cohesion: float = 0.0, friction: float = 0.0, unit_weight: float
) -> float:
    """Ultimate push [N] on an upright face from the ground's top down to `depth` [m], Rankine's passive pressure.

    `width (2 cu d + gamma d^2 / 2)` in clay (friction 0), `width Kp gamma d^2 / 2` in sand. Soil beside a narrow face
    helps too and is left out. Textbook form (MEMORY). `friction` [deg], `cohesion` [Pa], `unit_weight` [N/m3].
    """
    kp = float(np.tan(np.radians(45 + friction / 2)) ** 2)
    return width * (2 * cohesion * float(kp**0.5) * depth + kp * unit_weight * depth**2 / 2)
