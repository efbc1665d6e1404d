"""The Ledger's question: the only file of the room that sees the plan and the catalogue."""

from collections.abc import Mapping

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.choice.findings import Batches, Choice
from topwire.growth.findings import CropForecast
from topwire.layout.findings import Ground, Layout
from topwire.ledger.asked import Bills, LedgerQuestion, Picked
from topwire.ledger.calendar import MaturityRow, WorkRow, day_of
from topwire.ledger.cashbook import PRICES_USED
from topwire.ledger.labour import LabourRow
from topwire.ledger.work import SEASONS
from topwire.notices import Faults, fault
from topwire.nursery.findings import NurseryFindings
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.trellis.findings import TrellisFindings
from topwire.values.arrays import Floats
from topwire.water.findings import WaterPlan

_KEEPS_WEEKS = 8


def question(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    choice: Choice,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    nursery: NurseryFindings,
    trellis: TrellisFindings | None,
    water: WaterPlan | None,
) -> LedgerQuestion:
    """Work and money of the new trees; those that already stand are in neither.

    Raises
    ------
    Faults
        When a row of work or labour hangs on a stage there is not.
    """
    stages = stages_of(seasons, layout)
    labour, work = catalogue.rows("labour", LabourRow), catalogue.rows("work_calendar", WorkRow)
    _check_stages(labour, work)
    prices = catalogue.prices
    return LedgerQuestion(
        planting=plan.years.planting,
        horizon=plan.years.horizon,
        stages=stages,
        areas=crop.areas,
        fence=crop.areas.fence,
        cultivars=_picked(catalogue, seasons, layout, crop),
        orchard_crop=crop.orchard_kg,
        drawn_crop=crop.drawn_kg,
        made=_made(choice, layout),
        press=_press_season(plan, stages),
        bills=_bills(nursery, trellis, water),
        labour=labour,
        work=work,
        maturity=catalogue.rows("maturity", MaturityRow),
        prices=tuple(prices[name] for name in PRICES_USED),
        autumns=_autumns(choice.batches),
        hands=plan.money.hands,
        hours_per_week=plan.money.hours_per_week,
        wage=plan.money.wage,
        interest=plan.money.interest,
        currency=plan.money.currency,
    )


def _check_stages(labour: tuple[LabourRow, ...], work: tuple[WorkRow, ...]) -> None:
    rows = [("labour", row.task, row.stage) for row in labour if row.stage not in SEASONS]
    rows += [("work_calendar", row.item, row.stage) for row in work]
    faults = []
    for table, name, stage in rows:
        try:
            day_of(stage, {})
        except ValueError as wrong:
            faults.append(fault(f"catalogue/{table}.csv, {name}", f"{wrong}."))
    if faults:
        raise Faults(faults)


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


def _picked(
    catalogue: Catalogue, seasons: PlaceSeasons, layout: Layout, crop: CropForecast
) -> tuple[Picked, ...]:
    found = []
    for index, name in enumerate(layout.cultivars):
        column = seasons.cultivars.index(name)
        reached = float(crop.reaches_wire[index, 1])
        found.append(
            Picked(
                name=name,
                trees=int(((layout.cultivar == index) & ~layout.standing).sum()),
                first=_median(seasons.harvest_first[:, column]),
                last=_median(seasons.harvest_last[:, column]),
                crop=crop.kg_per_tree[index, :, 1] * crop.trees[index],
                reaches_wire=reached if np.isfinite(reached) else None,
                keeps=(catalogue.cultivar[name].storage_weeks or 0) >= _KEEPS_WEEKS,
            )
        )
    return tuple(found)


def _made(choice: Choice, layout: Layout) -> dict[str, float]:
    """Fruit of the choice by use, as far as new trees bear it."""
    standing = int(layout.standing.sum())
    new = int(((layout.cultivar >= 0) & ~layout.standing).sum())
    share = new / max(new + standing, 1)
    made: dict[str, float] = {}
    for chosen in choice.chosen:
        for use, kilograms in chosen.uses.items():
            made[str(use)] = made.get(str(use), 0.0) + kilograms * share
    return made


def _press_season(plan: Plan, stages: Mapping[str, float]) -> tuple[float, float]:
    """First and last day the press runs; a season that ends after New Year runs beyond day 365."""
    press = plan.kitchen.press
    first = float(press.start.day_of_year) if press.start else stages.get("first_harvest", 240.0)
    last = float(press.end.day_of_year) if press.end else stages.get("last_harvest", 300.0) + 21
    return first, last if last >= first else last + 365


def _bills(nursery: NurseryFindings, trellis: TrellisFindings | None, water: WaterPlan | None) -> Bills:
    return Bills(
        nursery=nursery.cost,
        grafting_hours=nursery.bench_hours,
        care_hours=nursery.care_hours,
        trellis=trellis.cost if trellis else None,
        building_hours=trellis.labour_hours if trellis else 0.0,
        water=water.cost if water else None,
        water_yearly=water.water_cost_per_year if water else 0.0,
    )


def _autumns(batches: Batches | None) -> tuple[int, ...]:
    planned = batches is not None and batches.planned and len(batches.autumns) > 1
    return tuple(batch.autumn for batch in batches.autumns) if batches is not None and planned else ()
