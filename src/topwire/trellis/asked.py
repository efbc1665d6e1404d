"""What the Trellis is asked: rows to wire, the storm, the yard's stock, and what the grower has fixed."""

from dataclasses import dataclass

from topwire.trellis.kinds import EndKind, Lack, WindForm
from topwire.trellis.materials import AnchorRow, Post, Stock
from topwire.trellis.nets import RowNet
from topwire.trellis.orography import RiseShape
from topwire.trellis.pull_test import PullTest
from topwire.trellis.storm_year import SeasonState
from topwire.trellis.wind import WindExposure
from topwire.values.price_index import IndexRow
from topwire.values.quantities import KilogramsPerMetre, Metres, MetresPerSecond, Money, Newtons, Ratio, Share


@dataclass(frozen=True)
class AskedRow:
    """A row with new trees.

    Attributes
    ----------
    length : end post to end post
    first_tree : from the end post where counting starts
    places : tree places in it; `new_trees` of them are planted now
    outer : it takes the full wind
    slope : rise over run of its block
    behind : free ground behind the end post where counting starts and behind the other, as the row runs: to the edge
        of the block, to an obstacle, or to the next row's anchor
    along_fence : its trees are tied to a fence or wall that stands
    crop : of a full crop, that the row is built for: of the heaviest stretch of all rows that share its kit
    """

    address: str
    length: Metres
    first_tree: Metres
    tree_spacing: Metres
    row_spacing: Metres
    places: int
    new_trees: int
    outer: bool
    slope: Ratio
    behind: tuple[Metres, Metres]
    along_fence: bool
    crop: KilogramsPerMetre

    @property
    def beyond_last(self) -> float:
        """Row from the last tree's place to the far end post [m]."""
        return self.length - self.first_tree - (self.places - 1) * self.tree_spacing


@dataclass(frozen=True)
class Rise:
    """Rising ground that speeds the wind up, where the plan states one."""

    shape: RiseShape
    height: Metres
    half_length: Metres
    distance: Metres  # from the crest to the nearest row


@dataclass(frozen=True)
class Storm:
    """The wind of the place.

    Attributes
    ----------
    gust_50 : three-second gust of 50 years at 10 m in open country
    mean_50 : ten-minute mean of 50 years, where the plan states that instead
    """

    form: WindForm
    gust_50: MetresPerSecond
    mean_50: MetresPerSecond | None
    exposure: WindExposure
    elevation: Metres
    rise: Rise | None


@dataclass(frozen=True)
class LeafYears:
    """Some years of the trees: trunks, and crop and height as shares of the grown row's."""

    years: int
    trunk: Metres
    crop: Share
    height: Share


@dataclass(frozen=True)
class EndWish:
    """What may stand at one side of the rows."""

    kinds: tuple[EndKind, ...]
    room: Metres | None  # free ground behind the end post


@dataclass(frozen=True)
class LeftOut:
    """A row of the grower's own catalogue, or one at hand, that cannot be designed with."""

    table: str
    name: str
    lack: Lack


@dataclass(frozen=True)
class StandingFence:
    """Posts of a fence that trees are tied to, where the plan states them."""

    thickness: Metres | None
    post_spacing: Metres | None
    depth: Metres | None = None
    walls: tuple[str, ...] = ()  # blocks whose row stands along a wall: it has no posts


@dataclass(frozen=True)
class Stamped:
    """A design that an engineer has stamped; what is None is chosen.

    Attributes
    ----------
    by : whose it is
    """

    by: str
    post: Post
    depth: Metres
    spacing: Metres
    pretension: Newtons | None
    end_post: Post | None
    end_depth: Metres | None
    anchor: AnchorRow | None
    anchors: int


@dataclass(frozen=True)
class TrellisQuestion:
    """All the Trellis' sums need.

    Attributes
    ----------
    wire_heights : training wires, lowest first
    wall_height : of the canopy as the ground was laid out
    ages : from the first leaf to the end of the plan's years
    by_cost : posts by least cost of building and falling; else everything stands the storm of `return_period`
    return_period : [years] of the storm asked for
    soil_depth : that roots can use, to rock, pan or water
    deepest : that a post can be driven
    pull_test : the grower's own, of posts and roots
    stamped : used in place of what would be chosen
    net : over each row
    year : its storms by season, with the ground they find
    weak_unions : stocks of the rows whose union breaks before post or root
    life : [years] the plan looks ahead
    budget_per_tree : materials, where the plan states one
    """

    rows: tuple[AskedRow, ...]
    ages: tuple[LeafYears, ...]
    storm: Storm
    stock: Stock
    left_out: tuple[LeftOut, ...]
    wire_heights: tuple[Metres, ...]
    low_wire: Metres | None
    wall_height: Metres
    post_spacing: Metres | None
    pretension: Newtons | None
    near: EndWish
    far: EndWish
    fence: StandingFence
    crop_on_wires: Share
    by_cost: bool
    return_period: int
    life: float
    interest: Ratio
    soil_depth: Metres
    deepest: Metres
    pull_test: PullTest | None
    stamped: Stamped | None
    net: RowNet | None
    year: tuple[SeasonState, ...]
    weak_unions: tuple[str, ...]
    budget_per_tree: Money | None
    frost_depth: Metres | None
    wage: Money  # an hour
    currency: str
    money_year: int
    index: tuple[IndexRow, ...]  # prices of years
