"""Leader, trunk, fruit and crop held against trials, guides and the rules of the trade."""

from functools import cache, partial

import numpy as np

from topwire.catalogue.model import Catalogue, Grade, Mark
from topwire.catalogue.tables import read_tables
from topwire.checks import Check
from topwire.growth import carbon, fruit, leader, load, trunk
from topwire.growth.asked import TrialRow
from topwire.growth.bearing import HABITS
from topwire.growth.findings import TrialFigure, TrialLine
from topwire.growth.orchard import CropRule, Simulated, Stand, simulate
from topwire.growth.rows import LeafRow, LoadRow
from topwire.growth.stand import curve_of, first_flowering_leaf
from topwire.growth.trials import beside_trials
from topwire.growth.trunk import Floats
from topwire.plan.trees import TrellisSection
from topwire.values.units import Kind, to_si
from topwire.values.vigour import SCION_VIGOUR

RULE = "common practice, no source"
INCH = 25.4  # [mm]
BOX = 40 * 453.59237  # [g] net
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
    leaves = _catalogue().rows("yield_by_leaf", LeafRow)
    return tuple(curve_of(tuple(row.share for row in leaves if row.leaf >= 2)))


@cache
def trials() -> tuple[TrialLine, ...]:
    """Every trial of the catalogue beside our forecast for its trees."""
    mature = {row.item: row.load for row in _catalogue().rows("crop_load", LoadRow)}["mature yield"] / 10
    return beside_trials(_catalogue().rows("crop_trials", TrialRow), np.array(_curve()), mature)


def _trial_ratio(figure: TrialFigure, as_cropped: bool) -> float:
    lines = [line for line in trials() if line.figure is figure]
    ours = [(line.as_cropped if as_cropped else line.thinned_to_rule).value for line in lines]
    return float(np.mean(ours) / np.mean([line.published.value for line in lines]))


@cache
def _whips(stock: str) -> Simulated:
    """Whips of a medium scion, 0.46 m out of the graft, first flowers stripped, 3.0 m wire, medium soil."""
    row = _catalogue().rootstock[stock]
    habit = HABITS[Grade.LOW]
    one = np.ones(1)
    stand = Stand(
        vigour=one * (row.vigour or 1.0) * SCION_VIGOUR[Grade.MEDIUM],
        vigour_spread=one * 0.2,
        stock=np.zeros(1, dtype=np.int64),
        start=one * leader.START_WHIP,
        wire=3.0,
        load=one * habit.load,
        turning=one * habit.turning,
        late_share=one * habit.late_share,
        small=one,
        mass=one * 165.0,
        first_leaf=one * first_flowering_leaf(row.precocity, Grade.MEDIUM),
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
    read = Mark.READ
    guide = "LOAD-UMASS, trunk table"

    def target(inches: float, fruits: float) -> Floats:
        return load.fruit_target(trunk.area_of_diameter(inches * INCH), fruits)

    return [
        _check("Trunk area, 1 in across [cm2]", guide, 5.07, lambda: trunk.area_of_diameter(INCH), 0.01, read),
        _check("Trunk area, 2 in across [cm2]", guide, 20.27, lambda: trunk.area_of_diameter(2 * INCH), 0.03, read),
        _check("Trunk of 20.27 cm2 across [in]", guide, 2.0, lambda: trunk.diameter_of_area(20.27) / INCH, 0.002, read),
        _check("Fruits, 1 in, biennial", guide, 20, lambda: target(1, 4), 0, read),
        _check("Fruits, 1 in, annual", guide, 30, lambda: target(1, 6), 0, read),
        _check("Fruits, 3/4 in, biennial", guide, 11, lambda: target(0.75, 4), 0, read),
        _check("Fruits, 3 in, annual", guide, 274, lambda: target(3, 6), 0, read),
        _check("Fruits per cm2 of a bittersweet of 60 g, heavy habit", "LOAD-ZAKALIK, 6 to 9 tested, 9 worthwhile", 9,
               lambda: 4 * load.small_fruit(60, 4), 0, read),
        _check("Fruits on a trunk of 24.0 cm2 at 5", "LOAD-NIAB", 120, lambda: load.fruit_target(24.0, 5), 0, read),
        _check("Fruits on a trunk of 26.7 cm2 at 9", "LOAD-NIAB", 240, lambda: load.fruit_target(26.7, 9), 0.5, read),
        _check("Trunk of B.9 beside M.9 [%]", "ROOT-S1, table 12", 68,
               lambda: 100 * (_catalogue().rootstock["B.9"].vigour or 0), 1, read),
        _check("Trunk of G.890 beside M.9, ten sites [%]", "ROOT-S3, table 6", 220,
               lambda: 100 * (_catalogue().rootstock["G.890"].vigour or 0), 1, read),
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
        area += float(trunk.trunk_growth(stock * SCION_VIGOUR[Grade.LOW], fruits))
    return area


def _crop() -> list[Check]:
    read = Mark.READ
    goal = {row.leaf: row.goal_t_ha for row in _catalogue().rows("yield_by_leaf", LeafRow)}
    return [
        _check("Goal of leaf 2, 200 bu/acre [t/ha]", "YIELD-GFG13", _bushels(200), lambda: goal[2], 0.1, read),
        _check("Goals of the shipped curve, leaves 2 to 5 [t/ha]", "YIELD-GFG13, 3,000 bu/acre", _bushels(3000),
               lambda: sum(goal[leaf] for leaf in (2, 3, 4, 5)), 0.2, read),
        _check("Mature goal, 1,500 bu/acre [t/ha]", "YIELD-ROBINSON", _bushels(1500), lambda: goal[15], 0.1, read),
        _check("Height of nine stocks after five seasons, ours over trial", "ROOT-S1, table 9 (scion factor fitted)",
               1.0, lambda: _trial_ratio(TrialFigure.HEIGHT, False), 0.06, read),
        _check("Crop of nine stocks in leaf 5 when cropped as they were, ours over trial", "ROOT-S1, table 5", 1.0,
               lambda: _trial_ratio(TrialFigure.CROP_IN_LEAF_5, True), 0.15, read),
        _check("Crop of nine stocks to leaf 5 when cropped as they were, ours over trial", "ROOT-S1, table 5", 1.0,
               lambda: _trial_ratio(TrialFigure.CROP_TO_LEAF_5, True), 0.15, read),
        _check("Crop of nine stocks to leaf 5 when thinned to four per cm2, ours over trial", "ROOT-S1, table 5", 0.85,
               lambda: _trial_ratio(TrialFigure.CROP_TO_LEAF_5, False), 0.15, read),
    ]  # fmt: skip


def _fruit() -> list[Check]:
    read, memory = Mark.READ, Mark.MEMORY
    growths = [4.0, 3.8, 3.6, 3.4, 2.1, 1.8, 1.6, 1.2, 0.6, 0.2]
    found = [
        _check("Width of 35 % more fruit, 2 5/8 over 2 3/8 in", "LOAD-ONTBIN", 2.625 / 2.375,
               lambda: load.diameter_of_mass(1.35) / load.diameter_of_mass(1), 0.001, read),
        _check("Width of 20 % more fruit, 80 over 75 mm", "SIZE-GROWTH", 80 / 75,
               lambda: load.diameter_of_mass(1.2) / load.diameter_of_mass(1), 0.005, read),
        _check("Honeycrisp at 7 fruits per cm2 beside none", "LOAD-HC, 175 g over 300 g", 0.583,
               lambda: load.mass_under_load(1, 7, 4) / load.mass_under_load(1, 0, 4), 0.07, read),
        _check("Braeburn, heavy over light crop by our line, 8 against 0 per cm2",
               "LOAD-BRAEBURN, 225 g over 385 g", 0.584,
               lambda: load.mass_under_load(1, 8, 6) / load.mass_under_load(1, 0, 6), 0.06, read),
        _check("Fruitlets that stay, of ten measured", "THIN-GREENE, half of the fastest", 5,
               lambda: fruit.set_from_growth(growths, fastest=2).persisting, 0, read),
        _check("Growth a fruitlet needs to stay [mm]", "THIN-GREENE, half of the two fastest", 1.95,
               lambda: fruit.set_from_growth(growths, fastest=2).threshold, 1e-9, read),
        _check("Canopy photosynthesis, 8 MJ PAR, 14.5 h, leaf area 2 [g/m2/d]", "CARBON-LJ90", 23.45,
               lambda: carbon.canopy_photosynthesis(8, 14.5, 2), 0.02, memory),
    ]  # fmt: skip
    for count, diameter in _BOXES:
        found.append(
            _check(f"Diameter of a {count} count fruit, 40 lb box [mm]", "LOAD-BOX", diameter,
                   partial(load.diameter_of_mass, BOX / count), 3.0, read)
        )  # fmt: skip
    return found


def _leader() -> list[Check]:
    memory = Mark.MEMORY
    section = TrellisSection()
    start, full = leader.START_WHIP, leader.natural_height(1.0)
    return [
        _check("Leaf in which an 18 in whip on G.41 reaches a 3 m wire, third to fourth", RULE, 3.5,
               lambda: _leaf_at_wire("G.41"), 0.5, memory),
        _check("Leaf of its first crop worth picking, third to fourth", RULE, 3.5,
               lambda: _first_crop_leaf("G.41"), 0.5, memory),
        _check("Leaf of the first crop on seedling stock, 7 to 10", RULE, 8.5,
               lambda: _first_crop_leaf("Seedling (domestic)"), 1.5, memory),
        _check("Wires: four to train on and a low one for the water", RULE, 5,
               lambda: len(section.wire_heights) + (section.low_wire is not None), 0, memory),
        _check("Leader growth of a first leaf by the end of July, whip on M.9 [m]", "TRAIN-CORNELL12, 46-61 cm", 0.535,
               lambda: leader.next_height(start, leader.leader_growth(1.0), full) - start, 0.08, Mark.READ),
    ]  # fmt: skip
