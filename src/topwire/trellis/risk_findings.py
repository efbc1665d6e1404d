"""How likely kits of posts go over in the plan’s years, and what that rests on."""

from dataclasses import dataclass

from topwire.trellis.kinds import YardstickKit
from topwire.trellis.known_builds import KnownBuild
from topwire.values.quantities import Metres, MetresPerSecond, Money, Share


@dataclass(frozen=True)
class KitRisk:
    """One kit of posts and the storms of the plan's years.

    Attributes
    ----------
    spacing : widest
    posts_cost, expected_loss : of all rows of the kit; the loss worth today
    in_year : chance that a grown row goes over in a year
    in_life : the same in the plan's years, by integration; `by_draws` the same, by drawing rows and storms
    tips, snaps : parts of `in_life`: the ground yields, or posts break
    moist, soaked : gust at which a row goes over in the middle of what is known, full crop
    without_net : `in_life` if no net ever hung over it; None where none does
    """

    outer: bool
    rows: tuple[str, ...]
    post: str
    depth: Metres
    spacing: Metres
    posts_cost: Money
    expected_loss: Money
    in_year: Share
    in_life: Share
    tips: Share
    snaps: Share
    by_draws: Share
    moist: MetresPerSecond
    soaked: MetresPerSecond
    without_net: Share | None = None


@dataclass(frozen=True)
class KitStep:
    """A kit on the line of least cost for its chance of failing.

    Attributes
    ----------
    per_percent : cost of each 1 % less chance, from the step before
    """

    outer: bool
    post: str
    depth: Metres
    spacing: Metres
    posts_cost: Money
    expected_loss: Money
    in_life: Share
    per_percent: Money | None
    chosen: bool


@dataclass(frozen=True)
class Yardstick:
    """Posts of the same rows as others would set them: what they cost, and how likely they go over here."""

    kit: YardstickKit
    outer: bool
    post: str
    depth: Metres
    spacing: Metres
    posts_cost: Money
    expected_loss: Money
    in_life: Share


@dataclass(frozen=True)
class StormSeason:
    """A part of the year as the chances count it.

    Attributes
    ----------
    storms : share of the year's strong gusts
    crop, leaf : hanging, of a full crop; drag over that in full leaf
    downbursts : share of its gusts
    soaked, soaked_before : chance that widespread wind, and a downburst, find the ground soaked
    own_rain : these two by the place's own weather; else as reports of storms have them
    """

    storms: Share
    crop: Share
    leaf: Share
    downbursts: Share
    soaked: Share
    soaked_before: Share
    own_rain: bool


@dataclass(frozen=True)
class KnownFate:
    """A build whose fate is known, and what it would go through here; gusts at full crop in silt loam, outer row."""

    build: KnownBuild
    moist: MetresPerSecond
    soaked: MetresPerSecond
    soaked_without_trees: MetresPerSecond
    outer_in_life: Share
    inner_in_life: Share
