"""How much water, through what, and when: the result of the Water department."""

from dataclasses import dataclass

from topwire.arrays import Floats, Integers
from topwire.notices import Notice


@dataclass(frozen=True)
class Zone:
    name: str
    rows: tuple[str, ...]  # row addresses
    trees: int
    flow: float  # [m3/s]
    head: float  # [m] wanted at the zone valve
    uniformity: float  # emission uniformity, 0 to 1
    tubing: str
    manifold: str
    peak_hours_per_day: float


@dataclass(frozen=True)
class PipeLine:
    item: str
    quantity: float
    unit: str
    price: float | None
    source: str


@dataclass(frozen=True)
class WaterPlan:
    reference_et: Floats  # (12, 3) [mm/d] monthly mean, low middle high over years
    peak_need_l_per_tree: tuple[float, float, float]  # [L/d] full-grown, low middle high
    years: Integers
    season_need: Floats  # (years,) [m3] whole orchard, full-grown, after rain that counts
    need_by_leaf: Floats  # (leaves,) [m3] middle year, whole orchard
    emitter: str
    emitters_per_tree: float
    zones: tuple[Zone, ...]
    pump_head: float  # [m]
    pump_power: float  # [W]
    weekly_hours: Floats  # (3, 52) run hours a zone each week, normal, dry, hot year
    storage_wanted: float  # [m3] for the dry year in ten
    bill: tuple[PipeLine, ...]
    cost: float
    water_cost_per_year: float
    notices: tuple[Notice, ...]
