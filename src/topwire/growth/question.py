"""The Years' question: the only place of the room that sees the plan and the catalogue."""

from collections.abc import Mapping

import numpy as np

from topwire.catalogue.model import Catalogue, Cultivar
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.findings import Choice
from topwire.choice.question import question as choice_question
from topwire.growth.asked import (
    FruitletRow,
    GrowingSoil,
    MatureYield,
    NewTrees,
    SpringWeather,
    ThinningRule,
    TrialRow,
    YearsQuestion,
    YoungKitchen,
)
from topwire.growth.rows import LeafRow, LoadRow
from topwire.layout.areas import areas_of
from topwire.layout.findings import Ground, Layout
from topwire.layout.places import places_of
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.records.read import NO_RECORDS, Records
from topwire.values.address import row_name
from topwire.values.arrays import Floats, Integers
from topwire.values.traits import Grade
from topwire.values.vigour import scion_grade
from topwire.weather.record import Weather

SPRING_DAYS = (60, 200)  # day of the year between which thinning windows fall
_SAMPLE = (0.1, 0.5, 0.9)  # weather years, from the best served to the worst, that stand for all
_GRAM = 1e-3  # [kg]
_TONNE_A_HECTARE = 0.1  # [kg/m2]


def question(
    plan: Plan,
    catalogue: Catalogue,
    weather: Weather,
    seasons: PlaceSeasons,
    ground: Ground,
    choice: Choice,
    layout: Layout,
    records: Records = NO_RECORDS,
    chosen_from: ChoiceQuestion | None = None,
) -> YearsQuestion:
    """What the new trees of the layout will be and bear.

    Parameters
    ----------
    chosen_from : the choice's question, where it has been put already
    """
    loads = {row.item: row for row in catalogue.rows("crop_load", LoadRow)}
    leaves = catalogue.rows("yield_by_leaf", LeafRow)
    mature = loads["mature yield"]
    place_area = ground.place_area
    soil = plan.place.soil
    if chosen_from is None:
        chosen_from = choice_question(plan, catalogue, seasons, places_of(ground))
    return YearsQuestion(
        trees=_trees(catalogue, loads, seasons, ground, choice, layout, place_area),
        rows=tuple(row_name(block.name, row.number) for block in ground.blocks for row in block.rows),
        any_standing=bool(layout.standing.any()),
        areas=areas_of(ground, layout),
        latitude=plan.place.latitude,
        years=seasons.years,
        heat=seasons.heat_degree_days,
        spring=_spring(weather, seasons),
        soil=GrowingSoil(soil.fertility.value, soil.depth, soil.texture.value, soil.replant),
        wire=plan.trellis.wire_heights[-1],
        wires=tuple(plan.trellis.wire_heights),
        wall_height=ground.wall_height,
        whips=plan.nursery.seasons == 1,
        form=plan.trees.training,
        share_by_leaf=tuple(row.share for row in leaves if row.leaf >= 2),
        goal_by_leaf=tuple(_TONNE_A_HECTARE * row.goal_t_ha for row in leaves),
        mature=MatureYield(*(_TONNE_A_HECTARE * each for each in (mature.low, mature.load, mature.high))),
        kitchen=_kitchen(plan, chosen_from, choice, layout),
        trials=catalogue.rows("crop_trials", TrialRow),
        thinning=catalogue.rows("thinning_rules", ThinningRule),
        fruitlets=records.rows("fruitlets", FruitletRow),
    )


def _trees(
    catalogue: Catalogue,
    loads: Mapping[str, LoadRow],
    seasons: PlaceSeasons,
    ground: Ground,
    choice: Choice,
    layout: Layout,
    place_area: Floats,
) -> tuple[NewTrees, ...]:
    kitchen = {
        chosen.name: float(kg) for chosen, kg in zip(choice.chosen, choice.yield_per_tree, strict=True)
    }
    home = {chosen.name for chosen in choice.chosen if chosen.own_graft}
    for_cider = {chosen.name for chosen in choice.chosen if chosen.for_cider}
    by_row = _by_row(ground, layout)
    new = (layout.cultivar >= 0) & ~layout.standing
    found = []
    for index, (name, rootstock) in enumerate(zip(layout.cultivars, layout.rootstock, strict=True)):
        stock, scion = catalogue.rootstock.get(rootstock), catalogue.cultivar[name]
        column = seasons.cultivars.index(name)
        here = place_area[new & (layout.cultivar == index)]
        found.append(
            NewTrees(
                cultivar=name,
                rootstock=rootstock,
                by_row=tuple(int(count) for count in by_row[:, index]),
                ground_per_tree=float((here if here.size else place_area).mean()),
                stock_vigour=stock.vigour if stock else None,
                stock_vigour_low=stock.vigour_low if stock else None,
                stock_vigour_high=stock.vigour_high if stock else None,
                replant=stock.replant if stock else None,
                stock_precocity=stock.precocity if stock else None,
                scion_vigour=scion_grade(scion.vigour, scion.ploidy),
                scion_precocity=scion.precocity,
                biennial=scion.biennial,
                fruit_mass=None if scion.fruit_mass_g is None else scion.fruit_mass_g * _GRAM,
                load=_load(scion, loads),
                own_graft=name in home,
                kitchen_crop=kitchen.get(name),
                crop_after_frost=seasons.crop_after_frost[:, column],
                full_bloom=seasons.full_bloom[:, column],
                for_cider=name in for_cider,
            )
        )
    return tuple(found)


def _load(scion: Cultivar, loads: Mapping[str, LoadRow]) -> float:
    """Fruits per cm2 a cultivar may carry: its own row of crop_load.csv, else that of its habit."""
    return (loads.get(scion.name) or loads[f"biennial {scion.biennial or Grade.MEDIUM}"]).load


def _by_row(ground: Ground, layout: Layout) -> Integers:
    """New trees, (rows, cultivars)."""
    offset = np.cumsum([0] + [len(block.rows) for block in ground.blocks])
    counts = np.zeros((int(offset[-1]), len(layout.cultivars)), dtype=np.int64)
    new = (layout.cultivar >= 0) & ~layout.standing
    np.add.at(counts, (offset[ground.block[new]] + ground.row[new], layout.cultivar[new]), 1)
    return counts


def _kitchen(plan: Plan, asked: ChoiceQuestion, choice: Choice, layout: Layout) -> YoungKitchen:
    """The choice's question once more, for the cultivars it chose and three of its weather years."""
    trees = {chosen.name: chosen.trees for chosen in choice.chosen if chosen.name in layout.cultivars}
    keep = np.array(
        [at for at, row in enumerate(asked.supply.cultivars) if row.name in trees], dtype=np.int64
    )
    short = sum((need.weight * (need.wanted.sum() - need.served.sum(axis=1)) for need in choice.needs), 0.0)
    order = np.argsort(np.broadcast_to(short, len(asked.supply.years)), kind="stable")
    sample = np.unique(order[np.round(np.array(_SAMPLE) * (order.size - 1)).astype(np.int64)])
    few = asked.supply.chosen(keep).in_years(sample)
    standing = asked.limits.there(few).astype(np.int64)
    names = [row.name for row in few.cultivars]
    planted = (np.array([trees[name] for name in names], dtype=np.int64) - standing)[None, :]
    batches = choice.batches
    if batches is not None and batches.planned:
        after = [batch.autumn - plan.years.planting for batch in batches.autumns]
        planted = np.zeros((max(after) + 1, keep.size), dtype=np.int64)
        for at, batch in zip(after, batches.autumns, strict=True):
            planted[at] = [dict(batch.trees).get(name, 0) for name in names]
    return YoungKitchen(few, asked.needs, asked.limits.some(keep), standing, planted, plan.years.planting)


def _spring(weather: Weather, seasons: PlaceSeasons) -> SpringWeather:
    """The record's spring days by weather year; an empty record has none."""
    day = np.arange(SPRING_DAYS[0], SPRING_DAYS[1] + 1)
    shape = (len(seasons.years), len(day))
    coldest, warmest, sun = (np.full(shape, np.nan) for _ in range(3))
    for index, year in enumerate(seasons.years if len(weather.day) else ()):
        at = (np.datetime64(f"{year}-01-01") - weather.day[0]).astype(int) + day - 1
        known = (at >= 0) & (at < len(weather.day))
        coldest[index, known] = weather.tmin[at[known]]
        warmest[index, known] = weather.tmax[at[known]]
        if weather.sun is not None:
            sun[index, known] = weather.sun[at[known]]
    return SpringWeather(day, coldest, warmest, sun, seasons.green_tip)
