"""Many orchards simulated: height, trunk, flowers and crop of every cultivar for fifteen leaves.

In each simulated orchard every leaf draws a weather year of the place. The crop of a tree is the smallest of three:
what its trunk carries, what wood of that age offers, what the light on its ground allows; frost and the memory of
last year's crop take their share. The whole runs on arrays of (orchards, cultivars).
"""

from dataclasses import dataclass

import numpy as np

from topwire.growth.bearing import flowers_next_year, load_seen
from topwire.growth.leader import GROWTH_SPREAD, leader_growth, natural_height, next_height
from topwire.growth.load import mass_under_load
from topwire.growth.trunk import TRUNK_AT_PLANTING, Floats, trunk_growth

LEAVES = 15
# Flowers of a full set, in fruits that would set, over fruits wanted: about 7 % of flowers are enough (LOAD-AGRON23),
# the June drop takes most of the rest; what is left to thin is 2.5 times the target (proposal).
SURPLUS = 2.5
_THINNING_ERROR = 0.10  # log spread of fruits left about the target (proposal)
_SET_ERROR = 0.20  # log spread of the set about its mean (proposal)
_TRUNK_ERROR = 0.12


@dataclass(frozen=True)
class Stand:
    """The trees to grow. Arrays are (cultivars,) unless said otherwise.

    Attributes
    ----------
    vigour : stock, scion and soil together, middle [-]
    vigour_spread : log spread of the stock's vigour from site to site [-]
    stock : index of the stock; cultivars on one stock share a site's draw
    start : height at planting [m]
    wire : height of the top wire [m]
    load, turning, late_share : bearing habit, see `bearing.BearingHabit`
    small : fruits a trunk carries beside those of ordinary size, see `load.small_fruit` [-]
    mass : fruit mass at the normal load [g]
    first_leaf : first leaf with flowers worth counting
    full_crop : ordinary crop of a full-grown tree by the ground it stands on [kg]
    full_crop_spread : log spread of that between orchards [-]
    curve : share of a full crop by leaf since the first with flowers, shape (leaves,) [-]
    """

    vigour: Floats
    vigour_spread: Floats
    stock: np.ndarray
    start: Floats
    wire: float
    load: Floats
    turning: Floats
    late_share: Floats
    small: Floats
    mass: Floats
    first_leaf: Floats
    full_crop: Floats
    full_crop_spread: float
    curve: Floats


@dataclass(frozen=True)
class CropRule:
    """When a young tree may carry fruit."""

    strip_below_wire: bool  # strip every flower until the leader will reach the wire in that season
    latest_strip: int = 5  # from the next leaf on it carries fruit whatever its height
    thinned: bool = True


@dataclass(frozen=True)
class Simulated:
    """Arrays are (orchards, leaves, cultivars), single precision; height and trunk at the end of the leaf."""

    height: np.ndarray  # [m]
    trunk: np.ndarray  # [cm2]
    crop: np.ndarray  # [kg/tree]
    target: np.ndarray  # fruits to leave on a tree
    reached: np.ndarray  # (orchards, cultivars) leaf in which the wire is reached, 0 = not within the leaves


def simulate(
    stand: Stand,
    crop_after_frost: Floats,
    season: Floats,
    rule: CropRule,
    *,
    orchards: int,
    seed: int,
    leaves: int = LEAVES,
) -> Simulated:
    """Grow `orchards` orchards.

    Parameters
    ----------
    stand : Stand
    crop_after_frost : ndarray
        Share of a full crop that frost leaves, shape (years, cultivars); NaN, no bloom, counts as none. [-]
    season : ndarray
        How good each weather year is for growth, 1 = ordinary, shape (years,). [-]
    rule : CropRule
    orchards, seed, leaves : int
    """
    random = np.random.default_rng(seed)
    shape = (orchards, len(stand.vigour))
    frost = np.nan_to_num(np.asarray(crop_after_frost, dtype=float), nan=0.0)
    site = random.standard_normal((orchards, int(stand.stock.max()) + 1))[:, stand.stock]
    vigour = stand.vigour * np.exp(stand.vigour_spread * site)
    natural = natural_height(vigour)
    full_crop = stand.full_crop * np.exp(stand.full_crop_spread * random.standard_normal((orchards, 1)))
    # Nobody expects more of a leader than its stock gives in an ordinary season: the rule is kept by that.
    expected = leader_growth(stand.vigour, load=2.0)
    height = np.broadcast_to(stand.start, shape).copy()
    trunk = np.full(shape, TRUNK_AT_PLANTING)
    flowers = np.ones(shape)
    reached = np.zeros(shape, dtype=np.int16)
    tall, thick, crop, wished = (np.empty((orchards, leaves, shape[1]), dtype=np.float32) for _ in range(4))
    for leaf in range(1, leaves + 1):
        year = random.integers(len(season), size=orchards)
        bearing_leaf = np.clip(leaf - stand.first_leaf, -1, len(stand.curve) - 1).astype(int)
        grown = np.where(bearing_leaf >= 0, stand.curve[bearing_leaf], 0.0)
        target = np.minimum(stand.load * stand.small * trunk, grown * full_crop * 1000 / stand.mass)
        if rule.strip_below_wire and leaf <= rule.latest_strip:
            target = target * (height + expected >= stand.wire)
        noise = random.standard_normal((3, *shape))
        set_share = SURPLUS * flowers * np.exp(_SET_ERROR * noise[0])
        wanted = np.exp(_THINNING_ERROR * noise[1]) if rule.thinned else np.inf
        left = frost[year]
        kept_share = np.minimum(set_share, wanted) * left
        fruits = target * kept_share
        bearing_load = np.where(target > 0, stand.load * kept_share, 0.0)
        saw = load_seen(
            bearing_load, np.where(target > 0, stand.load * set_share * left, 0.0), stand.late_share
        )
        flowers = flowers_next_year(saw, stand.turning)
        mass = mass_under_load(stand.mass, bearing_load, stand.load)
        carried = fruits / stand.small / trunk
        good = season[year][:, None]
        growth = leader_growth(vigour, carried, good) * np.maximum(0.0, 1 + GROWTH_SPREAD * noise[2])
        height = next_height(height, growth, natural)
        reached[(height >= stand.wire) & (reached == 0)] = leaf
        trunk = trunk + trunk_growth(vigour, carried) * good * np.exp(_TRUNK_ERROR * noise[2])
        tall[:, leaf - 1], thick[:, leaf - 1] = height, trunk
        crop[:, leaf - 1], wished[:, leaf - 1] = fruits * mass / 1000, target
    return Simulated(tall, thick, crop, wished, reached)
