"""What the soil room is asked: the ground, its soil test as far as there is one, the place's frosts, prices."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.soil.feeding import Leaf
from topwire.soil.nutrients import Extract, Nutrient
from topwire.values.price import Price
from topwire.values.quantities import CelsiusArray, DayOfYear, Metres, Money, Ratio, Share, SquareMetres


@dataclass(frozen=True)
class LimeTest:
    """What lime is reckoned from; None: not tested."""

    ph: Ratio | None
    ph_below: Ratio | None
    buffer_ph: Ratio | None
    carolina: bool  # the buffer is that of 6.6; else the one of the Tri-State tables
    acidity: Ratio | None  # exchangeable [meq/100 g]


@dataclass(frozen=True)
class SoilQuestion:
    """All the soil room's sums need.

    Attributes
    ----------
    lime : the test's figures for lime
    test : its other figures, in parts in a million (organic matter in per cent, nematodes for a kilogram, hours)
    extract : the laboratory's method for phosphorus
    leaf_test : of leaves, in per cent and parts in a million
    shoots, bearing : length of this year's shoots; whether the trees bear
    target, target_below : pH wanted in the topsoil and below 20 cm
    depth : to which lime is worked in
    effective : neutralising value times fineness of the lime at hand
    area : of the blocks
    """

    lime: LimeTest
    test: Mapping[Nutrient, Ratio]
    extract: Extract | None
    leaf_test: Mapping[Leaf, Ratio]
    shoots: Metres | None
    bearing: bool
    texture: str
    replanted: bool
    target: Ratio
    target_below: Ratio
    depth: Metres
    effective: Share
    area: SquareMetres
    trees: int
    planting: int
    monthly_air: CelsiusArray
    last_frost: DayOfYear
    first_frost: DayOfYear
    prices: tuple[Price, ...]
    currency: str
    wage: Money
