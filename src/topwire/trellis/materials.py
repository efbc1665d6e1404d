"""What a trellis is built of: typed rows of the yard, and which of them can be designed with."""

from collections.abc import Mapping
from dataclasses import dataclass

from topwire.trellis import post as posts
from topwire.trellis.kinds import Lack
from topwire.trellis.wire import axial_stiffness, round_area, self_weight
from topwire.values.mark import Mark

SOFT_STEEL = 600e6  # [Pa] wire that breaks below it is low-carbon and yields long before (WIRE-PRACTICE)


@dataclass(frozen=True)
class WoodRow:
    """wood.csv: bending strength of round posts."""

    name: str
    mean_rupture_mpa: float
    scatter: float
    modulus_gpa: float


@dataclass(frozen=True)
class PostRow:
    """posts.csv. `moment_nm` and `stiffness_nm2` are the maker's; wood takes them from its species."""

    name: str
    kind: str
    wood: str | None
    diameter_m: float
    length_m: float
    moment_nm: float | None
    stiffness_nm2: float | None
    market: str | None
    price: float | None
    currency: str | None
    minutes: float | None
    source: str | None
    evidence: str | None


@dataclass(frozen=True)
class WireRow:
    """wires.csv."""

    name: str
    diameter_m: float
    breaking_n: float | None
    modulus_gpa: float | None
    market: str | None
    price_per_m: float | None
    currency: str | None
    source: str | None
    evidence: str | None


@dataclass(frozen=True)
class AnchorRow:
    """anchors.csv; `capacity_n` is the maker's or pull-tested ultimate, else it is computed from the plate or log."""

    name: str
    kind: str
    plate_m: float | None
    depth_m: float | None  # of a screw its rod's length, of a log how deep it lies
    length_m: float | None
    capacity_n: float | None
    market: str | None
    price: float | None
    currency: str | None
    minutes: float | None
    source: str | None
    evidence: str | None


@dataclass(frozen=True)
class TrellisFittingRow:
    """trellis_fittings.csv."""

    item: str
    price: float | None
    unit: str
    currency: str | None
    minutes: float | None
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class LateralSoilRow:
    """soils_lateral.csv: how ground of a texture holds a post, drained and soaked."""

    texture: str
    code_class: int
    code_kpa_per_m: float
    kind: str  # sand or clay
    friction_deg: float | None
    unit_weight_dry: float  # [N/m3]
    unit_weight_wet: float
    growth_dry: float | None  # n_h [N/m3]
    growth_wet: float | None
    cohesion_dry: float | None  # [Pa]
    cohesion_wet: float | None


@dataclass(frozen=True)
class PriceOrigin:
    """Who says a price; UNSAID for a planning figure that nobody has quoted."""

    mark: Mark = Mark.UNSAID
    source: str = ""


@dataclass(frozen=True)
class Post:
    """A post that can be designed with."""

    name: str
    kind: str
    diameter: float  # [m]
    length: float  # [m]
    moment: float  # [N m] 19 of 20 posts bear it in a storm
    mean_moment: float  # [N m]
    bending: float  # EI [N m2]
    price: float
    minutes: float
    origin: "PriceOrigin"


@dataclass(frozen=True)
class Wire:
    name: str
    diameter: float
    breaking: float  # [N]
    stiffness: float  # EA [N]
    weight: float  # [N/m]
    price: float  # per metre
    origin: "PriceOrigin"


@dataclass(frozen=True)
class Stock:
    """What the yard has: everything the search may choose from.

    `origins` are those of anchors and fittings by name; `currencies` all that a price is stated in.
    """

    posts: tuple[Post, ...]
    wires: tuple[Wire, ...]
    anchors: tuple[AnchorRow, ...]
    fittings: Mapping[str, TrellisFittingRow]
    soil: LateralSoilRow
    origins: Mapping[str, PriceOrigin]
    currencies: tuple[str, ...]


def post_of(row: PostRow, wood: Mapping[str, WoodRow], origin: PriceOrigin) -> Post | Lack:
    """The post of a row, or what it lacks; a maker's figures go before those of its wood."""
    if row.price is None:
        return Lack.PRICE
    if row.diameter_m <= 0 or row.length_m <= 0:
        return Lack.SIZE
    species = wood.get(row.wood or "")
    moment = mean = row.moment_nm
    bending = row.stiffness_nm2
    if species is not None:
        modulus = float(posts.round_modulus(row.diameter_m))
        mean = mean or modulus * species.mean_rupture_mpa * 1e6
        moment = moment or modulus * float(
            posts.fifth_percentile(species.mean_rupture_mpa * 1e6, species.scatter)
        )
        bending = bending or float(posts.round_inertia(row.diameter_m)) * species.modulus_gpa * 1e9
    if moment is None or mean is None or moment <= 0:
        return Lack.STRENGTH
    if bending is None or bending <= 0:
        return Lack.STIFFNESS
    return Post(
        row.name, row.kind, row.diameter_m, row.length_m, moment, mean, bending, row.price,
        row.minutes or 5.0, origin,
    )  # fmt: skip


def wire_of(row: WireRow, origin: PriceOrigin) -> Wire | Lack:
    """The wire of a row, or what it lacks."""
    if row.breaking_n is None or row.breaking_n <= 0:
        return Lack.BREAKING_LOAD
    if row.modulus_gpa is None or row.modulus_gpa <= 0:
        return Lack.MODULUS
    if row.price_per_m is None:
        return Lack.PRICE
    if row.breaking_n < SOFT_STEEL * round_area(row.diameter_m):
        return Lack.SOFT
    return Wire(
        row.name,
        row.diameter_m,
        row.breaking_n,
        float(axial_stiffness(row.diameter_m, row.modulus_gpa * 1e9)),
        float(self_weight(row.diameter_m)),
        row.price_per_m,
        origin,
    )


def anchor_of(row: AnchorRow) -> AnchorRow | Lack:
    """The row itself, or what it lacks."""
    if row.price is None:
        return Lack.PRICE
    if row.capacity_n is not None:
        return row if row.capacity_n > 0 else Lack.CAPACITY
    if row.kind == "screw" and row.plate_m and row.depth_m:
        return row
    if row.kind == "log" and row.plate_m and row.depth_m and row.length_m:
        return row
    return Lack.CAPACITY
