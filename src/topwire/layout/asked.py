"""What the room is asked: the ground before the choice, and the planting after it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from topwire.choice.neighbours import Outside
from topwire.layout.findings import Ground
from topwire.layout.spacing import SpacingRow, TrainingRow
from topwire.values.address import TreeAddress
from topwire.values.arrays import Floats, Integers
from topwire.values.key import key_of
from topwire.values.quantities import Degrees, Hours, Metres, Ratio, Share
from topwire.values.terms import FenceColour, FenceKind, FenceShade


@dataclass(frozen=True)
class FenceAsked:
    """A fence or wall that a row is tied to; `side`: [deg from north] the trees look to, None = the sunnier."""

    side: Degrees | None = None
    height: Metres | None = None
    kind: FenceKind = FenceKind.OPEN
    colour: FenceColour = FenceColour.BRICK
    shade: FenceShade = FenceShade.NONE


@dataclass(frozen=True)
class BlockAsked:
    """One block as the plan states it; None where it is left to be chosen.

    Its shape is one of: `length` along the rows and `width`, `corners` walked in order (east, north) [m], or `outline`,
    a GeoJSON document.
    """

    name: str
    length: Metres | None
    width: Metres | None
    corners: tuple[tuple[Metres, Metres], ...] | None
    outline: Mapping[str, object] | None
    bearing: Degrees | None
    slope: Ratio
    slope_bearing: Degrees
    headland: Metres
    tree_spacing: Metres | None
    row_spacing: Metres | None
    along_fence: bool
    fence: FenceAsked = FenceAsked()
    braces: tuple[Metres, Metres] = (0.0, 0.0)  # room that braced ends take in a row, near and far side
    cross_alleys: tuple[Metres, ...] = ()  # middles, from the side where places are counted from
    behind_ends: Metres = 0.0  # that anchors take beyond the end posts
    row_groups: tuple[tuple[int, int, Metres], ...] = ()  # first and last row, distance between trees in them

    @property
    def is_rectangle(self) -> bool:
        return self.length is not None

    def between_trees(self, row: int, otherwise: float) -> float:
        """Distance between trees of a row [m], its group's or the block's."""
        return next((apart for first, last, apart in self.row_groups if first <= row <= last), otherwise)


@dataclass(frozen=True)
class TreeStanding:
    """A tree that stands already."""

    address: TreeAddress
    cultivar: str
    rootstock: str
    year: int  # planted
    longitude: Degrees | None = None  # where it was surveyed
    latitude: Degrees | None = None


@dataclass(frozen=True)
class Strip:
    """Ground along a line that is kept clear; `half` [m] to both sides. East and north of the first block's corner."""

    name: str
    line: tuple[tuple[Metres, Metres], ...]
    half: Metres


@dataclass(frozen=True)
class GroundQuestion:
    """All the survey of the ground needs.

    Attributes
    ----------
    blocks : in the order of the plan
    obstacles : GeoJSON document of ground to keep clear of
    gate : [m] east and north of the first block's first corner
    wind_from : [deg from north] where the storms come from
    declination : [deg] of a compass needle east of true north; None where the plan does not say
    stock, stock_spacing : the orchard's rootstock and its row of the spacing grid
    tree_step, row_step : [m] spacings are chosen in whole steps of the grower's tape
    heights : points of the surface, east and north of the first block's first corner, above any level; none = planes
    paths : clear of leaves and anchors; setbacks : clear of trunks; cross_alley : clear width
    """

    blocks: tuple[BlockAsked, ...]
    latitude: Degrees
    longitude: Degrees
    margin: Metres
    machine_width: Metres
    gate: tuple[Metres, Metres] | None
    obstacles: Mapping[str, object] | None
    wind_from: Degrees | None
    declination: Degrees | None
    top_wire: Metres
    training: TrainingRow
    stock: str
    stock_spacing: SpacingRow
    fertility: str
    sandy: bool
    replant: bool
    tree_step: Metres
    row_step: Metres
    standing: tuple[TreeStanding, ...]
    heights: tuple[tuple[Metres, Metres, Metres], ...] = ()
    paths: tuple[Strip, ...] = ()
    setbacks: tuple[Strip, ...] = ()
    cross_alley: Metres = 4.0

    def block(self, name: str) -> BlockAsked:
        return next(block for block in self.blocks if block.name == name)


@dataclass(frozen=True)
class CultivarAsked:
    """One cultivar to be planted, or that stands already.

    code : short, the same everywhere; trees : to plant; weeks : of the year picked, first and last; care : need of
    sprays and thinning, 0 to 1; frost_worth : share of a full crop gained by a degree on frost nights; favourite :
    0 to 1, what guests want to pick; story : year it came up, where it is of the heritage; height : after five seasons
    on its stock; wanted_spacing : that its pair wants in the row.
    """

    name: str
    code: str
    rootstock: str
    trees: int
    weeks: tuple[int, int] | None
    care: Share
    frost_worth: Share
    favourite: Share
    story: int | None
    height: Metres
    wanted_spacing: Metres


@dataclass(frozen=True)
class LastLayout:
    """Who stood where in the layout before this one, (places,) each; "" = empty.

    asked : key of the question it answered, its own last layout left out; itself_from_last : it had one.
    """

    block: tuple[str, ...]
    row: Integers
    place: Integers
    cultivar: tuple[str, ...]
    asked: str
    itself_from_last: bool


@dataclass(frozen=True)
class BeeSprings:
    """Hours [h] fit for bees to fly, (years, days) from 1 January; whether the record has wind."""

    fit: Floats
    wind_known: bool


@dataclass(frozen=True)
class Crabs:
    """Flowering crabs of the catalogue that are not planted: donors that could be brought in. Bloom is (years, crabs)
    [day of the year]."""

    names: tuple[str, ...]
    first_bloom: Floats
    petal_fall: Floats


@dataclass(frozen=True)
class Genes:
    """What is known as donors of the cultivars and then of the crabs, and how sure their bloom is; (both,) each.

    Attributes
    ----------
    alleles : S-alleles; none where not tested
    sets : of chromosomes, and so of alleles
    weight : of the pollen, 0 where it is of no use
    otherwise : compatible share taken where alleles are known of one cultivar alone, or of none
    inherited : alleles of each parent that is known and tested
    pool : alleles of all tested cultivars of the catalogue, each as often as found
    bloom_error : [d] of the cultivar's own bloom against the others', one standard deviation
    """

    alleles: tuple[tuple[int, ...], ...]
    sets: tuple[int, ...]
    inherited: tuple[tuple[tuple[int, ...], ...], ...]
    weight: Floats
    otherwise: Share
    pool: tuple[int, ...]
    bloom_error: Floats


@dataclass(frozen=True)
class LayoutQuestion:
    """All the planting needs.

    Attributes
    ----------
    ground : surveyed, without what it had to tell
    cultivars : those to plant, then those that only stand already
    first_bloom, petal_fall : (years, cultivars) [day of the year]
    compatible : (cultivars, cultivars) share of a donor's pollen that sets the parent's fruit: donor, parent
    genes : of the cultivars, then of the crabs
    bees : when they can fly; None where no weather is known
    tree_worth : a full crop of one tree, as the work its price would pay
    crew : people who walk the picking rounds together
    frozen : names of blocks, rows and trees whose places keep what stands there in the last layout
    outside : pollen from beyond the orchard
    before : the layout before this one, from which trees are moved only for good reason
    """

    ground: Ground
    cultivars: tuple[CultivarAsked, ...]
    first_bloom: Floats
    petal_fall: Floats
    compatible: Floats
    genes: Genes
    crabs: Crabs
    bees: BeeSprings | None
    shortest_run: int
    planting_year: int
    top_wire: Metres
    tree_worth: Hours
    crew: float
    frozen: tuple[str, ...]
    before: LastLayout | None
    outside: Outside | None = None

    @property
    def bare_key(self) -> str:
        """Key of the question without its last layout: what the grower asks, whatever stood before."""
        return key_of(replace(self, before=None))

    @property
    def unchanged(self) -> bool:
        """Whether the last layout answered this very question, so that nothing has to move."""
        return self.before is not None and self.before.asked == self.bare_key
