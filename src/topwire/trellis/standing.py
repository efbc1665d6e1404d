"""What holds a bay of a row upright against the wind: its post in the ground, and the roots of its trees.

Both are reckoned together: a bay goes over when the post's ground and all roots have yielded, or when the post snaps
with seven tenths of what the roots can give. Every function here rises with depth, diameter, soil and roots.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from topwire.values.arrays import Floats

# Pressure on a post over undrained cohesion: 3 at the surface (fits poles in residual clay over their whole depth,
# POLE-NZGS08), growing by 0.67 each diameter of depth to 9 (BROMS64).
SURFACE, GROWS, DEEPEST = 3.0, 0.67, 9.0
RATE = 1.2  # clay in a gust over clay in a test: 10 % for each tenfold rate, two steps (CLAY-RATE)
ROOT_STRESS = (
    15e6  # [Pa] at the trunk's base when the roots give, moist ground (ROOT-PULL, one season of pulled trees)
)
ROOT_SOAKED = 0.65  # of it in soaked ground
ROOTS_WHEN_SNAPPED = 0.7  # of their strength when a post snaps: roots give later than wood
UNION_STRESS = 36e6  # [Pa] green apple wood 51 MPa, a union 0.7 of it (MEMORY)
_STEPS = 40  # at most; seven or eight are usual


@dataclass(frozen=True)
class GroundPush:
    """Pressure of the ground on a metre of a post's depth: min(start + growth z, most) [N/m]."""

    start: Floats
    growth: Floats  # [N/m2]
    most: Floats

    @cached_property
    def _turn(self) -> Floats:
        """Depth [m] from which on the pressure grows no more."""
        return np.where(self.growth > 0, (self.most - self.start) / np.maximum(self.growth, 1e-12), np.inf)

    def force(self, depth: npt.ArrayLike) -> Floats:
        """Pressure summed to `depth` [N]."""
        return self.force_and_moment(depth)[0]

    def moment(self, depth: npt.ArrayLike) -> Floats:
        """The same times depth [N m]."""
        return self.force_and_moment(depth)[1]

    def force_and_moment(self, depth: npt.ArrayLike) -> tuple[Floats, Floats]:
        """Both, which have most of their sums in common."""
        z = np.asarray(depth, dtype=float)
        knee = np.minimum(z, self._turn)
        squared = knee**2
        force = self.start * knee + self.growth * squared / 2 + self.most * (z - knee)
        # nothing is added above the turn, where knee is z
        moment = self.start * squared / 2 + self.growth * knee**3 / 3 + self.most * (z**2 - squared) / 2
        return np.asarray(force), np.asarray(moment)

    def at(self, depth: npt.ArrayLike) -> Floats:
        """Pressure at `depth` [N/m]."""
        return np.asarray(np.minimum(self.start + self.growth * np.asarray(depth, dtype=float), self.most))


def clay_push(
    width: npt.ArrayLike, cohesion: npt.ArrayLike, *, grows: npt.ArrayLike = GROWS, rate: float = RATE
) -> GroundPush:
    """Ground of undrained `cohesion` [Pa] on a post of `width` [m]."""
    b, su = np.asarray(width, dtype=float), np.asarray(cohesion, dtype=float) * rate
    start, growth, most = np.broadcast_arrays(SURFACE * su * b, np.asarray(grows) * su, DEEPEST * su * b)
    return GroundPush(start, growth, most)


def sand_push(width: npt.ArrayLike, friction: npt.ArrayLike, unit_weight: npt.ArrayLike) -> GroundPush:
    """Sand of `friction` [deg]: 3 Kp gamma b z. [BROMS64, MEMORY]"""
    b = np.asarray(width, dtype=float)
    kp = np.tan(np.radians(45 + np.asarray(friction, dtype=float) / 2)) ** 2
    start, growth, most = np.broadcast_arrays(0.0 * b, 3 * kp * np.asarray(unit_weight) * b, np.inf)
    return GroundPush(start, growth, np.where(np.isinf(most), 1e12, most))


def soil_limit(push: GroundPush, depth: npt.ArrayLike, height: npt.ArrayLike) -> Floats:
    """Load [N] at `height` [m] at which a stiff post of `depth` [m] turns in the ground.

    The ground yields before the post above the turning point and behind it below; moments about the load's line
    balance.
    """
    d, e = np.broadcast_arrays(np.asarray(depth, dtype=float), np.asarray(height, dtype=float))
    force, moment = push.force_and_moment(d)
    half = (moment + e * force) / 2
    turn = _where(push, e, half, d)
    return np.asarray(2 * push.force(turn) - force)


def wood_limit(
    push: GroundPush, depth: npt.ArrayLike, height: npt.ArrayLike, rupture: npt.ArrayLike
) -> Floats:
    """Load [N] at `height` [m] at which a post reaches its `rupture` moment [N m], below ground where shear is gone.

    Infinite where the ground yields first over the whole depth.
    """
    d, e, bears = np.broadcast_arrays(
        np.asarray(depth, dtype=float), np.asarray(height, dtype=float), np.asarray(rupture, dtype=float)
    )
    force, moment = push.force_and_moment(d)
    reaches = moment + e * force > bears
    at = _where(push, e, bears, d)
    return np.asarray(np.where(reaches, push.force(at), np.inf))


def _where(push: GroundPush, height: Floats, moment: Floats, most: Floats) -> Floats:
    """Depth at which the ground above has taken `moment` about a load at `height`, at most `most`.

    That moment grows ever faster with depth, so Newton from above the root cannot miss it.
    """
    z = np.broadcast_to(most, np.broadcast_shapes(push.start.shape, height.shape, moment.shape, most.shape))
    for _ in range(_STEPS):
        force, taken = push.force_and_moment(z)
        over = taken + height * force - moment
        step = over / np.maximum(push.at(z) * (z + height), 1e-12)
        z = np.minimum(np.maximum(z - step, 0.0), most)
        if np.all(np.abs(step) * (over > 0) <= 1e-10):
            break
    return np.asarray(z)


def section_modulus(diameter: npt.ArrayLike) -> Floats:
    """Of a round trunk or post [m3]."""
    return np.asarray(np.pi / 32 * np.asarray(diameter, dtype=float) ** 3)


def root_moment(
    trunk: npt.ArrayLike,
    *,
    stress: npt.ArrayLike = ROOT_STRESS,
    soaked: npt.ArrayLike = False,
    union: npt.ArrayLike = UNION_STRESS,
) -> Floats:
    """Moment [N m] that the roots of one tree bear, never more than its union does.

    Parameters
    ----------
    trunk : diameter above the union [m]
    """
    wet = np.where(np.asarray(soaked), ROOT_SOAKED, 1.0)
    return np.asarray(np.minimum(np.asarray(stress) * wet, union) * section_modulus(trunk))


@dataclass(frozen=True)
class BayStrength:
    """Ground moment a bay bears [N m], by the two ways of going over."""

    tipping: Floats
    snapping: Floats

    @property
    def moment(self) -> Floats:
        return np.minimum(self.tipping, self.snapping)


@dataclass(frozen=True)
class PostLimits:
    """Load [N] at one height at which a post turns in its ground, and at which its wood breaks."""

    soil: Floats
    wood: Floats


def post_limits(
    push: GroundPush, *, depth: npt.ArrayLike, height: npt.ArrayLike, rupture: npt.ArrayLike
) -> PostLimits:
    """Of a post alone.

    Parameters
    ----------
    depth : of the post in the ground [m]
    height : at which the wind acts [m]
    rupture : moment at which the post breaks [N m]
    """
    return PostLimits(soil_limit(push, depth, height), wood_limit(push, depth, height, rupture))


def bay_strength(post: PostLimits, *, height: npt.ArrayLike, roots: npt.ArrayLike) -> BayStrength:
    """Post and roots of a bay together.

    Parameters
    ----------
    height : at which the wind acts [m], as of the post's limits
    roots : moment that the roots of all trees of the bay bear [N m]
    """
    e = np.asarray(height, dtype=float)
    held = np.asarray(roots, dtype=float)
    tipping = post.soil * e + held
    snapping = post.wood * e + ROOTS_WHEN_SNAPPED * held
    return BayStrength(np.asarray(tipping), np.asarray(snapping))
