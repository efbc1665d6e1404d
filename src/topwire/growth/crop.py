"""From the planted layout to the crop of each leaf."""

from collections.abc import Mapping
from dataclasses import replace
from math import log

import numpy as np

from topwire.catalogue.model import Catalogue, Cultivar, Grade, Rootstock
from topwire.choice.result import Choice
from topwire.growth.bearing import bearing_index, flowers_next_year, habit_of
from topwire.growth.leader import (
    START_FEATHERED,
    START_WHIP,
    replant_vigour,
    scion_vigour,
    soil_vigour,
)
from topwire.growth.load import USUAL_MASS, mass_under_load, small_fruit
from topwire.growth.orchard import LEAVES, CropRule, Simulated, Stand, simulate
from topwire.growth.own_fruitlets import FruitletRow, sets_of
from topwire.growth.result import CropForecast, RuleOutcome, SugarYear, ThinningRule
from topwire.growth.rows import LeafRow, LoadRow
from topwire.growth.sugar import sugar_years
from topwire.growth.telling import WHERE, forecast_notices, sugar_notices
from topwire.growth.training import RULES
from topwire.growth.trials import TrialRow, beside_trials
from topwire.growth.trunk import Floats, Integers
from topwire.growth.wording import in_units
from topwire.layout.findings import Ground, Layout
from topwire.notices import Faults, fault
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.values.progress import Progress, silent
from topwire.weather.record import Weather

ORCHARDS = 2000
DRAWN = 200  # of them are handed on whole, for what hangs on a run of years
SEED = 11
LOAD_STEPS = np.arange(2.0, 11.0)  # [fruits/cm2]
_MATURE_FROM = 10  # leaf from which a year counts as full-grown
# First leaf with flowers worth counting on a stock of that precocity (memory; seedling “late, 8 and more years”); the
# first that fits the stock's entry counts.
_FIRST_LEAF = (("very early", 2), ("early", 2), ("medium", 4), ("late-medium", 5), ("late", 8))
_SCION_DELAY = {Grade.HIGH: -1, Grade.MEDIUM: 0, Grade.LOW: 1}


def foresee_crop(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    ground: Ground,
    choice: Choice,
    layout: Layout,
    *,
    weather: Weather | None = None,
    progress: Progress = silent,
) -> CropForecast:
    """Height, trunk and crop of the new trees for 15 leaves, over simulated orchards in the place's weather years.

    With the daily record the carbohydrate index of each year's thinning window comes along.

    Raises
    ------
    Faults
        When the place has no weather year to draw from.
    """
    if len(seasons.years) == 0:
        raise Faults(
            [fault(WHERE, "there is no usable weather year to draw crops from.", "Add weather files.")]
        )
    units = plan.unit_system
    leaves = catalogue.rows("yield_by_leaf", LeafRow)
    loads = {row.item: row for row in catalogue.rows("crop_load", LoadRow)}
    trees = _new_trees(layout)
    area = _area_per_tree(ground, layout)
    stand = _stand(plan, catalogue, choice, layout, loads, area, _curve(leaves))
    columns = [seasons.cultivars.index(name) for name in layout.cultivars]
    frost = seasons.crop_after_frost[:, columns]
    good = _season_quality(seasons.heat_degree_days)
    progress("growing the orchards")
    strict = simulate(stand, frost, good, CropRule(True), orchards=ORCHARDS, seed=SEED)
    light = simulate(stand, frost, good, CropRule(False), orchards=ORCHARDS // 4, seed=SEED)
    total = strict.crop @ trees.astype(np.float32)
    planted = float((trees * area).sum())
    hectares = planted / 1e4
    orchard_kg = _band(total)
    mature = np.percentile(total[:, _MATURE_FROM - 1 :] / 1000 / max(hectares, 1e-9), [10, 50, 90])
    kg_per_tree = _band(strict.crop)
    rows, row_trees = _trees_by_row(ground, layout)
    trials = beside_trials(catalogue.rows("crop_trials", TrialRow), stand.curve)
    reaches = _percentile_leaf(strict.reached)
    targets = np.round(np.median(strict.target, axis=0).T).astype(float)
    sets, told = sets_of(catalogue.rows("own_fruitlets", FruitletRow), layout.cultivars, targets)
    sugar = _sugar(plan, seasons, columns, weather)
    return CropForecast(
        cultivars=layout.cultivars,
        leaf=np.arange(1, LEAVES + 1),
        height=np.minimum(_band(strict.height), ground.wall_height),  # held there by the knife
        reaches_wire=reaches,
        kg_per_tree=kg_per_tree,
        orchard_kg=orchard_kg,
        fruit_target=targets,
        trunk_area=np.median(strict.trunk, axis=0).T.astype(float),
        full_crop_kg_per_tree=kg_per_tree[:, :, 2].max(axis=1),
        mature_t_per_ha=(float(mature[0]), float(mature[1]), float(mature[2])),
        beside_trials=tuple(
            (f"{line.trial}: {line.quantity}", line.published, line.thinned_to_rule)
            for line in trials
            if line.unit == "kg/tree"
        ),
        notices=tuple(told + sugar_notices(sugar))
        + tuple(forecast_notices(plan, catalogue, layout, stand, reaches, trees, mature, loads, trials)),
        wire_height=stand.wire,
        vigour=stand.vigour,
        trees=trees,
        rows=rows,
        row_kg=_band(strict.crop @ row_trees.T.astype(np.float32)),
        goal_t_per_ha=np.array([row.goal_t_ha for row in leaves]),
        t_per_ha=orchard_kg / 1000 / max(hectares, 1e-9),
        bearing_index=np.median(bearing_index(strict.crop[:, 7:, :].transpose(0, 2, 1)), axis=0).astype(
            float
        ),
        rules=(
            _outcome("no fruit before the leader is at the top wire", strict, trees, True),
            _outcome("a light crop from leaf 2", light, trees, False),
        ),
        trials=trials,
        drawn_kg=np.round(total[:DRAWN].astype(float), 1),
        load_steps=LOAD_STEPS,
        mass_by_load=mass_under_load(stand.mass[:, None], LOAD_STEPS, stand.load[:, None]),
        flowers_by_load=flowers_next_year(LOAD_STEPS, stand.turning[:, None]),
        training=tuple(replace(rule, how=in_units(rule.how, units)) for rule in RULES),
        sets=sets,
        sugar=sugar,
        thinning=tuple(
            replace(row, condition=in_units(row.condition, units), action=in_units(row.action, units))
            for row in catalogue.rows("thinning_rules", ThinningRule)
        ),
    )


def _sugar(
    plan: Plan, seasons: PlaceSeasons, columns: list[int], weather: Weather | None
) -> tuple[SugarYear, ...]:
    bloom = seasons.full_bloom[:, columns]
    if weather is None or not np.isfinite(bloom).any():
        return ()
    middle = np.array(
        [np.median(row[np.isfinite(row)]) if np.isfinite(row).any() else np.nan for row in bloom]
    )
    return sugar_years(weather, seasons.years, seasons.green_tip, middle, latitude=plan.place.latitude)


def _band(drawn: np.ndarray) -> Floats:
    """Low, middle, high over the drawn orchards (first axis), as the last axis; leaves come before it."""
    found = np.percentile(drawn, [10, 50, 90], axis=0).astype(float)
    return np.asarray(found.T if drawn.ndim == 2 else found.transpose(2, 1, 0))


def first_flowering_leaf(stock: Rootstock | None, cultivar: Cultivar) -> int:
    """First leaf with flowers worth counting: the stock's, a leaf earlier or later by the scion; never before 2."""
    said = (stock.precocity if stock else None) or "early"
    first = next((leaf for name, leaf in _FIRST_LEAF if said.startswith(name)), 2)
    if first > 2:
        first += _SCION_DELAY[cultivar.precocity or Grade.MEDIUM]
    elif cultivar.precocity is Grade.LOW:
        first += 1
    return max(2, first)


def _stand(
    plan: Plan,
    catalogue: Catalogue,
    choice: Choice,
    layout: Layout,
    loads: Mapping[str, LoadRow],
    area: Floats,
    curve: Floats,
) -> Stand:
    soil = plan.place.soil
    ground = soil_vigour(fertility=soil.fertility, depth=soil.depth, texture=soil.texture)
    stocks = [catalogue.rootstock.get(name) for name in layout.rootstock]
    scions = [catalogue.cultivar[name] for name in layout.cultivars]
    names = sorted(set(layout.rootstock))
    vigour, spread = [], []
    for stock, scion in zip(stocks, scions, strict=True):
        middle = (stock.vigour if stock else None) or 1.0
        low = (stock.vigour_low if stock else None) or middle * 0.85
        high = (stock.vigour_high if stock else None) or middle * 1.15
        replant = replant_vigour(stock.replant if stock else None, soil.replant)
        vigour.append(middle * scion_vigour(scion.vigour) * ground * replant)
        spread.append(max(log(high / low) / 2.56, 0.08))  # low and high taken as 10th and 90th percentile
    habits = [habit_of(scion.biennial) for scion in scions]
    kitchen = {chosen.name: kg for chosen, kg in zip(choice.chosen, choice.yield_per_tree, strict=True)}
    mature = loads["mature yield"]
    full = [
        kitchen.get(name, mature.load / 10 * each) for name, each in zip(layout.cultivars, area, strict=True)
    ]
    home = {chosen.name for chosen in choice.chosen if chosen.own_graft}
    whip = plan.nursery.seasons == 1
    mass = np.array([scion.fruit_mass_g or USUAL_MASS for scion in scions])
    load = np.array([_load_of(scion, loads) for scion in scions])
    return Stand(
        vigour=np.array(vigour),
        vigour_spread=np.array(spread),
        stock=np.array([names.index(name) for name in layout.rootstock], dtype=np.int64),
        start=np.array(
            [START_WHIP if whip and name in home else START_FEATHERED for name in layout.cultivars]
        ),
        wire=plan.trellis.wire_heights[-1],
        load=load,
        # A cultivar that may carry more turns at as much more.
        turning=np.array([habit.turning / habit.load for habit in habits]) * load,
        late_share=np.array([habit.late_share for habit in habits]),
        small=small_fruit(mass, load),
        mass=mass,
        first_leaf=np.array(
            [first_flowering_leaf(stock, scion) for stock, scion in zip(stocks, scions, strict=True)],
            dtype=float,
        ),
        full_crop=np.array(full, dtype=float),
        full_crop_spread=log(mature.high / mature.low) / 5,  # the table's range taken as nearly all orchards
        curve=curve,
    )


def _load_of(scion: Cultivar, loads: Mapping[str, LoadRow]) -> float:
    """Fruits per cm2 a cultivar may carry: its own row of crop_load.csv, else that of its habit."""
    row = loads.get(scion.name) or loads[f"biennial {scion.biennial or Grade.MEDIUM}"]
    return row.load


def _curve(leaves: tuple[LeafRow, ...]) -> Floats:
    shares = [row.share for row in leaves if row.leaf >= 2]
    return np.array(shares + [1.0] * LEAVES)[:LEAVES]


def _season_quality(heat: Floats) -> Floats:
    """Growing seasons against the place's own mean: root of the heat sum's ratio (direction sure, power a proposal)."""
    mean = np.nanmean(heat)
    quality: Floats = np.sqrt(np.where(np.isfinite(heat), heat, mean) / mean)
    return quality


def _new_trees(layout: Layout) -> Integers:
    new = layout.cultivar[(layout.cultivar >= 0) & ~layout.standing]
    return np.bincount(new, minlength=len(layout.cultivars)).astype(np.int64)


def _area_per_tree(ground: Ground, layout: Layout) -> Floats:
    """Mean ground a tree of each cultivar has. [m2]"""
    by_block = np.array([block.row_spacing * block.tree_spacing for block in ground.blocks])
    of_place = by_block[ground.block]
    new = (layout.cultivar >= 0) & ~layout.standing
    number = np.bincount(layout.cultivar[new], minlength=len(layout.cultivars))
    total = np.bincount(layout.cultivar[new], weights=of_place[new], minlength=len(layout.cultivars))
    return np.where(number > 0, total / np.maximum(number, 1), by_block.mean())


def _trees_by_row(ground: Ground, layout: Layout) -> tuple[tuple[str, ...], Integers]:
    names = [f"{block.name} {row.number}" for block in ground.blocks for row in block.rows]
    offset = np.cumsum([0] + [len(block.rows) for block in ground.blocks])
    counts = np.zeros((len(names), len(layout.cultivars)), dtype=np.int64)
    new = (layout.cultivar >= 0) & ~layout.standing
    np.add.at(counts, (offset[ground.block[new]] + ground.row[new], layout.cultivar[new]), 1)
    return tuple(names), counts


def _percentile_leaf(reached: np.ndarray) -> Floats:
    """Low, middle, high leaf at the wire by cultivar; NaN where those trees are not there within the leaves."""
    late = LEAVES + 1.0
    leaf = np.where(reached == 0, late, reached).astype(float)
    found = np.percentile(leaf, [10, 50, 90], axis=0, method="nearest").T
    return np.where(found < late, found, np.nan)


def _outcome(name: str, run: Simulated, trees: Integers, chosen: bool) -> RuleOutcome:
    weight = trees / max(int(trees.sum()), 1)
    there = run.reached > 0
    share = float((there.mean(axis=0) * weight).sum())
    leaf = float(((np.where(there, run.reached, 0).mean(axis=0)) * weight).sum())
    crop = run.crop.mean(axis=0) @ weight
    return RuleOutcome(
        name,
        leaf / share if share > 0 else None,
        1 - share,
        float(crop[:5].sum()),
        float(crop[:10].sum()),
        chosen,
    )
