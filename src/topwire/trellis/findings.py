"""A trellis to buy and build: the findings of the Trellis department."""

from dataclasses import dataclass

from topwire.trellis.kinds import (
    BuildStep,
    CaseName,
    EndKind,
    FenceCure,
    PartOfCost,
    PublishedCost,
    RowLoad,
    Side,
    SoilWater,
    TrellisPart,
    WindForm,
    YardstickKit,
)
from topwire.trellis.known_builds import KnownBuild
from topwire.trellis.wind import WindExposure
from topwire.values.bill import BillLine
from topwire.values.notice import Notice
from topwire.values.quantities import (
    Celsius,
    Degrees,
    Hours,
    KilogramsPerMetre,
    Metres,
    MetresPerSecond,
    Money,
    NewtonMetres,
    Newtons,
    Ratio,
    Share,
    SmallMetres,
    SquareMetres,
)
from topwire.values.terms import Net


@dataclass(frozen=True)
class FailureGust:
    """The gust at which one part gives, low and high drag around the middle.

    Attributes
    ----------
    side : of an end; None where both are built alike, and for posts and wires
    soil : None where the ground's state does not matter to the part
    """

    part: TrellisPart
    side: Side | None
    canopy: RowLoad
    soil: SoilWater | None
    outer: bool
    low: MetresPerSecond
    middle: MetresPerSecond
    high: MetresPerSecond


def first_to_give(gusts: tuple[FailureGust, ...]) -> FailureGust:
    """The part that gives at the lowest gust; passing half the breaking load is a warning, not a failure."""
    return min(
        (gust for gust in gusts if gust.part is not TrellisPart.WIRE_HALF), key=lambda gust: gust.middle
    )


@dataclass(frozen=True)
class CaseLine:
    """A whole row in one named case, from the non-linear solve. None where no equilibrium was found."""

    case: CaseName
    limit: Share  # of the breaking load that a wire may reach in it
    converged: bool
    residual: Newtons  # largest force left out of balance
    tension: Newtons | None  # greatest in any wire
    share_of_breaking: Share | None
    sag: SmallMetres | None
    sideways: SmallMetres | None
    post_moment: NewtonMetres | None  # greatest in a line post
    share_of_post: Share | None  # of what 19 of 20 posts bear
    end_pull: Newtons | None  # all wires at one end
    gust: MetresPerSecond | None = None  # of the wind in it; None where none blows


@dataclass(frozen=True)
class EndDetail:
    """One end of a row, to build from."""

    kind: EndKind
    post: str
    post_diameter: SmallMetres
    post_length: Metres
    post_depth: Metres
    lean: Degrees  # away from the row
    anchor: str | None
    anchors: int
    reach: Metres  # foot to anchor, or rail or strut on the row's side
    guy_slope: Ratio | None  # rise over run
    member: Newtons  # in guy, brace wire or strut, design case
    anchor_holds: Newtons | None  # estimated ultimate of all anchors, soaked ground
    anchor_depth: Metres | None = None  # of its plate or log, below ground
    strut: str | None = None  # post that the rail or strut is cut from
    feet: int = 0  # pads side by side under a diagonal's strut
    anchors_apart: Metres | None = (
        None  # across the row, evenly to both sides of its line; None for one alone
    )

    @property
    def beside_line(self) -> tuple[float, ...]:
        """How far [m] each anchor stands to one side of the row's line."""
        middle = (self.anchors - 1) / 2
        return tuple((number - middle) * (self.anchors_apart or 0.0) for number in range(self.anchors))


@dataclass(frozen=True)
class Creep:
    """What is left of the row a tenth above the gust at which an anchor begins to give, from the whole row."""

    gust: MetresPerSecond
    moved: SmallMetres  # that the top wire's end gives for good, the end that gives more
    tension_before: Newtons  # top wire at full crop in still air
    tension_after: Newtons


@dataclass(frozen=True)
class RowTrellis:
    """One row, or all rows alike, sized.

    Attributes
    ----------
    rows : addresses this design serves: “South 3”
    loaded_tension : greatest wire tension of all cases
    positions : of every post from the start post, ends included
    trees : of every tree place
    lost : places, counted from 1, that have no room: under a brace, or between two lengths of wire
    code_force : lateral load the code's presumptive soil allows one line post
    code_depth : in which that soil would allow the design force
    ultimate_force : estimated ultimate of one line post, soaked ground
    design_force : on one line post in the design storm, acting at `force_height`
    bill : all rows of this design together
    stands : holds the design gust
    far_end : the other end, where it is built otherwise than `end`
    """

    rows: tuple[str, ...]
    length: Metres
    outer: bool
    spans: int
    post_spacing: Metres  # the widest
    post: str
    post_diameter: SmallMetres
    post_length: Metres
    post_depth: Metres
    end: EndDetail
    far_end: EndDetail | None
    wire: str
    wire_heights: tuple[Metres, ...]  # training wires, lowest first
    low_wire: Metres | None
    pretension: Newtons
    crop_per_metre: KilogramsPerMetre  # that it is built for
    loaded_tension: Newtons
    share_of_breaking: Share
    sag: SmallMetres
    gusts: tuple[FailureGust, ...]
    cases: tuple[CaseLine, ...]
    positions: tuple[Metres, ...]
    trees: tuple[Metres, ...]
    lost: tuple[int, ...]
    code_force: Newtons
    code_depth: Metres
    ultimate_force: Newtons
    design_force: Newtons
    force_height: Metres
    bill: tuple[BillLine, ...]
    cost: Money
    labour_hours: Hours
    stands: bool
    creep: Creep | None
    net: Net = Net.NONE

    @property
    def ends(self) -> tuple[EndDetail, EndDetail]:
        """The end where counting starts, and the far one."""
        return self.end, self.far_end or self.end


@dataclass(frozen=True)
class ChoiceLine:
    """The same orchard built for another storm: what it costs and brings."""

    return_period: int  # [years]
    gust: MetresPerSecond
    cost: Money | None  # materials and labour of all rows; None where the catalogue has nothing that stands
    chance_in_life: Share  # that such a storm comes within the plan's horizon
    chosen: bool


@dataclass(frozen=True)
class FenceSupport:
    """A fence or wall that stands already, used instead of a trellis.

    Attributes
    ----------
    fixings : eyes, one for each wire at each post of the fence
    low_wire : that the drip line hangs on; strung, bought and reckoned with as the others are
    run : of each wire, to the first post of the fence at or beyond the row's end
    pull_on_fixing : straight out of the post, design gust from behind
    eye_share : of what a screw eye holds
    pull_at_end : along the fence, all wires, strung as `cure` says
    end_moment : the same, about the fence's foot
    moment_per_metre : added at the fence's foot, design gust through the leaves [N m/m]
    wall_moment_per_metre : a solid fence of this height gets it from the wind anyway [N m/m]
    post_needed : smallest round post that carries the leaves' wind at `post_every`; None where none does
    cure : the cheapest that lets the end posts bear the pull; `cure_cost` of goods and work, `strut` of a post
    strut_reaches : of the struts' pads from the first and the last end post, clear of the trees; None without struts
    end_thickness : that an end post needs for the pull of plainly strung wires
    post_depth : that the fence's posts stand in the ground, stated or taken
    ground_share : of what soaked ground holds of an end post there, factor two, taken by plainly strung wires
    end_depth : that an end post without struts has to stand, wires strung as the cure says
    leaves_share : of what the fence's own posts bear, taken by wind through the leaves; None where they are not known
    wall_share : the same, taken by wind on a solid fence anyway
    wall : of brick, stone or concrete, without posts: the shares are those of its eyes
    end_share : the same, of an end post, taken by the pull of plainly strung wires; `cured_share` with the cure
    """

    row: str
    wire_heights: tuple[Metres, ...]
    fixings: int
    fixing_spacing: Metres
    run: Metres
    spacing_known: bool
    pull_on_fixing: Newtons
    eye_share: Share
    pull_at_end: Newtons
    end_moment: NewtonMetres
    moment_per_metre: Newtons
    wall_moment_per_metre: Newtons
    post_needed: str | None
    post_every: Metres
    pretension: Newtons
    cure: FenceCure
    cure_cost: Money
    strut: str | None
    end_thickness: SmallMetres
    post_depth: Metres
    depth_known: bool
    ground_share: Share
    end_depth: Metres
    leaves_share: Share | None = None
    wall_share: Share | None = None
    end_share: Share | None = None
    cured_share: Share | None = None
    wall: bool = False
    low_wire: Metres | None = None
    strut_reaches: tuple[Metres, Metres] | None = None

    @property
    def strung(self) -> tuple[float, ...]:
        """Heights [m] of all its wires, lowest first: the drip line's, where there is one, and the training wires."""
        return self.wire_heights if self.low_wire is None else (self.low_wire, *self.wire_heights)

    @property
    def posts(self) -> tuple[float, ...]:
        """[m] from the row's start, of the fence's own posts that carry the wires; in a wall, of the eyes."""
        return tuple(at * self.fixing_spacing for at in range(round(self.run / self.fixing_spacing) + 1))

    @property
    def bears(self) -> bool | None:
        """Whether every part of it bears what it gets as it stands; None where its posts are not known."""
        parts = (self.leaves_share, self.wall_share, self.end_share)
        if any(share is None for share in parts):
            return None
        return all(share <= 1 for share in (*parts, self.eye_share, self.ground_share) if share is not None)


@dataclass(frozen=True)
class BudgetRow:
    """Rows alike as the stated budget would build them."""

    rows: tuple[str, ...]
    post: str
    depth: Metres
    spacing: Metres  # widest span
    wire: str
    end: EndDetail
    far_end: EndDetail | None


@dataclass(frozen=True)
class BudgetTrellis:
    """The safest trellis that the stated budget buys; the figures are None where it buys none.

    Attributes
    ----------
    budget : for all trees
    gust : that it stands in, all factors kept
    cost : its materials
    first : what gives first
    least : materials of the least trellis offered, or of this one; None where none can be built
    """

    budget: Money
    gust: MetresPerSecond | None
    cost: Money | None
    first: FailureGust | None
    rows: tuple[BudgetRow, ...]
    least: Money | None


@dataclass(frozen=True)
class TensionLine:
    """Tension to set on a day."""

    air: Celsius
    tension: Newtons


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
class CostPart:
    """Of all wired rows together."""

    part: PartOfCost
    cost: Money


@dataclass(frozen=True)
class BesidePublished:
    """A published cost with ours: of a square metre, a tree or an end.

    Attributes
    ----------
    year : of the money it was published in
    published : in the plan's money
    """

    what: PublishedCost
    year: int
    published: Money
    ours: Money
    source: str


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


@dataclass(frozen=True)
class TrellisFindings:
    """All rows sized, with their bill.

    Attributes
    ----------
    design_gust : three-second gust at 10 m of the storm asked for
    gust_50, mean_50, wind_form, exposure, return_period : where it comes from
    common_build : what the usual line post (`known_builds`) would stand here, outer row
    within_budget : where the plan states a budget
    by_cost : posts by least cost of building and falling; wires and ends stand the design gust
    stamped : whose design the posts are, where the plan states one
    net : over each row
    floor_gust : that every row stands in the middle of what is known, soaked and full of fruit, where so chosen
    """

    rows: tuple[RowTrellis, ...]
    design_gust: MetresPerSecond
    gust_50: MetresPerSecond
    mean_50: MetresPerSecond | None
    wind_form: WindForm
    exposure: WindExposure
    return_period: int
    tension_table: tuple[TensionLine, ...]
    bill: tuple[BillLine, ...]
    cost: Money
    currency: str
    labour_hours: Hours
    build_order: tuple[BuildStep, ...]
    notices: tuple[Notice, ...]
    choices: tuple[ChoiceLine, ...] = ()
    common_build: tuple[FailureGust, ...] = ()
    fences: tuple[FenceSupport, ...] = ()
    within_budget: BudgetTrellis | None = None
    by_cost: bool = True
    stamped: str = ""
    net: Net = Net.NONE
    floor_gust: MetresPerSecond = 0.0
    risks: tuple[KitRisk, ...] = ()
    steps: tuple[KitStep, ...] = ()
    known: tuple[KnownFate, ...] = ()
    yardsticks: tuple[Yardstick, ...] = ()
    storms: tuple[StormSeason, ...] = ()
    parts: tuple[CostPart, ...] = ()
    published: tuple[BesidePublished, ...] = ()
    ground: SquareMetres = 0.0  # of the wired rows, their length times the space between them
