"""A trellis to buy and build: the result of the Trellis department."""

from dataclasses import dataclass

from topwire.notices import Notice


@dataclass(frozen=True)
class FailureGust:
    """The gust at which one part gives, low and high drag around the middle."""

    part: str
    condition: str  # “full crop, wet soil, outer row”
    low: float  # [m/s]
    middle: float
    high: float


@dataclass(frozen=True)
class CaseLine:
    """A whole row in one named case, from the non-linear solve. None where no equilibrium was found."""

    case: str
    converged: bool
    residual: float  # [N] largest force left out of balance
    tension: float | None  # [N] greatest in any wire
    share_of_breaking: float | None
    sag: float | None  # [m]
    sideways: float | None  # [m]
    post_moment: float | None  # [N m] greatest in a line post
    share_of_post: float | None  # of what 19 of 20 posts bear
    end_pull: float | None  # [N] all wires at one end


@dataclass(frozen=True)
class EndDetail:
    """One end of a row, to build from."""

    assembly: str
    post: str
    post_diameter: float  # [m]
    post_length: float  # [m]
    post_depth: float  # [m]
    lean: float  # [deg] away from the row
    anchor: str | None
    anchors: int
    reach: float  # [m] foot to anchor, or rail or strut on the row's side
    guy_slope: float | None  # [rise over run]
    member: float  # [N] in guy, brace wire or strut, design case
    anchor_holds: float | None  # [N] estimated ultimate of all anchors, soaked ground
    anchor_depth: float | None = None  # [m] of its plate or log
    strut: str | None = None  # post that the rail or strut is cut from
    feet: int = 0  # pads side by side under a diagonal's strut


@dataclass(frozen=True)
class Creep:
    """What is left of the row after a gust that its anchors do not quite hold, from the whole row."""

    gust: float  # [m/s]
    moved: float  # [m] that the top wire's end gives for good, the end that gives more
    tension_before: float  # [N] top wire at full crop in still air
    tension_after: float


@dataclass(frozen=True)
class RowTrellis:
    """One row, or all rows alike, sized."""

    rows: tuple[str, ...]  # row addresses this design serves: “South 3”
    length: float  # [m]
    spans: int
    post_spacing: float  # [m]
    post: str
    post_length: float  # [m]
    post_depth: float  # [m]
    end_assembly: str
    end_post: str
    anchor: str
    wire: str
    wire_heights: tuple[float, ...]  # [m] training wires, lowest first
    low_wire: float | None  # [m]
    pretension: float  # [N]
    crop_per_metre: float  # [kg/m] heaviest year
    loaded_tension: float  # [N] greatest wire tension of all cases
    share_of_breaking: float
    sag: float  # [m]
    gusts: tuple[FailureGust, ...]
    cost: float
    outer: bool = True
    positions: tuple[float, ...] = ()  # [m] of every post from the start post, ends included
    trees: tuple[float, ...] = ()  # [m] of every tree place
    end: EndDetail | None = None
    cases: tuple[CaseLine, ...] = ()
    post_diameter: float = 0.0  # [m]
    code_force: float | None = None  # [N] lateral load the code's presumptive soil allows one line post
    ultimate_force: float | None = None  # [N] estimated ultimate of one line post, soaked ground
    design_force: float | None = None  # [N] on one line post in the design storm
    force_height: float | None = None  # [m] where it acts
    bill: tuple["BillLine", ...] = ()  # all rows of this design together
    labour_hours: float = 0.0
    stands: bool = True  # holds the design gust
    far_end: EndDetail | None = None  # the other end, where it is built otherwise than `end`
    creep: Creep | None = None  # a tenth above the gust at which an anchor begins to give; None = none found


@dataclass(frozen=True)
class BillLine:
    item: str
    quantity: float
    unit: str
    price: float | None  # each, in the plan's currency; None = ask the maker
    source: str


@dataclass(frozen=True)
class ChoiceLine:
    """The same orchard built for another storm: what it costs and brings."""

    return_period: int  # [years]
    gust: float  # [m/s]
    cost: float | None  # materials and labour of all rows; None where the catalogue has nothing that stands
    chance_in_life: float  # that such a storm comes within the plan's horizon
    chosen: bool


@dataclass(frozen=True)
class FenceSupport:
    """A fence or wall that stands already, used instead of a trellis."""

    row: str
    wire_heights: tuple[float, ...]  # [m]
    fixings: int
    fixing_spacing: float  # [m]
    pull_on_fixing: float  # [N] straight out of the wall, design gust from behind
    pull_at_end: float  # [N] along the fence, all wires
    moment_per_metre: float  # [N m/m] added at the fence's foot, design gust through the leaves
    wall_moment_per_metre: float  # [N m/m] a solid fence of this height gets from the wind anyway
    post_needed: str  # smallest round post that carries it at 2.4 m, or why none does
    leaves_share: float | None = None  # of what the fence's own posts bear, taken by wind through the leaves
    wall_share: float | None = None  # the same, taken by wind on a solid fence anyway


@dataclass(frozen=True)
class BudgetRow:
    """Rows alike as the stated budget would build them."""

    rows: tuple[str, ...]
    post: str
    depth: float  # [m]
    spacing: float  # [m] widest span
    wire: str
    ends: str


@dataclass(frozen=True)
class BudgetTrellis:
    """The safest trellis that the stated budget buys; the figures are None where it buys none."""

    budget: float  # for all trees, in the plan's currency
    gust: float | None  # [m/s] that it stands in, all factors kept
    cost: float | None  # its materials
    first_part: str  # that gives first
    first_gust: float | None  # [m/s] middle
    rows: tuple[BudgetRow, ...]
    least: (
        float | None
    )  # materials of the least trellis offered, or of this one; None where none can be built


@dataclass(frozen=True)
class TrellisDesign:
    rows: tuple[RowTrellis, ...]
    design_gust: float  # [m/s]
    gust_basis: str
    tension_table: tuple[tuple[float, float], ...]  # (temperature deg C, tension N) to set on the day
    bill: tuple[BillLine, ...]
    cost: float
    labour_hours: float
    build_order: tuple[str, ...]
    next_better: str
    notices: tuple[Notice, ...]
    choices: tuple[ChoiceLine, ...] = ()
    common_build: tuple[
        FailureGust, ...
    ] = ()  # what 4 in posts 30 ft apart, 3 ft deep would stand here, outer row
    fences: tuple[FenceSupport, ...] = ()
    within_budget: BudgetTrellis | None = None  # where the plan states a budget
