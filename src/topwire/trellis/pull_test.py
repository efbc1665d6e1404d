"""The grower's own pull test: a post and some trees winched until they lean 5 degrees, and what it says of the ground.

A pulled post tells how strong this ground is beside what its texture promises, pulled trees how strong the roots are.
Each is weighed with what was held before, both on the logarithm, so one test moves the answer and many settle it.
"""

from dataclasses import dataclass
from math import exp, log

import numpy as np

from topwire.trellis.failing import Footing
from topwire.trellis.row_risk import ROOT_SCATTER, SOIL_SCATTER, UNTESTED, GroundKnown
from topwire.trellis.standing import (
    ROOT_SOAKED,
    ROOT_STRESS,
    clay_push,
    sand_push,
    section_modulus,
    soil_limit,
)

# Scatter of the logarithm of one pulled post, and of one pulled tree, about the middle of its rows: holes, driving and
# reading for the post; trees differ as in ROOT-PULL. In the other state of the ground than tested a fifth more.
POST_SCATTER, TREE_SCATTER, OTHER_STATE = 0.20, 0.40, 0.20
_WEAKEST, _STRONGEST = 0.05, 20.0  # factors on the ground's strength looked among


@dataclass(frozen=True)
class PulledPost:
    """Load at which it leant 5 degrees, pulled level at a height [N, m]; its ground as it was."""

    load: float
    height: float
    depth: float
    diameter: float


@dataclass(frozen=True)
class PulledTrees:
    """Mean load at which so many trees leant 5 degrees, pulled level at a height [N, m]; trunk above the union [m]."""

    load: float
    height: float
    trunk: float
    trees: int


@dataclass(frozen=True)
class PullTest:
    post: PulledPost | None
    trees: PulledTrees | None
    soaked: bool  # the ground when they were pulled


def ground_factor(post: PulledPost, ground: Footing) -> float:
    """Strength of the ground over that of its texture, from a pulled post: on cohesion, or on tan(friction) squared.

    The load at 5 degrees is taken as the most a stiff post bears (BROMS64), at the pace of a winch, no gust.
    """

    def bears(factor: float) -> float:
        if ground.sand:
            tangent = np.tan(np.radians(float(np.asarray(ground.strength)))) * np.sqrt(factor)
            push = sand_push(post.diameter, np.degrees(np.arctan(tangent)), ground.unit_weight)
        else:
            push = clay_push(post.diameter, np.asarray(ground.strength) * factor, rate=1.0)
        return float(soil_limit(push, post.depth, post.height))

    low, high = _WEAKEST, _STRONGEST
    for _ in range(60):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if bears(middle) < post.load else (low, middle)
    return float((low * high) ** 0.5)


def root_stress(trees: PulledTrees, *, soaked: bool) -> float:
    """Stress at the trunk's base when the roots give, as of moist ground [Pa]."""
    moment = trees.load * trees.height
    return moment / float(section_modulus(trees.trunk)) / (ROOT_SOAKED if soaked else 1.0)


def known_after(test: PullTest | None, grounds: tuple[Footing, Footing]) -> GroundKnown:
    """What is known of ground and roots after the test; `grounds`: drained, soaked."""
    if test is None:
        return UNTESTED
    known = UNTESTED
    if test.post is not None:
        seen = log(ground_factor(test.post, grounds[test.soaked]))
        soil = []
        for soaked in (False, True):
            more = 0.0 if soaked == test.soaked else OTHER_STATE
            soil.append(_together(SOIL_SCATTER, seen, float(np.hypot(POST_SCATTER, more))))
        known = GroundKnown(tuple(soil), known.roots)  # type: ignore[arg-type]
    if test.trees is not None:
        seen = log(root_stress(test.trees, soaked=test.soaked) / ROOT_STRESS)
        scatter = TREE_SCATTER / test.trees.trees**0.5
        known = GroundKnown(known.soil, _together(ROOT_SCATTER, seen, scatter))
    return known


def _together(before: float, seen: float, scatter: float) -> tuple[float, float]:
    """Middle factor and scatter of its logarithm, from the one before (factor 1) and the one seen."""
    weight = before**2 / (before**2 + scatter**2)
    return exp(weight * seen), before * (1 - weight) ** 0.5
