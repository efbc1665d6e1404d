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


@dataclass(frozen=True)
class BillLine:
    item: str
    quantity: float
    unit: str
    price: float | None  # each, in the plan's currency; None = ask the maker
    source: str


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
