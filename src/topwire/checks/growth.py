"""Leader, trunk, fruit and crop held against trials, guides and the rules of the trade."""

from functools import cache, partial

import numpy as np

from topwire.catalogue.model import Catalogue, Grade, Mark
from topwire.catalogue.tables import read_tables
from topwire.checks import Check
from topwire.growth import carbon, fruit, load, trunk
from topwire.growth.bearing import HABITS
from topwire.growth.crop import first_flowering_leaf
from topwire.growth.leader import START_WHIP, scion_vigour, wire_forecast
from topwire.growth.orchard import CropRule, Simulated, Stand, simulate
from topwire.growth.pollen_tube import tube_growth
from topwire.growth.result import TrialLine
from topwire.growth.rows import LeafRow
from topwire.growth.trials import TrialRow, beside_trials
from topwire.growth.trunk import Floats
from topwire.plan.trees import TrellisSection
from topwire.values.units import Kind, to_si

RULE = "common practice, no source"
INCH = 25.4  # [mm]
# Start height, growth a year, then mean season at 3.0 m and chance by season 3, at a spread of 25 % (worked out apart
# from this program by simulation).
_LEADERS = (
    (1.2, 0.45, 4.5, 0.01), (1.2, 0.60, 3.5, 0.50), (1.2, 0.75, 3.0, 0.92),
    (1.5, 0.45, 3.9, 0.22), (1.5, 0.60, 3.0, 0.87), (1.5, 0.75, 2.5, 0.99),
    (1.8, 0.45, 3.2, 0.78), (1.8, 0.60, 2.5, 0.99), (1.8, 0.75, 2.1, 1.00),
)  # fmt: skip
_BOXES = (
    (72, 88.9),
    (88, 82.6),
    (100, 79.4),
    (113, 76.2),
    (125, 73.0),
    (138, 69.9),
    (150, 66.7),
    (163, 63.5),
)


@cache
def _catalogue() -> Catalogue:
    return Catalogue(read_tables())


@cache
def _curve() -> tuple[float, ...]:
    shares = [row.share for row in _catalogue().rows("yield_by_leaf", LeafRow) if row.leaf >= 2]
    return tuple((shares + [1.0] * 15)[:15])


@cache
def _trials() -> tuple[TrialLine, ...]:
    return beside_trials(_catalogue().rows("crop_trials", TrialRow), np.array(_curve()))


def _trial_ratio(quantity: str, as_cropped: bool) -> float:
    lines = [line for line in _trials() if line.quantity == quantity]
    ours = [line.as_cropped if as_cropped else line.thinned_to_rule for line in lines]
    return float(np.mean(ours) / np.mean([line.published for line in lines]))


def _trial_vigour(rootstock: str) -> float:
    return {row.rootstock: row.vigour for row in _catalogue().rows("crop_trials", TrialRow)}[rootstock]


@cache
def _whips(stock: str) -> Simulated:
    """Whips of a medium scion, 0.46 m out of the graft, first flowers stripped, 3.0 m wire, medium soil."""
    row = _catalogue().rootstock[stock]
    habit = HABITS[Grade.LOW]
    cultivar = next(
        c for c in _catalogue().cultivars if c.vigour is Grade.MEDIUM and c.precocity is Grade.MEDIUM
    )
    one = np.ones(1)
    stand = Stand(
        vigour=one * (row.vigour or 1.0) * scion_vigour(Grade.MEDIUM),
        vigour_spread=one * 0.2,
        stock=np.zeros(1, dtype=np.int64),
        start=one * START_WHIP,
        wire=3.0,
        load=one * habit.load,
        turning=one * habit.turning,
        late_share=one * habit.late_share,
        small=one,
        mass=one * 165.0,
        first_leaf=one * first_flowering_leaf(row, cultivar),
        full_crop=one * 9.0,
        full_crop_spread=0.2,
        curve=np.array(_curve()),
    )
    return simulate(stand, np.ones((1, 1)), one, CropRule(True), orchards=4000, seed=9)


def _leaf_at_wire(stock: str) -> float:
    reached = _whips(stock).reached[:, 0]
    return float(np.median(np.where(reached == 0, 99, reached)))


def _first_crop_leaf(stock: str) -> float:
    """Leaf of the first crop of two kilograms a tree, the middle of many orchards."""
    crop = _whips(stock).crop[:, :, 0]
    return float(np.median(np.where((crop > 2).any(axis=1), np.argmax(crop > 2, axis=1) + 1, 99)))


def _bushels(amount: float) -> float:
    """Bushels of 42 lb an acre, in t/ha."""
    return amount * to_si(42, "lb", Kind.MASS) / to_si(1, "acre", Kind.AREA) * 10


def checks() -> list[Check]:
    """All checks of the Years."""
    return _trunk_and_load() + _crop() + _fruit() + _leader()


def _check(quantity: str, source: str, published: float, ours: object, tolerance: float, mark: Mark) -> Check:
    return Check("Years", quantity, source, published, _number(ours), tolerance, mark)


def _number(ours: object) -> partial[float]:
    return partial(_call, ours)


def _call(ours: object) -> float:
    return float(np.asarray(ours() if callable(ours) else ours))


def _trunk_and_load() -> list[Check]:
    read, memory = Mark.READ, Mark.MEMORY
    guide = "LOAD-UMASS, trunk table"

    def target(inches: float, fruits: float) -> Floats:
        return load.fruit_target(trunk.area_of_diameter(inches * INCH), fruits)

    return [
        _check("Trunk area, 1 in across [cm2]", guide, 5.07, lambda: trunk.area_of_diameter(INCH), 0.01, read),
        _check("Trunk area, 2 in across [cm2]", guide, 20.27, lambda: trunk.area_of_diameter(2 * INCH), 0.03, read),
        _check("Trunk area, girth 6.3 in [cm2]", guide, 20.3, lambda: trunk.area_of_girth(6.3 * INCH), 0.2, read),
        _check("Fruits, 1 in, biennial", guide, 20, lambda: target(1, 4), 0, read),
        _check("Fruits, 1 in, annual", guide, 30, lambda: target(1, 6), 0, read),
        _check("Fruits, 3/4 in, biennial", guide, 11, lambda: target(0.75, 4), 0, read),
        _check("Fruits, 3 in, annual", guide, 274, lambda: target(3, 6), 0, read),
        _check("Fruits per cm2 of a bittersweet of 60 g, heavy habit", "LOAD-ZAKALIK, 6 to 9 tested, 9 worthwhile", 9,
               lambda: 4 * load.small_fruit(60, 4), 0, read),
        _check("Trunk that carries 120 fruits at 5 [cm2]", "LOAD-NIAB", 24.0,
               lambda: load.trunk_area_for(120, 5), 0.1, read),
        _check("Trunk that carries 240 fruits at 9 [cm2]", "LOAD-NIAB", 26.7,
               lambda: load.trunk_area_for(240, 9), 0.1, read),
        _check("Fruits for 40 t/ha, 3,000 trees, 180 g", "LOAD-UMASS, by area", 74,
               lambda: load.fruit_target_by_area(40, 1e4 / 3000, 180), 0, memory),
        _check("Trees a hectare at 3 x 11 ft", "YIELD-GFG13, 1,320 an acre by arithmetic", 3262,
               lambda: load.trees_per_hectare(3 * 0.3048, 11 * 0.3048), 5, memory),
        _check("Trees a hectare at 4 x 12 ft", "ROOT-S1, spacing of the trial", 2242,
               lambda: load.trees_per_hectare(4 * 0.3048, 12 * 0.3048), 1, read),
        _check("Bins an acre, 1,000 trees x 30 fruits of 100 count", "LOAD-ONTBIN", 15,
               lambda: load.bins(1000, 30), 0, read),
        _check("Bins an acre, 600 trees x 40 fruits of 125 count", "LOAD-ONTBIN", 9.6,
               lambda: load.bins(600, 40, count=125), 0.05, read),
        _check("Trunk of B.9 beside M.9 [%]", "ROOT-S1, table 12", 68,
               lambda: 100 * (_catalogue().rootstock["B.9"].vigour or 0), 1, read),
        _check("Trunk of G.890 beside M.9, ten sites [%]", "ROOT-S3, table 6", 220,
               lambda: 100 * (_catalogue().rootstock["G.890"].vigour or 0), 1, read),
        _check("Mass above ground, girth 400 mm [kg]", "ROOT-AH1985, fit to 48 trees", 456,
               lambda: trunk.free_tree_mass(400), 3, read),
        _check("Trunk of Honeycrisp on M.9 after five seasons [cm2]", "ROOT-S1, table 5 (fitted to it)", 9.6,
               lambda: _trunk_after_five(1.0), 0.8, read),
        _check("Trunk of Honeycrisp on B.9 after five seasons [cm2]", "ROOT-S1, table 12", 6.5,
               lambda: _trunk_after_five(0.68), 0.8, read),
        _check("Trunk of Honeycrisp on G.214 after five seasons [cm2]", "ROOT-S1, table 12", 11.5,
               lambda: _trunk_after_five(1.20), 0.8, read),
    ]  # fmt: skip


def _trunk_after_five(stock: float) -> float:
    """Stripped in the first season, four fruits per cm2 afterwards."""
    area = trunk.TRUNK_AT_PLANTING
    for fruits in (0, 4, 4, 4, 4):
        area += float(trunk.trunk_growth(stock * scion_vigour(Grade.LOW), fruits))
    return area


def _crop() -> list[Check]:
    read = Mark.READ
    goal = {row.leaf: row.goal_t_ha for row in _catalogue().rows("yield_by_leaf", LeafRow)}
    return [
        _check("Goal of leaf 2, 200 bu/acre [t/ha]", "YIELD-GFG13", goal[2], lambda: _bushels(200), 0.1, read),
        _check("Goal of leaves 2 to 5, 3,000 bu/acre [t/ha]", "YIELD-GFG13", 141.2, lambda: _bushels(3000), 0.2, read),
        _check("Goals of the shipped curve, leaves 2 to 5 [t/ha]", "YIELD-GFG13", 141.2,
               lambda: sum(goal[leaf] for leaf in (2, 3, 4, 5)), 0.2, read),
        _check("Mature goal, 1,500 bu/acre [t/ha]", "YIELD-ROBINSON", 70.6, lambda: _bushels(1500), 0.1, read),
        _check("Crop of G.41 by efficiency times trunk, to leaf 5 [kg]", "ROOT-S1, table 5", 24.0,
               lambda: 2.4 * 9.6 * _trial_vigour("G.41 stool-bed"), 0.5, read),
        _check("Crop of G.11 to leaf 5 on a hectare [t]", "ROOT-S1, table 5", 52.5,
               lambda: 23.4 * load.trees_per_hectare(4 * 0.3048, 12 * 0.3048) / 1000, 0.1, read),
        _check("Height of nine stocks after five seasons, ours over trial", "ROOT-S1, table 9 (scion factor fitted)",
               1.0, lambda: _trial_ratio("height after leaf 5", False), 0.06, read),
        _check("Crop of nine stocks in leaf 5 when cropped as they were, ours over trial", "ROOT-S1, table 5", 1.0,
               lambda: _trial_ratio("crop in leaf 5", True), 0.15, read),
        _check("Crop of nine stocks to leaf 5 when cropped as they were, ours over trial", "ROOT-S1, table 5", 1.0,
               lambda: _trial_ratio("crop of leaves 2 to 5", True), 0.15, read),
        _check("Crop of nine stocks to leaf 5 when thinned to four per cm2, ours over trial", "ROOT-S1, table 5", 0.85,
               lambda: _trial_ratio("crop of leaves 2 to 5", False), 0.15, read),
    ]  # fmt: skip


def _fruit() -> list[Check]:
    read, memory = Mark.READ, Mark.MEMORY
    growths = [4.0, 3.8, 3.6, 3.4, 2.1, 1.8, 1.6, 1.2, 0.6, 0.2]
    found = [
        _check("Mass of 2 5/8 in over 2 3/8 in", "LOAD-ONTBIN", 1.35,
               lambda: load.mass_of_diameter(2.625 * INCH) / load.mass_of_diameter(2.375 * INCH), 0.001, read),
        _check("Mass of 80 mm over 75 mm", "SIZE-GROWTH, 20 % more", 1.20,
               lambda: load.mass_of_diameter(80) / load.mass_of_diameter(75), 0.02, read),
        _check("Fruit of 100 count in a 40 lb box [g]", "LOAD-BOX", 181.4, lambda: load.mass_of_count(100), 0.1, read),
        _check("Fruit of 76.2 mm [g]", "LOAD-BOX, k of a 42 lb box", 177, lambda: load.mass_of_diameter(76.2), 1,
               memory),
        _check("Honeycrisp at 7 fruits per cm2 [g]", "LOAD-HC", 175.0, lambda: load.honeycrisp_mass(7), 0.1, read),
        _check("Honeycrisp without load [g]", "LOAD-HC, about 300", 300.0, lambda: load.honeycrisp_mass(0), 1, read),
        _check("Honeycrisp at 12 fruits per cm2 [g]", "LOAD-HC, 150 at 10 and more", 150.0,
               lambda: load.honeycrisp_mass(12), 10, read),
        _check("Load for Honeycrisp of 210 g", "LOAD-HC, limit of growing years", 4.0,
               lambda: load.honeycrisp_load_for(210), 0.5, read),
        _check("Braeburn, heavy over light crop by our line, 8 against 0 per cm2",
               "LOAD-BRAEBURN, 225 g over 385 g", 0.584,
               lambda: load.mass_under_load(1, 8, 6) / load.mass_under_load(1, 0, 6), 0.06, read),
        _check("Fruits on a tree of 38 kg at 225 g", "LOAD-BRAEBURN", 168.9,
               lambda: load.fruit_target_by_area(38, 10, 225), 0.5, read),
        _check("Expolinear mass at 140 d [g]", "EXPOLINEAR, illustrative figures", 199.5,
               lambda: fruit.expolinear(140, most=1.9, relative=0.12, lost=35), 0.1, memory),
        _check("Expolinear mass at 20 d [g]", "EXPOLINEAR, illustrative figures", 2.42,
               lambda: fruit.expolinear(20, most=1.9, relative=0.12, lost=35), 0.01, memory),
        _check("Fruitlet growth at a mean of 8 deg C [mm/d]", "FRUIT-OBRIEN", 0.24,
               lambda: fruit.early_diameter_rate(8), 0.005, read),
        _check("Fruitlet growth at a mean of 17 deg C [mm/d]", "FRUIT-OBRIEN", 0.85,
               lambda: fruit.early_diameter_rate(17), 0.005, read),
        _check("Fruitlet growth, 20 over 6 deg C", "FRUIT-WARRINGTON99, about 10", 10.0,
               lambda: fruit.early_diameter_rate(20) / fruit.early_diameter_rate(6), 0.3, read),
        _check("Fruitlets that stay, of ten measured", "THIN-GREENE, half of the fastest", 5,
               lambda: fruit.set_from_growth(growths, fastest=2).persisting, 0, read),
        _check("Growth a fruitlet needs to stay [mm]", "THIN-GREENE, half of the two fastest", 1.95,
               lambda: fruit.set_from_growth(growths, fastest=2).threshold, 1e-9, read),
        _check("Canopy photosynthesis, 8 MJ PAR, 14.5 h, leaf area 2 [g/m2/d]", "CARBON-LJ90", 23.45,
               lambda: carbon.canopy_photosynthesis(8, 14.5, 2), 0.02, memory),
        _check("Rate change at -25 g/d [share]", "THIN-PSU", -0.15, lambda: carbon.thinner_rate_change(-25), 0, read),
        _check("Rate change at +5 g/d [share]", "THIN-PSU", 0.30, lambda: carbon.thinner_rate_change(5), 0, read),
        _check("Rate change at -70 g/d [share]", "THIN-PSU", -0.50, lambda: carbon.thinner_rate_change(-70), 0, read),
        _check("Fruit respiration, 120 ng/g/s [mg/kg/h]", "FRUIT-RESP81", 432,
               lambda: carbon.fruit_respiration(120), 0.1, read),
        _check("Fruit respiration, 3 ng/g/s [mg/kg/h]", "FRUIT-RESP81", 10.8,
               lambda: carbon.fruit_respiration(3), 0.05, read),
        _check("Pollen tubes at 15 deg C, of the best", "TUBE-VITRO", 0.390, lambda: tube_growth(15), 0.001, read),
    ]  # fmt: skip
    for count, diameter in _BOXES:
        found.append(
            _check(f"Diameter of a {count} count fruit, 40 lb box, k 3.9e-4 [mm]", "LOAD-BOX", diameter,
                   partial(load.diameter_of_mass, load.mass_of_count(count), 3.9e-4), 3.0, read)
        )  # fmt: skip
    return found


def _leader() -> list[Check]:
    memory = Mark.MEMORY
    found = []
    for start, yearly, season, chance in _LEADERS:
        said = f"from {start} m at {yearly} m a year"
        forecast = partial(wire_forecast, start=start, yearly=yearly, wire=3.0)
        found += [
            _check(f"Mean season at 3 m {said}", "LEADER-MC", season,
                   lambda forecast=forecast: forecast().mean_season, 0.1, memory),
            _check(f"Chance of 3 m by season 3 {said}", "LEADER-MC", chance,
                   lambda forecast=forecast: forecast().chance_by[2], 0.02, memory),
        ]  # fmt: skip
    section = TrellisSection()
    found += [
        _check("Season at 3 m from 1.5 m at 0.60 m a year, no spread", RULE, 3,
               lambda: wire_forecast(start=1.5, yearly=0.60, wire=3.0, spread=0.0, trees=1).mean_season, 0, memory),
        _check("Leaf in which an 18 in whip on G.41 reaches a 3 m wire, third to fourth", RULE, 3.5,
               lambda: _leaf_at_wire("G.41"), 0.5, memory),
        _check("Leaf of its first crop worth picking, third to fourth", RULE, 3.5,
               lambda: _first_crop_leaf("G.41"), 0.5, memory),
        _check("Leaf of the first crop on seedling stock, 7 to 10", RULE, 8.5,
               lambda: _first_crop_leaf("Seedling (domestic)"), 1.5, memory),
        _check("Wires: four to train on and a low one for the water", RULE, 5,
               lambda: len(section.wire_heights) + (section.low_wire is not None), 0, memory),
        _check("Leader growth of a first leaf by the end of July, whip on M.9 [m]", "TRAIN-CORNELL12, 46-61 cm", 0.535,
               lambda: wire_forecast(start=0.46, yearly=0.60, wire=3.0, spread=0.0, trees=1).heights[0, 1] - 0.46,
               0.08, Mark.READ),
    ]  # fmt: skip
    return found
