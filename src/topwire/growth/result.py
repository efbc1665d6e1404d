"""The crop that is coming, by leaf: the result of the Years department."""

from dataclasses import dataclass

from topwire.arrays import Floats, Integers
from topwire.notices import Notice


@dataclass(frozen=True)
class CropForecast:
    """Leaves (growing seasons in the orchard) 1 to 15 of the new trees; low, middle, high over weather years.

    `cultivars` are those of the layout, in its order.
    """

    cultivars: tuple[str, ...]
    leaf: Integers  # (leaves,)
    height: Floats  # (cultivars, leaves, 3) [m] leader height low, middle, high
    reaches_wire: Floats  # (cultivars, 3) leaf in which the top wire is reached; NaN = not within 15
    kg_per_tree: Floats  # (cultivars, leaves, 3)
    orchard_kg: Floats  # (leaves, 3) whole orchard, standing trees not counted
    fruit_target: Floats  # (cultivars, leaves) fruits to leave on a tree
    trunk_area: Floats  # (cultivars, leaves) [cm2]
    full_crop_kg_per_tree: Floats  # (cultivars,) heaviest year a wire must hold (high at full crop)
    mature_t_per_ha: tuple[float, float, float]
    beside_trials: tuple[tuple[str, float, float], ...]  # (trial, its value, ours) in kg/tree
    notices: tuple[Notice, ...]
