"""The Ledger's question: the only file of the room that sees the plan and the catalogue."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.catalogue.prices import PriceRow
from topwire.choice.findings import Batches, Choice
from topwire.growth.findings import CropForecast
from topwire.growth.training import FLAT
from topwire.layout.areas import Areas
from topwire.layout.findings import Ground, Layout
from topwire.ledger.asked import Bills, LedgerQuestion, Picked
from topwire.ledger.budgets import FIELD
from topwire.ledger.capital import COLD_ROOMS, PRESSES, CapitalRow
from topwire.ledger.cashbook import PRICES_USED
from topwire.ledger.findings import OwnTask
from topwire.ledger.goods import FENCE, HIVE, GoodsRow
from topwire.ledger.labour import LabourRow, spread_over_weeks
from topwire.ledger.sizes import OwnSize
from topwire.ledger.tools import ToolRow
from topwire.ledger.work import MADE_OF
from topwire.ledger.work_rows import MaturityRow, WorkRow, row_faults
from topwire.nursery.findings import NurseryFindings, NurseryJob
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.press.findings import Drink, PressFindings
from topwire.soil.findings import SoilFindings
from topwire.soil.nutrients import TOO_WET
from topwire.trellis.findings import TrellisFindings
from topwire.values.arrays import Floats
from topwire.values.fault import Faults, fault
from topwire.values.price import Price
from topwire.values.price_index import IndexRow
from topwire.values.terms import GARDEN, Animal, Net, Use
from topwire.values.traits import Grade
from topwire.water.findings import WaterJob, WaterPlan

_KEEPS_WEEKS = 8
_STRIP = 1.0  # [m] kept clean or mulched along a row
_USUAL_LITRES = {"juice": 0.62, "cider": 0.58}  # [L/kg] of a small press, 0.5 to 0.75 read; lees taken off
_KEPT_ON_FLOOR = 250.0  # [kg/m2] crates stacked with room to walk: proposal
_WATER_STAGES = {
    WaterJob.OPEN: "water_open",
    WaterJob.BEGIN: "water_begin",
    WaterJob.LAST: "water_last",
    WaterJob.EMPTY: "water_empty",
}


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
    soil: SoilFindings | None = None,
    press: PressFindings | None = None,
) -> LedgerQuestion:
    """Work and money of the new trees; those that already stand are in neither.

    Raises
    ------
    Faults
        When a row of work or labour hangs on a stage there is not.
    """
    stages = stages_of(seasons, layout, _biennial(catalogue, layout)) | _water_days(water)
    labour, work = catalogue.rows("labour", LabourRow), catalogue.rows("work_calendar", WorkRow)
    wrong = row_faults(work, NurseryJob, {*(row.task for row in labour), *OwnTask})
    if wrong:
        raise Faults(fault(f"catalogue/work_calendar.csv, {item}", f"{says}.") for item, says in wrong)
    prices, goods = catalogue.prices, catalogue.rows("first_goods", GoodsRow)
    made, cultivars = _made(choice, layout), _picked(catalogue, seasons, layout, crop, choice)
    drinks = press.drinks if press else ()
    injury = {stock: seasons.root_injury.get(stock, 0.0) for stock in layout.rootstock}
    tenderest = max(injury, key=lambda stock: injury[stock], default="")
    return LedgerQuestion(
        planting=plan.years.planting,
        horizon=plan.years.horizon,
        stages=stages,
        monthly_air=seasons.normals[:, :2].mean(axis=1),
        root_injury=injury.get(tenderest, 0.0),
        tenderest=(tenderest,) if tenderest in injury else (),
        conditions=_conditions(plan, ground, crop.areas, nursery, trellis, water, made, cultivars),
        nursery_days=nursery.dates,
        nursery_seasons=plan.nursery.seasons,
        areas=crop.areas,
        fence=_fence(plan, crop.areas),
        strip=_strip(ground, layout),
        cultivars=cultivars,
        orchard_crop=crop.orchard_kg,
        drawn_crop=crop.drawn_kg,
        made=made,
        lost=_lost(choice, layout, made),
        press=_press_season(plan, stages),
        milled=_milled(made, _press_season(plan, stages), press, layout),
        litres=_litres(choice, drinks) if drinks else _USUAL_LITRES,
        bills=_bills(nursery, trellis, water, soil),
        labour=labour,
        work=work,
        maturity=catalogue.rows("maturity", MaturityRow),
        goods=goods,
        units={row.item: row.unit for row in catalogue.rows("prices", PriceRow)},
        tools=catalogue.rows("tools", ToolRow),
        capital=catalogue.rows("capital", CapitalRow),
        index=catalogue.rows("price_index", IndexRow),
        have=_have(plan),
        money_year=plan.money.year,
        clips=crop.whips.clips if crop.whips else 0,
        store=_store(plan, choice),
        prices=tuple(
            _as_poured(prices[name], drinks) if name == "cider made" else prices[name]
            for name in dict.fromkeys((*PRICES_USED, HIVE, *(row.item for row in goods)))
        ),
        autumns=_autumns(choice.batches),
        begin=plan.years.begin.isoformat() if plan.years.begin else "",
        bears=Animal.BEARS in plan.place.animals,
        sizes=choice.sizes,
        own_size=_own_size(plan, ground, crop.areas, choice),
        hands=plan.money.hands,
        hours_per_week=plan.money.hours_per_week,
        wage=plan.money.wage,
        interest=plan.money.interest,
        currency=plan.money.currency,
        sound=choice.sound_share,
    )


def _own_size(plan: Plan, ground: Ground, areas: Areas, choice: Choice) -> OwnSize:
    return OwnSize(
        choice.trees,
        sum(line.standing for line in choice.chosen),
        sum(len(block.rows) for block in ground.blocks),
        areas.blocks,
        _fence(plan, areas),
    )


def _fence(plan: Plan, areas: Areas) -> float:
    """Length of the deer fence that has to be built. [m]"""
    return areas.fence if Animal.DEER in plan.place.animals and FENCE not in plan.money.have else 0.0


def _biennial(catalogue: Catalogue, layout: Layout) -> tuple[str, ...]:
    """Of the planted cultivars, those that bear every other year."""
    return tuple(name for name in layout.cultivars if catalogue.cultivar[name].biennial is Grade.HIGH)


def stages_of(seasons: PlaceSeasons, layout: Layout, biennial: Collection[str] = ()) -> dict[str, float]:
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
    bloom = [_median(seasons.full_bloom[:, column]) for column in columns]
    found["first_bloom"] = min((day for day in bloom if day is not None), default=None)
    # Bees stay, and nothing that harms them is sprayed, until the last cultivar has no flower open.
    fallen = [_median(seasons.petal_fall[:, column]) for column in columns]
    found["last_petal_fall"] = max((day for day in fallen if day is not None), default=None)
    named = zip(layout.cultivars, bloom, strict=True)
    to_thin = [day for name, day in named if name in biennial and day is not None]
    found["first_biennial_bloom"] = min(to_thin, default=None)
    found["last_biennial_bloom"] = max(to_thin, default=None)
    last = [_median(seasons.harvest_last[:, column]) for column in columns]
    found["first_harvest"] = min((day for day in first if day is not None), default=None)
    found["last_harvest"] = max((day for day in last if day is not None), default=None)
    return {stage: day for stage, day in found.items() if day is not None}


def _water_days(water: WaterPlan | None) -> dict[str, float]:
    """The year's days with the water, as stages."""
    if water is None:
        return {}
    return {
        _WATER_STAGES[entry.job]: float(entry.day) for entry in water.calendar if entry.job in _WATER_STAGES
    }


def _median(days: Floats) -> float | None:
    known = days[np.isfinite(days)]
    return float(np.median(known)) if known.size else None


def _picked(
    catalogue: Catalogue, seasons: PlaceSeasons, layout: Layout, crop: CropForecast, choice: Choice
) -> tuple[Picked, ...]:
    found = []
    for_cider = {line.name for line in choice.chosen if line.for_cider}
    for index, name in enumerate(layout.cultivars):
        column = seasons.cultivars.index(name)
        mass = catalogue.cultivar[name].fruit_mass_g
        reached = float(crop.reaches_wire[index, 1])
        found.append(
            Picked(
                name=name,
                trees=int(((layout.cultivar == index) & ~layout.standing).sum()),
                standing=int(((layout.cultivar == index) & layout.standing).sum()),
                first=_median(seasons.harvest_first[:, column]),
                last=_median(seasons.harvest_last[:, column]),
                crop=crop.kg_per_tree[index, :, 1] * crop.trees[index],
                reaches_wire=reached if np.isfinite(reached) else None,
                keeps=(catalogue.cultivar[name].storage_weeks or 0) >= _KEEPS_WEEKS,
                fruit_mass=None if mass is None else mass / 1000,
                cider=name in for_cider,
            )
        )
    return tuple(found)


def _conditions(
    plan: Plan,
    ground: Ground,
    areas: Areas,
    nursery: NurseryFindings,
    trellis: TrellisFindings | None,
    water: WaterPlan | None,
    made: Mapping[str, float],
    cultivars: tuple[Picked, ...],
) -> tuple[str, ...]:
    """Parts this orchard has, of `work_rows.PARTS`."""
    test = plan.place.soil.test
    hole = test.drainage_hours if test else None
    wet = hole is not None and hole > TOO_WET
    has = {
        "water": water is not None,
        "trellis": trellis is not None,
        "field": areas.tree_ground >= FIELD,
        "garden": 0 < sum(line.trees for line in cultivars) <= GARDEN,
        "flat": plan.trees.training in FLAT,
        "spindle": plan.trees.training not in FLAT,
        "alleys": not all(block.along_fence for block in ground.blocks),
        "fence": bool(ground.fence) and Animal.DEER in plan.place.animals and FENCE not in plan.money.have,
        "bears": Animal.BEARS in plan.place.animals,
        "gnawers": bool({Animal.VOLES, Animal.RABBITS} & {*plan.place.animals}),
        "replant": plan.place.soil.replant,
        "wet": wet,
        "groundwork": wet or plan.place.soil.replant,
        "mulch": plan.water.mulch,
        "grafts": bool(nursery.dates),
        "whips": plan.nursery.seasons == 1,
        "feathered": plan.nursery.seasons == 2,
        "bird_net": plan.trellis.net is Net.BIRD
        or (plan.trellis.net is Net.NONE and Animal.BIRDS in plan.place.animals),
        "hail_net": plan.trellis.net is Net.HAIL,
        "two_seasons": any(line.job is NurseryJob.HEAD_WHIPS for line in nursery.dates),
        "press": any(made.get(use, 0.0) > 0 for use in MADE_OF["pressing"]),
        "preserve": any(made.get(use, 0.0) > 0 for use in MADE_OF["preserving"]),
        "cellar": any(line.keeps and not line.cider for line in cultivars),
    }
    return tuple(name for name, so in has.items() if so)


def _made(choice: Choice, layout: Layout) -> dict[str, float]:
    """What reaches kitchen and press in the mean year by use, as far as new trees bear it."""
    share = _new_share(layout)
    made: dict[str, float] = {}
    for need in choice.needs:
        kilograms = float(need.served.sum(axis=1).mean()) * share
        if kilograms > 0:
            made[str(need.use)] = made.get(str(need.use), 0.0) + kilograms
    return made


def _lost(choice: Choice, layout: Layout, made: Mapping[str, float]) -> float:
    """Picked for a use and never in kitchen or press: rotten in store, or trimmed away. [kg]"""
    picked = sum(sum(line.uses.values()) for line in choice.chosen)
    return max(picked * _new_share(layout) - sum(made.values()), 0.0)


def _new_share(layout: Layout) -> float:
    """Of the fruit, what new trees bear."""
    standing = int(layout.standing.sum())
    new = int(((layout.cultivar >= 0) & ~layout.standing).sum())
    return new / max(new + standing, 1)


def _milled(
    made: Mapping[str, float], season: tuple[float, float], press: PressFindings | None, layout: Layout
) -> Floats:
    """In each week, by the choice; evenly over the press season where the press has not answered. [kg]"""
    if press is not None and press.drinks:
        return np.asarray(press.fruit_by_week * _new_share(layout))
    total = sum(made.get(use, 0.0) for use in MADE_OF["pressing"])
    return np.asarray(total * spread_over_weeks(*season))


def _litres(choice: Choice, drinks: Sequence[Drink]) -> dict[str, float]:
    """That a kilogram which reaches the press for juice or cider ends as."""
    found = {}
    for use, fermented in ((Use.JUICE, False), (Use.CIDER, True)):
        milled = sum(float(need.served.sum(axis=1).mean()) for need in choice.needs if need.use is use)
        if milled > 0:
            made = sum(drink.mean_made for drink in drinks if drink.fermented is fermented)
            found[str(use)] = 1000 * made / milled
    return found


def _as_poured(usual: Price, drinks: Sequence[Drink]) -> Price:
    """Price of a litre of all ciders together: those stated by style at their own, others at the usual."""
    cider = [drink for drink in drinks if drink.fermented]
    litres = sum(drink.mean_made for drink in cider)
    if litres <= 0:
        return usual
    low, middle, high = (
        sum(drink.mean_made * drink.price[end] for drink in cider) / litres for end in range(3)
    )
    return replace(usual, price=middle, low=low, high=high)


def _press_season(plan: Plan, stages: Mapping[str, float]) -> tuple[float, float]:
    """First and last day the press runs; a season that ends after New Year runs beyond day 365."""
    press = plan.kitchen.press
    first = float(press.start.day_of_year) if press.start else stages.get("first_harvest", 240.0)
    last = float(press.end.day_of_year) if press.end else stages.get("last_harvest", 300.0) + 21
    return first, last if last >= first else last + 365


def _bills(
    nursery: NurseryFindings,
    trellis: TrellisFindings | None,
    water: WaterPlan | None,
    soil: SoilFindings | None,
) -> Bills:
    return Bills(
        nursery=nursery.cost,
        grafting_hours=nursery.bench_hours,
        care_hours=nursery.care_hours,
        trellis=trellis.cost if trellis else None,
        building_hours=trellis.labour_hours if trellis else 0.0,
        water=water.cost if water else None,
        water_yearly=water.water_cost_per_year if water else 0.0,
        soil=soil.cost if soil else 0.0,
    )


def _strip(ground: Ground, layout: Layout) -> float:
    """Ground of the strips under the new trees. [m2]"""
    new = (layout.cultivar >= 0) & ~layout.standing
    return float(ground.between_trees[new].sum()) * _STRIP


def _store(plan: Plan, choice: Choice) -> float:
    """Floor of the cellar: stated, or by its capacity, or by the most that lies in it in the middle year. [m2]"""
    cellar = plan.kitchen.cellar
    if cellar.floor is not None:
        return cellar.floor
    holds = float(np.median(choice.stored.max(axis=1))) if cellar.capacity is None else cellar.capacity
    return holds / _KEPT_ON_FLOOR


def _have(plan: Plan) -> tuple[str, ...]:
    """Goods that are there: those named, and the cellar and the press whose size the plan states."""
    cellar, press = plan.kitchen.cellar, plan.kitchen.press
    stated = COLD_ROOMS if cellar.floor is not None or cellar.capacity is not None else ()
    return (*plan.money.have, *stated, *(PRESSES if press.a_week is not None else ()))


def _autumns(batches: Batches | None) -> tuple[int, ...]:
    planned = batches is not None and batches.planned and len(batches.autumns) > 1
    return tuple(batch.autumn for batch in batches.autumns) if batches is not None and planned else ()
