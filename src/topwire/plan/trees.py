"""Plan sections on the trees, the years and the works that later departments size."""

from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from topwire.plan.base import Section
from topwire.plan.fields import Area, Date, Flow, Force, Length, Pressure, Volume
from topwire.values.terms import MOST_TREES
from topwire.values.terms import EndAssembly as EndAssembly
from topwire.values.terms import Hill as Hill
from topwire.values.terms import Net as Net
from topwire.values.terms import Skill as Skill
from topwire.values.terms import Training as Training
from topwire.values.terms import WaterSource as WaterSource
from topwire.values.units import Kind, from_si


class TreesSection(Section):
    rootstock: str = Field(
        "G.41", description="rootstock the orchard is grafted on: see `topwire show rootstocks`"
    )
    rootstock_for: dict[str, str] = Field(
        default_factory=dict, description="another rootstock for single cultivars: {Honeycrisp: G.214}"
    )
    training: Training = Field(Training.TALL_SPINDLE, description="how the tree is trained to the wires")
    tree_spacing: Annotated[Length, Field(ge=0.3, le=6)] | Literal["choose"] = Field(
        "choose", description="between trees in the row, or choose"
    )
    row_spacing: Annotated[Length, Field(ge=1.5, le=10)] | Literal["choose"] = Field(
        "choose", description="between rows, or choose"
    )
    shortest_run: int = Field(
        5, ge=1, le=100, description="fewest trees of one cultivar side by side in a row"
    )
    total: int | Literal["as the ground holds"] = Field(
        "as the ground holds", description="trees to plant, or “as the ground holds”"
    )
    standing: str | None = Field(
        None, description="CSV of trees already there: cultivar, rootstock, block, row, place, year"
    )

    @field_validator("total")
    @classmethod
    def _bounds(cls, total: int | str) -> int | str:
        if isinstance(total, int) and not 1 <= total <= MOST_TREES:
            raise ValueError(f"“{total}” is out of bounds: it has to be between 1 and {MOST_TREES:,} trees")
        return total


def _both(length: float) -> str:
    return f"{length:.2f} m ({from_si(length, 'ft', Kind.LENGTH):.1f} ft)"


class YearsSection(Section):
    planting: int = Field(ge=2000, le=2100, description="year of the planting autumn")
    begin: Date | None = Field(
        None,
        description="first day on which work can be done, 2027-03-15; none = early enough for all of it",
    )
    horizon: int = Field(20, ge=5, le=40, description="years the plan looks ahead")
    autumns: int = Field(
        1, ge=1, le=6, description="autumns the trees are planted in, the first one in `planting`"
    )
    trees_per_year: int | None = Field(
        None,
        ge=1,
        le=100_000,
        description="grafted trees the nursery can raise for one autumn, bought ones not counted; "
        "none = no limit, and several autumns share the trees about evenly",
    )


class PullTestSection(Section):
    """A post, and some trees, pulled level with a hand winch until they lean 5 degrees."""

    ground: Literal["moist", "soaked"] = Field("moist", description="the ground when they were pulled")
    post_load: Force | None = Field(
        None, gt=0, le=50_000, description="load at which the post leant 5 degrees"
    )
    post_height: Length = Field(1.5, ge=0.3, le=5, description="height it was pulled at, above the ground")
    post_depth: Length | None = Field(None, ge=0.2, le=3, description="how deep that post stood")
    post_diameter: Length | None = Field(None, ge=0.03, le=0.4, description="how thick it was at the ground")
    tree_load: Force | None = Field(
        None, gt=0, le=50_000, description="mean load at which the trees leant 5 degrees"
    )
    tree_height: Length = Field(1.0, ge=0.2, le=4, description="height they were pulled at")
    trunk: Length | None = Field(None, ge=0.01, le=0.3, description="their trunks, above the union")
    trees: int = Field(3, ge=1, le=100, description="how many trees were pulled")

    @model_validator(mode="after")
    def _whole(self) -> "PullTestSection":
        post = (self.post_load, self.post_depth, self.post_diameter)
        if any(value is None for value in post) and any(value is not None for value in post):
            raise ValueError("post_load, post_depth and post_diameter go together: give all three, or none")
        if (self.tree_load is None) != (self.trunk is None):
            raise ValueError("tree_load and trunk go together: give both, or neither")
        if self.post_load is None and self.tree_load is None:
            raise ValueError("a pull test says what a post bore, what trees bore, or both")
        return self


class StampedSection(Section):
    """Numbers of a design that a licensed engineer has stamped, used as they stand for every row."""

    by: str = Field(min_length=1, max_length=120, description="whose design it is")
    post: str = Field(description="its line post, by its name in the catalogue’s posts")
    depth: Length = Field(ge=0.3, le=4, description="how deep line posts stand")
    spacing: Length = Field(ge=1, le=30, description="between line posts, at most")
    wire: str | None = Field(None, description="its wire, by its name in the catalogue; none = chosen")
    pretension: Force | None = Field(
        None, ge=100, le=1200, description="tension a wire is strung to; none = chosen"
    )
    end_post: str | None = Field(None, description="its end post, by name; none = chosen")
    end_depth: Length | None = Field(None, ge=0.3, le=4, description="how deep end posts stand")
    anchor: str | None = Field(None, description="its anchor, by name; none = chosen")
    anchors: int = Field(1, ge=1, le=6, description="anchors at each end")

    @model_validator(mode="after")
    def _whole(self) -> "StampedSection":
        if (self.end_post is None) != (self.end_depth is None):
            raise ValueError("end_post and end_depth go together: give both, or neither")
        return self


class TrellisSection(Section):
    wire_heights: Annotated[list[Length], Field(min_length=1, max_length=8)] = Field(
        default_factory=lambda: [0.9, 1.6, 2.3, 3.0],
        description="training wires, lowest first; the last is the top wire",
    )
    low_wire: Length | None = Field(0.45, ge=0.1, le=1.2, description="wire that carries the irrigation line")
    post_spacing: Length | Literal["choose"] = Field("choose", description="between line posts, or choose")
    end_assembly: EndAssembly = Field(
        EndAssembly.CHOOSE, description="tie-back, h-brace, diagonal brace, long diagonal brace or choose"
    )
    near_end: EndAssembly | None = Field(
        None, description="kind of end where the trees are counted from, where it differs from end_assembly"
    )
    far_end: EndAssembly | None = Field(
        None, description="kind of end at the other side of the row, where it differs from end_assembly"
    )
    near_room: Length | None = Field(
        None,
        ge=0,
        le=30,
        description="free ground behind the end post where counting starts; a tie-back needs the top wire's height",
    )
    far_room: Length | None = Field(
        None, ge=0, le=30, description="free ground behind the end post at the other side of the row"
    )
    posts: list[str] = Field(
        default_factory=list, description="posts at hand; none named = the whole catalogue"
    )
    wires: list[str] = Field(
        default_factory=list, description="wire at hand; none named = the whole catalogue"
    )
    pretension: Force | None = Field(None, description="tension a wire is strung to; none = chosen")
    fence_post: Length | None = Field(
        None,
        ge=0.03,
        le=0.4,
        description="thickness of the posts of a fence that trees are tied to (along_fence)",
    )
    fence_post_spacing: Length | None = Field(None, ge=0.3, le=6, description="between those posts")
    fence_post_depth: Length | None = Field(
        None, ge=0.2, le=3, description="how deep those posts stand; none = 0.9 m is taken"
    )
    choose_by: Literal["cost", "storm"] = Field(
        "cost",
        description="cost: posts by least cost of building and of what falls over the years; "
        "storm: everything stands the storm of return_period",
    )
    return_period: Literal[10, 25, 50, 100, 300] = Field(
        50,
        description="years between storms that wires and ends (with choose_by storm: everything) must stand",
    )
    post_depth: Length | None = Field(
        None,
        ge=0.5,
        le=3,
        description="deepest a post can be driven: rock, or what the driver reaches; none = 1.4 m",
    )
    pull_test: PullTestSection | None = Field(
        None,
        description="your own test of a post and of trees; it then stands for the ground's planning figures",
    )
    net: Net = Field(
        Net.NONE,
        description="drawn over each row: bird while fruit colours, hail as long as leaves are up; its wind and hail "
        "are then on the posts (place.animals: birds is a bird net too)",
    )
    stamped: StampedSection | None = Field(
        None,
        description="an engineer’s stamped design; its numbers are then used in place of ours, and told",
    )
    hill: Hill | None = Field(
        None,
        description="ridge, escarpment or round hill the rows stand on; none = taken from the block's slope",
    )
    hill_height: Length | None = Field(
        None, gt=0, le=2000, description="of that rise above the ground before it"
    )
    hill_half_length: Length | None = Field(
        None, gt=0, le=20000, description="from its crest, level, to where the ground is half as high"
    )
    crest_distance: Length = Field(0.0, ge=0, le=20000, description="from the crest to the nearest row")
    crop_on_wires: float = Field(0.5, ge=0, le=1, description="share of crop weight that hangs on the wires")
    budget_per_tree: float | None = Field(
        None, gt=0, le=100_000, description="most the trellis may cost for each tree"
    )

    @model_validator(mode="after")
    def _heights(self) -> "TrellisSection":
        for height in self.wire_heights:
            if not 0.2 < height <= 5:
                raise ValueError(
                    f"wire_heights has a wire at {height:.2f} m; training wires stand between 0.2 m and 5 m (8 in and "
                    "16 ft) above the ground"
                )
        if sorted(self.wire_heights) != self.wire_heights or len(set(self.wire_heights)) < len(
            self.wire_heights
        ):
            raise ValueError(
                "wire_heights go from the lowest to the top wire, each higher than the one before"
            )
        if self.low_wire is not None and self.low_wire >= self.wire_heights[0]:
            raise ValueError("low_wire carries the irrigation line and stands below the first training wire")
        if len({value is None for value in (self.hill, self.hill_height, self.hill_half_length)}) > 1:
            raise ValueError("hill, hill_height and hill_half_length go together: give all three, or none")
        if (self.fence_post is None) != (self.fence_post_spacing is None):
            raise ValueError("fence_post and fence_post_spacing go together: give both, or neither")
        for side in ("near", "far"):
            kind, room = getattr(self, f"{side}_end") or self.end_assembly, getattr(self, f"{side}_room")
            if kind is EndAssembly.TIE_BACK and room is not None and room < self.wire_heights[-1]:
                raise ValueError(
                    f"{side}_room is {_both(room)}, and a tie-back needs its anchor {_both(self.wire_heights[-1])} "
                    f"behind the end post; state {side}_end: h-brace or diagonal brace, or choose"
                )
        if self.pretension is not None and not 100 <= self.pretension <= 1200:
            raise ValueError(
                f"pretension is {self.pretension:,.0f} N; a wire is strung to 100 to 1,200 N (22 to 270 lbf): slack it "
                "carries nothing, and it is never strung tighter"
            )
        if isinstance(self.post_spacing, float) and not 1 <= self.post_spacing <= 30:
            raise ValueError(
                f"post_spacing is {self.post_spacing:.2f} m; line posts stand 1 to 30 m (3 to 100 ft) apart, or choose"
            )
        return self


Place = Annotated[Length, Field(ge=-5000, le=5000)]


class WaterSection(Section):
    source: WaterSource = Field(WaterSource.WELL, description="well, pond, stream or drinking water")
    flow: Flow = Field(2.7e-3, gt=0, le=0.2, description="what the source gives all day")
    pressure: Pressure = Field(3.0e5, gt=0, le=1.5e6, description="pressure at the source at that flow")
    height: Length = Field(
        0.0, ge=-200, le=200, description="height of the source above the first block (below: negative)"
    )
    distance: Length = Field(50.0, ge=0, le=5000, description="from the source to the first block")
    at: tuple[Place, Place] | None = Field(
        None,
        description="where the source is, [east, north] of the first block's first corner: its pipe is then laid and "
        "measured from there, around obstacles, and distance is not asked",
    )
    hours_per_day: float = Field(16.0, gt=0, le=24, description="hours a day it may run")
    storage: Volume | None = Field(None, gt=0, description="pond or tank at hand")
    catchment: Area | None = Field(
        None, gt=0, le=1e8, description="land that drains into the pond; none = it is full each spring"
    )
    store_depth: Length = Field(2.0, ge=0.5, le=20, description="depth of the pond or tank, full")
    emitter: str = Field("choose", description="an emitter of the catalogue, or choose")
    grassed_alley: bool = Field(True, description="grass in the alleys")
    mulch: bool = Field(False, description="mulch along the tree row")
    salt: float | None = Field(
        None, ge=0, le=20, description="electrical conductivity of the water in dS/m, from a laboratory"
    )
    iron: float | None = Field(
        None, ge=0, le=100, description="iron in the water in mg/L (ppm), from a laboratory"
    )
    manganese: float | None = Field(None, ge=0, le=100, description="manganese in mg/L (ppm)")
    sulphide: float | None = Field(None, ge=0, le=100, description="hydrogen sulphide in mg/L (ppm)")
    acidity: float | None = Field(None, ge=3, le=11, description="pH of the water")
    suspended: float | None = Field(None, ge=0, le=100_000, description="suspended matter in mg/L (ppm)")
    bacteria: float | None = Field(None, ge=0, le=1e9, description="bacteria counted in a millilitre")
    chloride: float | None = Field(None, ge=0, le=50_000, description="chloride in mg/L (ppm)")
    sodium: float | None = Field(None, ge=0, le=200, description="sodium adsorption ratio")
    boron: float | None = Field(None, ge=0, le=100, description="boron in mg/L (ppm)")


class NurserySection(Section):
    trees: Literal["graft", "buy"] = Field(
        "graft", description="graft the trees at home, or buy all of them; protected ones are always bought"
    )
    skill: Skill = Field(
        Skill.PRACTISED, description="of whoever grafts: beginner, practised or professional"
    )
    chance: float = Field(
        0.95, gt=0.5, lt=0.9999, description="chance wanted that the trees are there in time"
    )
    jointly: bool = Field(
        True,
        description="true: that chance for all cultivars together, by the cheapest way that gives it; false: each "
        "cultivar for itself",
    )
    take_rate: float | None = Field(
        None, gt=0.05, le=1, description="own share of grafts that take, if known"
    )
    wood: dict[str, Annotated[int, Field(ge=0, le=5000)]] = Field(
        default_factory=dict,
        description="sticks of dormant scion wood to be had in a winter, where it is scarce: {Foxwhelp: 3}; 0 = none; "
        "cultivars not named here = as many as wanted",
    )
    wood_winters: int = Field(
        2,
        ge=1,
        le=4,
        description="winters in which that wood can be fetched, the one before grafting among them; a mother row is "
        "raised from the first ones, whose own wood is cut later",
    )
    seasons: Literal[1, 2] = Field(1, description="seasons in the nursery row: 1 a whip, 2 a feathered tree")
    tree_spacing: Length = Field(0.3, gt=0.05, le=2, description="between trees in the nursery row")
    row_spacing: Length = Field(1.0, gt=0.2, le=5, description="between nursery rows")


class MoneySection(Section):
    currency: str = Field(
        "USD", pattern="^[A-Z]{3}$", description="currency all prices are in; never converted"
    )
    wage: float = Field(18.0, ge=0, le=10_000, description="for an hour of work, in that currency")
    interest: float = Field(0.05, ge=0, le=0.5, description="yearly rate, 0.05 = 5 %")
    hands: float = Field(3.0, gt=0, le=200, description="people who work in the orchard in an ordinary week")
    year: int = Field(
        2024,
        ge=1990,
        le=2100,
        description="year whose money all prices are told in; older ones are brought up to it",
    )
    have: list[str] = Field(
        default_factory=list,
        description="goods that last and are there already, as in capital.csv: [mower, cold room]; deer fence for "
        "a fence that stands",
    )
    hours_per_week: float = Field(40.0, gt=0, le=100, description="hours each works")
