"""A row’s trellis as sized: its ends, what its parts stand, and the whole row in each case."""

from dataclasses import dataclass
from math import cos, radians, sin

from topwire.trellis.kinds import CaseName, EndKind, RowLoad, Side, SoilWater, TrellisPart
from topwire.values.bill import BillLine
from topwire.values.quantities import (
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
    post_depth: Metres  # along the post, as it is measured off before it is driven
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
    def foot(self) -> tuple[float, float]:
        """Lower end of its post: how far [m] into the row of where it enters the ground, and how deep straight down."""
        lean = radians(self.lean)
        return self.post_depth * sin(lean), self.post_depth * cos(lean)

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
