"""How much water, through what, and when: the result of the Water department."""

from dataclasses import dataclass, field

import numpy as np

from topwire.notices import Notice
from topwire.values.arrays import Floats, Integers


@dataclass(frozen=True)
class Zone:
    """Rows on one valve."""

    name: str
    rows: tuple[str, ...]  # row addresses
    trees: int
    flow: float  # [m3/s]
    head: float  # [m] wanted at the zone valve
    uniformity: float  # emission uniformity, 0 to 1
    tubing: str
    manifold: str
    peak_hours_per_day: float
    block: str = ""
    runs_in_set: int = 1  # zones of one set run together
    valve: tuple[float, float] = (0.0, 0.0)  # [m] east, north of the origin
    flow_variation: float = 0.0  # (most - least emitter flow) / most
    least_head: float = 0.0  # [m] at an emitter
    most_head: float = 0.0  # [m]
    emitters: int = 0
    litres_per_tree_hour: float = 0.0  # [L/h]


@dataclass(frozen=True)
class PipeLine:
    item: str
    quantity: float
    unit: str
    price: float | None
    source: str


@dataclass(frozen=True)
class BlockNeed:
    """A block's trees at one leaf. Litres are for one tree; low, middle, high over the weather years."""

    block: str
    leaf: int
    ground_cover: float  # share of the floor under the crowns
    basal_bare: float  # mid-season basal coefficient over the whole floor, bare alley, standard climate
    basal_grassed: float  # the same with grass that grows all summer
    root_depth: float  # [m]
    readily_available: float  # [L] a tree can take from its soil without stress
    season: tuple[float, float, float]  # [L] to run out of the emitters in a season
    peak: tuple[float, float, float]  # [L/d] taken up in the thirstiest week
    waterings: float  # in a middle season
    litres_each: float  # [L] at each watering
    deep_loss: float  # [L] in a middle season, rain mostly


@dataclass(frozen=True)
class WhatIf:
    """What a change does to full-grown trees of the largest block."""

    name: str
    season: tuple[float, float, float]  # [L] a tree and season
    transpiration_lost: tuple[float, float, float]  # share of full transpiration, low to high year
    says: str


@dataclass(frozen=True)
class CalendarEntry:
    day: int  # day of the year
    title: str
    says: str


@dataclass(frozen=True)
class LineTried:
    name: str
    cost: float | None
    verdict: str  # empty where it would do


@dataclass(frozen=True)
class QualityNote:
    what: str
    unit: str
    well_below: float
    trouble_above: float
    says: str
    remedy: str
    source: str


@dataclass(frozen=True)
class MainStretch:
    length: float  # [m]
    flow: float  # [m3/s]
    pipe: str


def _none() -> Floats:
    return np.empty(0)


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
    source_head: float = 0.0  # [m] what the source has, beside pump_head that is wanted there
    source_enough: bool = True
    hours_at_peak: float = 0.0  # [h/d] all sets together
    scenario_years: tuple[int, int, int] = (0, 0, 0)  # the weather years shown as normal, dry, hot
    zone_hours: Floats = field(default_factory=_none)  # (zones, leaves, 3, 52) [h/week]
    hargreaves: Floats = field(default_factory=_none)  # (12,) [mm/d] from temperature alone, middle
    blocks: tuple[BlockNeed, ...] = ()
    what_ifs: tuple[WhatIf, ...] = ()
    calendar: tuple[CalendarEntry, ...] = ()
    losses: tuple[tuple[str, float], ...] = ()  # [m] where the head at the source goes
    main: tuple[MainStretch, ...] = ()
    lines_tried: tuple[LineTried, ...] = ()
    quality: tuple[QualityNote, ...] = ()
    longest_row: float = 0.0  # [m] the line chosen may be on level ground at this uniformity
    table_peak_l_per_tree: float = (
        0.0  # [L/d] by the single coefficient of FAO-56 at the same weather, beside ours
    )
    mains_flow: float = 0.0  # [m3/s] the most that runs at one time
    season_cost_by_leaf: Floats = field(default_factory=_none)  # (leaves,) middle year
