"""What the work falls on: the stages of the place, the trees and their crop by year, the hours of other departments."""

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from topwire.choice.result import Choice
from topwire.growth.result import CropForecast
from topwire.layout.findings import Ground, Layout
from topwire.ledger.work import WorkLoad
from topwire.nursery.findings import NurseryFindings
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.trellis.findings import TrellisFindings

Floats = npt.NDArray[np.float64]
GRAFTING, NURSERY_CARE = "grafting", "nursery care"
# Days of the year between which the hours of other departments fall.
_GRAFTED, _CARED, _BUILT = (60.0, 88.0), (105.0, 310.0), (320.0, 364.0)


def stages_of(seasons: PlaceSeasons, layout: Layout) -> dict[str, float]:
    """Day of year of each stage in the middle year; a stage the place lacks is left out."""
    columns = [seasons.cultivars.index(name) for name in layout.cultivars]
    found = {
        "green_tip": _median(seasons.green_tip),
        "full_bloom": _median(seasons.full_bloom[:, columns]),
        "petal_fall": _median(seasons.petal_fall[:, columns]),
        "last_frost": _median(seasons.last_frost),
        "first_frost": _median(seasons.first_frost),
    }
    first = [_median(seasons.harvest_first[:, column]) for column in columns]
    last = [_median(seasons.harvest_last[:, column]) for column in columns]
    found["first_harvest"] = min((day for day in first if day is not None), default=None)
    found["last_harvest"] = max((day for day in last if day is not None), default=None)
    return {stage: day for stage, day in found.items() if day is not None}


def _median(days: Floats) -> float | None:
    known = days[np.isfinite(days)]
    return float(np.median(known)) if known.size else None


def work_load(
    plan: Plan,
    seasons: PlaceSeasons,
    choice: Choice,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    nursery: NurseryFindings,
    trellis: TrellisFindings | None,
    stages: Mapping[str, float],
    years: int,
) -> WorkLoad:
    by_block = np.array([block.row_spacing * block.tree_spacing for block in ground.blocks])
    new = (layout.cultivar >= 0) & ~layout.standing
    trees = int(new.sum())
    columns = [seasons.cultivars.index(name) for name in layout.cultivars]
    harvest = np.array(
        [
            [_median(seasons.harvest_first[:, c]) or np.nan, _median(seasons.harvest_last[:, c]) or np.nan]
            for c in columns
        ]
    ).reshape(-1, 2)
    middle = by_year(crop.kg_per_tree[:, :, 1].T * crop.trees, years)
    full = float(np.median(crop.orchard_kg[9:, 1]))
    standing = int(layout.standing.sum())
    share_new = trees / max(trees + standing, 1)
    made: dict[str, float] = {}
    for chosen in choice.chosen:
        for use, kilograms in chosen.uses.items():
            made[use] = made.get(use, 0.0) + kilograms * share_new
    fixed = {}
    if nursery.bench_hours > 0:
        fixed[GRAFTING] = (nursery.bench_hours, *_GRAFTED)
        fixed[NURSERY_CARE] = (nursery.care_hours, *_CARED)
    if trellis is not None:
        fixed["building the trellis"] = (trellis.labour_hours, *_BUILT)
    return WorkLoad(
        trees=trees,
        hectares=float(by_block[ground.block[new]].sum()) / 1e4,
        fence=sum(_perimeter(block.outline) for block in ground.blocks if not block.along_fence)
        * (trees > 0),
        crop=middle,
        full_share=by_year(crop.orchard_kg[:, 1], years) / max(full, 1e-9),
        below_wire=_below_wire(crop, years),
        harvest=harvest,
        stages=stages,
        press=_press_season(plan, stages),
        made=made,
        fixed=fixed,
    )


def _press_season(plan: Plan, stages: Mapping[str, float]) -> tuple[float, float]:
    """First and last day the press runs; a season that ends after New Year runs beyond day 365."""
    press = plan.kitchen.press
    first = float(press.start.day_of_year) if press.start else stages.get("first_harvest", 240.0)
    last = float(press.end.day_of_year) if press.end else stages.get("last_harvest", 300.0) + 21
    return first, last if last >= first else last + 365


def by_year(by_leaf: Floats, years: int) -> Floats:
    """Figures of leaves 1, 2, ... (first axis) by year of the horizon: none in the planting year, the last held."""
    leaf = np.minimum(np.arange(1, years), len(by_leaf)) - 1
    return np.concatenate([np.zeros((1, *by_leaf.shape[1:])), by_leaf[leaf]])


def _below_wire(crop: CropForecast, years: int) -> Floats:
    """Share of trees whose leader is below the wire at the start of each year's leaf, by their middle leader."""
    leaf = np.arange(years)
    weight = crop.trees / max(int(crop.trees.sum()), 1)
    reached = np.where(np.isfinite(crop.reaches_wire[:, 1]), crop.reaches_wire[:, 1], 99.0)
    below = leaf[:, None] <= reached
    return np.asarray((below * weight).sum(axis=1))


def _perimeter(outline: Floats) -> float:
    closed = np.vstack([outline, outline[:1]])
    return float(np.hypot(*np.diff(closed, axis=0).T).sum())
