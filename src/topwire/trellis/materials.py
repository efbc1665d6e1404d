"""The trellis' part of the catalogue: typed rows, and which of them can be designed with."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from topwire.catalogue.model import Catalogue
from topwire.notices import Faults, Notice, fault, warning
from topwire.trellis import post as posts
from topwire.trellis.wire import axial_stiffness, self_weight

Made = TypeVar("Made")

REMEDY = {  # for a row that cannot be designed with, by table
    "posts": "ask the maker for the figure",
    "wires": "ask the maker for the figure",
    "anchors": "ask the maker, or pull-test one",
}


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
    mark: str | None


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
    mark: str | None


@dataclass(frozen=True)
class AnchorRow:
    """anchors.csv; `capacity_n` is the maker's or pull-tested ultimate, else it is computed from the plate or log."""

    name: str
    kind: str
    plate_m: float | None
    depth_m: float | None
    length_m: float | None
    capacity_n: float | None
    market: str | None
    price: float | None
    currency: str | None
    minutes: float | None
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class FittingRow:
    """trellis_fittings.csv."""

    item: str
    price: float | None
    unit: str
    currency: str | None
    minutes: float | None
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class SoilRow:
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
    source: str


@dataclass(frozen=True)
class Wire:
    name: str
    diameter: float
    breaking: float  # [N]
    stiffness: float  # EA [N]
    weight: float  # [N/m]
    price: float  # per metre
    source: str


@dataclass(frozen=True)
class Stock:
    """What the yard has: everything the search may choose from, and what it had to leave out."""

    posts: tuple[Post, ...]
    wires: tuple[Wire, ...]
    anchors: tuple[AnchorRow, ...]
    fittings: dict[str, FittingRow]
    soil: SoilRow
    notices: tuple[Notice, ...]


def read_stock(
    catalogue: Catalogue,
    *,
    units: str,
    texture: str,
    posts_at_hand: Sequence[str] = (),
    wires_at_hand: Sequence[str] = (),
) -> Stock:
    """The rows of the market of `units`, or those named as at hand.

    Raises
    ------
    Faults
        When a named post or wire is not in the catalogue, or no usable row is left.
    """
    wood = {row.name: row for row in catalogue.rows("wood", WoodRow)}
    notices: list[Notice] = []
    faults: list[Notice] = []
    own = {
        name: {key for key, raw in catalogue.tables[name].rows.items() if raw.own}
        for name in ("posts", "wires", "anchors")
    }
    post_rows = catalogue.rows("posts", PostRow)
    wire_rows = catalogue.rows("wires", WireRow)
    faults += _unknown("trellis.posts", posts_at_hand, [row.name for row in post_rows])
    faults += _unknown("trellis.wires", wires_at_hand, [row.name for row in wire_rows])
    post_list = _usable(
        ((row, _post(row, wood)) for row in post_rows), "posts", units, own, notices, at_hand=posts_at_hand
    )
    wire_list = _usable(
        ((row, _wire(row)) for row in wire_rows), "wires", units, own, notices, at_hand=wires_at_hand
    )
    anchors = _usable(
        ((row, _anchor_fault(row) or row) for row in catalogue.rows("anchors", AnchorRow)),
        "anchors",
        units,
        own,
        notices,
    )
    if not faults:
        for table, found in (("posts.csv", post_list), ("wires.csv", wire_list), ("anchors.csv", anchors)):
            if not found:
                left_out = "; ".join(
                    f"{notice.where.removeprefix(f'{table}, ')}: {notice.says.rstrip('.')}"
                    for notice in notices
                    if notice.where.startswith(table)
                )
                says = "no row is left that a trellis can be sized with" + (
                    f" ({left_out})." if left_out else "."
                )
                faults.append(fault(table, says, "Give strength and price."))
    soil = {row.texture: row for row in catalogue.rows("soils_lateral", SoilRow)}.get(texture)
    if soil is None:
        faults.append(fault("soils_lateral.csv", f"there is no row for “{texture}” soil.", "Add one."))
    if faults or soil is None:
        raise Faults(faults)
    fittings = {row.item: row for row in catalogue.rows("trellis_fittings", FittingRow)}
    return Stock(tuple(post_list), tuple(wire_list), tuple(anchors), fittings, soil, tuple(notices))


def _unknown(where: str, named: Sequence[str], known: Sequence[str]) -> list[Notice]:
    from difflib import get_close_matches

    found = []
    for name in named:
        if name not in known:
            near = get_close_matches(name, known, n=1, cutoff=0.3)
            remedy = f"Did you mean “{near[0]}”?" if near else "Add it to your own catalogue."
            found.append(fault(f"plan.yaml, {where}", f"the catalogue has no “{name}”.", remedy))
    return found


def _usable(
    rows: Iterable[tuple[PostRow | WireRow | AnchorRow, Made | str]],
    table: str,
    units: str,
    own: Mapping[str, set[str]],
    notices: list[Notice],
    *,
    at_hand: Sequence[str] = (),
) -> list[Made]:
    """What can be built with: of the market, or named as at hand. Of own and named rows it is told why one cannot."""
    found: list[Made] = []
    for row, made in rows:
        named, ours = row.name in at_hand, row.name in own[table]
        if not (named if at_hand else row.market in (None, units) or ours):
            continue
        if not isinstance(made, str):
            found.append(made)
        elif named or ours:
            remedy = f"It was not used: {REMEDY[table]}."
            notices.append(warning(f"{table}.csv, “{row.name}”", made, remedy))
    return found


def _post(row: PostRow, wood: dict[str, WoodRow]) -> Post | str:
    if row.price is None:
        return "it has no price."
    if row.diameter_m <= 0 or row.length_m <= 0:
        return "its diameter and length have to be above zero."
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
        return "its strength is missing: neither a known wood nor the maker's moment_nm above zero is given."
    if bending is None or bending <= 0:
        return "its stiffness is missing: neither a known wood nor the maker's stiffness_nm2 above zero is given."
    return Post(
        row.name, row.kind, row.diameter_m, row.length_m, moment, mean, bending, row.price,
        row.minutes or 5.0, row.source or "proposal",
    )  # fmt: skip


def _wire(row: WireRow) -> Wire | str:
    if row.breaking_n is None or row.breaking_n <= 0:
        return "its breaking load is missing: breaking_n has to be above zero."
    if row.modulus_gpa is None or row.modulus_gpa <= 0:
        return (
            "its modulus is missing, so nothing says how far it stretches: modulus_gpa has to be above zero."
        )
    if row.price_per_m is None:
        return "it has no price."
    return Wire(
        row.name,
        row.diameter_m,
        row.breaking_n,
        float(axial_stiffness(row.diameter_m, row.modulus_gpa * 1e9)),
        float(self_weight(row.diameter_m)),
        row.price_per_m,
        row.source or "proposal",
    )


def _anchor_fault(row: AnchorRow) -> str | None:
    if row.price is None:
        return "it has no price."
    if row.capacity_n is not None:
        return None if row.capacity_n > 0 else "its capacity has to be above zero."
    if row.kind == "screw" and row.plate_m and row.depth_m:
        return None
    if row.kind == "log" and row.plate_m and row.depth_m and row.length_m:
        return None
    return (
        "its capacity is missing and cannot be computed: give capacity_n, or plate_m and depth_m of a screw."
    )
