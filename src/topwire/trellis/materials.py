"""The trellis' part of the catalogue: typed rows, and which of them can be designed with."""

from collections.abc import Sequence
from dataclasses import dataclass

from topwire.catalogue.model import Catalogue
from topwire.notices import Faults, Notice, fault, warning
from topwire.trellis import post as posts
from topwire.trellis.wire import axial_stiffness, self_weight


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
    post_list: list[Post] = []
    for row in post_rows:
        named = row.name in posts_at_hand
        if not (named if posts_at_hand else row.market in (None, units) or row.name in own["posts"]):
            continue
        made = _post(row, wood)
        if isinstance(made, str):
            if named or row.name in own["posts"]:
                notices.append(
                    warning(
                        f"posts.csv, “{row.name}”", made, "It was not used: ask the maker for the figure."
                    )
                )
        else:
            post_list.append(made)
    wire_list: list[Wire] = []
    for line in wire_rows:
        named = line.name in wires_at_hand
        if not (named if wires_at_hand else line.market in (None, units) or line.name in own["wires"]):
            continue
        strung = _wire(line)
        if isinstance(strung, str):
            if named or line.name in own["wires"]:
                notices.append(
                    warning(
                        f"wires.csv, “{line.name}”", strung, "It was not used: ask the maker for the figure."
                    )
                )
        else:
            wire_list.append(strung)
    anchors: list[AnchorRow] = []
    for anchor in catalogue.rows("anchors", AnchorRow):
        if not (anchor.market in (None, units) or anchor.name in own["anchors"]):
            continue
        says = _anchor_fault(anchor)
        if says is None:
            anchors.append(anchor)
        elif anchor.name in own["anchors"]:
            notices.append(
                warning(
                    f"anchors.csv, “{anchor.name}”", says, "It was not used: ask the maker, or pull-test one."
                )
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
