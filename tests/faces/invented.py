"""An invented Orchard of every department, for the tests of the faces: no science, only values of the right shape."""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from topwire.cellar.tanks import Vessel
from topwire.choice.findings import (
    Alternative,
    Batch,
    Batches,
    BlendMade,
    Choice,
    ChosenCultivar,
    Merit,
    Miss,
    Mixture,
    NearMiss,
    NeedLine,
    Proof,
    Reason,
    Rival,
    Rivalry,
    StandingAdvice,
)
from topwire.choice.scarce import More, PickingWeeks, Pinch, Pinched, TableAge, Worth
from topwire.engine.orchard import Orchard, Origin, StepRun
from topwire.growth.asked import ThinningRule
from topwire.growth.findings import (
    CropForecast,
    FruitSize,
    KitchenYear,
    RuleOutcome,
    SetAdvice,
    SetLine,
    TrialFigure,
    TrialLine,
    YoungCrop,
)
from topwire.growth.sugar import SugarYear, SugarYearIs
from topwire.growth.training import TrainingJob, TrainingRule
from topwire.layout.areas import Areas
from topwire.layout.findings import (
    BlockLight,
    Candidate,
    Gap,
    Ground,
    GroundBlock,
    GroundRow,
    Layout,
    RowRule,
    Run,
    SpacingLight,
    SpacingReason,
    Walks,
)
from topwire.layout.projection import to_degrees
from topwire.layout.stand import Terms
from topwire.learning.findings import CultivarLearnt, CultivarNow, EventLearnt, LearntDates, ThisYear
from topwire.ledger.findings import (
    BreakEven,
    Deepest,
    Job,
    JobKind,
    Ledger,
    Maturity,
    Moved,
    Ruin,
    Running,
    Sensitivity,
    ShortWeek,
    Sized,
    Spent,
    Sulphite,
    Task,
    WorkText,
)
from topwire.nursery.findings import (
    BatchTrouble,
    ChainSteps,
    GraftLine,
    NurseryFindings,
    NurseryJob,
    Policy,
    StockLine,
    TopworkLine,
    Trouble,
    Way,
    WorkDates,
)
from topwire.phenology.calibration import Teaching
from topwire.phenology.findings import Misfit, MisfitReason, OwnDatesUsed, PlaceSeasons, WarmerClimate
from topwire.press.answer import answer as press_answer
from topwire.press.asked import HarvestWay, MadeOfJuice, PressedCultivar, PressQuestion
from topwire.press.findings import PressFindings
from topwire.soil.covers import Cover, CoverWindow
from topwire.soil.feeding import Age, FeedLine, Leaf, LeafLine
from topwire.soil.findings import Dressing, Given, LimeBy, LimeLine, SoilFindings, SoilReading, WorkedIn
from topwire.soil.nutrients import Level, Nutrient
from topwire.trellis.cost_findings import ChoiceLine
from topwire.trellis.fence_findings import FenceSupport
from topwire.trellis.findings import TensionLine, TrellisFindings
from topwire.trellis.kinds import (
    BuildStep,
    CaseName,
    EndKind,
    FenceCure,
    RowLoad,
    SoilWater,
    TrellisPart,
    WindForm,
)
from topwire.trellis.row_findings import CaseLine, EndDetail, FailureGust, RowTrellis
from topwire.trellis.wind import WindExposure
from topwire.values import bill, notice
from topwire.values.address import TreeAddress
from topwire.values.bill import BillLine, SoldBy
from topwire.values.estimate import Estimate
from topwire.values.fault import warning
from topwire.values.mark import Mark
from topwire.values.notice import Measured
from topwire.values.price import Price
from topwire.values.terms import Blended, CiderClass, CiderStyle, Compass, PressKind, Use
from topwire.values.traits import Right
from topwire.values.units import Kind, UnitSystem
from topwire.water.findings import (
    BlockNeed,
    DripLine,
    LineHydraulics,
    LineTried,
    LossPart,
    NeedChange,
    PipeKind,
    PipeMap,
    PipePoint,
    PipeRun,
    PointKind,
    PressureLoss,
    QualityNote,
    Shortcoming,
    Store,
    StoreMonth,
    Trench,
    WaterDay,
    WaterJob,
    WaterPlan,
    Wetting,
    WhatIf,
    Zone,
)

NAMES = ("Gala", "GoldRush", "#panic(1) *Pippin*", "=Dabinett", "Yellow Transparent")
YEARS = np.arange(1990, 2002)
ORIGIN = (-78.16, 39.18)


def orchard(
    *, units: UnitSystem = UnitSystem.US, names: tuple[str, ...] = NAMES, rows: int = 4, places: int = 30
) -> Orchard:
    """A whole invented orchard of `rows` x `places` trees, cultivars in runs of equal length."""
    ground_ = ground(rows, places)
    layout_ = layout(ground_, names)
    trees = {name: layout_.trees_of(name) for name in names}
    return Orchard(
        origin=Origin(
            "Invented <orchard>", "0.0", "a" * 64, "b" * 64, "c" * 64, ORIGIN[1], ORIGIN[0], 210.0, units, 2027, "USD",
            ("weather/daily.csv",),
        ),
        place=place(names),
        learning=learning(names),
        ground=ground_,
        choice=choice(trees),
        press=press(),
        layout=layout_,
        years=years(trees),
        nursery=nursery(trees),
        trellis=trellis(ground_),
        water=water(ground_),
        soil=soil(),
        ledger=ledger(),
        steps=(StepRun("place", "k", 0.1), StepRun("ground", "k", None)),
        notices=(warning("weather/daily.csv", "12 days were filled.", "Look them over."),),
    )  # fmt: skip


def without(orchard_: Orchard, *departments: str) -> Orchard:
    """The same orchard with departments that could not run."""
    told = tuple(warning(name, "not computed, because it failed.") for name in departments)
    return replace(orchard_, notices=orchard_.notices + told, **dict.fromkeys(departments))


def learning(names: tuple[str, ...]) -> LearntDates:
    return LearntDates(
        used_until=None,
        learned=(OwnDatesUsed("bloom", 3, 2, 1.5, 1.9, {names[0]: -0.5}),),
        events=(EventLearnt("bloom", Teaching.OFFSET, 0.0, None, None),),
        cultivars=(CultivarLearnt(names[0], "bloom", 3, 1.0, 4.4, 3.9, 3.1, 2001, 4.0, 2.5),),
        this_year=ThisYear(
            2002, 210, 1, 2.5, (CultivarNow(names[0], True, Estimate(114.4, 115.0, 115.6), None),)
        ),
        notices=(notice.remark("learning.beside", setting="place.own_dates_until", dates=3, last=2001),),
    )


def place(names: tuple[str, ...]) -> PlaceSeasons:
    generator = np.random.default_rng(7)
    shape = (YEARS.size, len(names) + 1)
    shift = generator.normal(0, 6, (YEARS.size, 1))
    offset = np.linspace(-4, 6, shape[1])[None, :]
    bloom = 115 + shift + offset
    harvest = 250 + 0.5 * shift + 8 * offset
    bloom[0, 1] = np.nan
    kill = np.clip(generator.normal(0.2, 0.2, shape), 0, 1)
    return PlaceSeasons(
        years=YEARS,
        cultivars=(*names, "Never Chosen"),
        first_bloom=bloom - 4,
        full_bloom=bloom,
        petal_fall=bloom + 8,
        harvest_first=harvest,
        harvest_last=harvest + 12,
        bloom_kill=kill,
        crop_after_frost=1 - kill**3,
        green_tip=np.full(YEARS.size, 92.0),
        last_frost=118 + generator.normal(0, 7, YEARS.size),
        first_frost=290 + generator.normal(0, 7, YEARS.size),
        chill_portions=70 + generator.normal(0, 5, YEARS.size),
        heat_degree_days=1800 + generator.normal(0, 90, YEARS.size),
        coldest=-17 + generator.normal(0, 3, YEARS.size),
        hottest=35 + generator.normal(0, 1.5, YEARS.size),
        normals=np.column_stack(
            [
                12 - 14 * np.cos(np.arange(12) / 6 * np.pi) - 6,
                12 - 14 * np.cos(np.arange(12) / 6 * np.pi) + 6,
                np.full(12, 80.0),
            ]
        ),
        unusable_years=(1995,),
        worth_of_a_degree=np.full(shape[1], 0.03),
        unfit={"Never Chosen": (Misfit(MisfitReason.UNRIPE, 4, 10),)},
        today_from=1992,
        bloom_trend=-1.2,
        frost_years_today=0.1,
        warmer=(
            WarmerClimate(
                2.0, 61.0, np.nanmedian(bloom, axis=0) - 5, np.median(harvest, axis=0) - 6, 0.05, 0.15, ()
            ),
        ),
        bloom_error_days=4.3,
        harvest_error_days=7.0,
        bloom_error=np.full(shape[1], 4.3),
        harvest_error=np.full(shape[1], 7.0),
        offset_error=np.full(shape[1], 1.5),
        single_error=1.5,
        hardiness_zone="7a",
        notices=(notice.assumption("place.frost_by_the_screen"),),
        chill_hours=np.full(YEARS.size, 1200.0),
        utah_units=np.full(YEARS.size, 1100.0),
        growing_degree_hours=np.full(YEARS.size, 7000.0),
        sunburn_days=np.full(YEARS.size, 3.0),
        frost_chance=np.tile([0.5, 0.2, 0.1], (shape[1], 1)),
        winter_injury=np.zeros(shape[1]),
    )


def ground(rows: int, places: int) -> Ground:
    """One block of `rows` north-south rows, 3.6 m apart, trees every 0.9 m."""
    length = (places - 1) * 0.9 + 1.0
    made = tuple(
        GroundRow(
            "South", number, (3.6 * number, 0.0), (3.6 * number, length), 0.0, 1.0, 0.0, length, 0.9, 0.5, places,
            number in (1, rows), Compass.SOUTH,
        )
        for number in range(1, rows + 1)
    )  # fmt: skip
    width = 3.6 * (rows + 1)
    outline = np.array([[0.0, -7.0], [width, -7.0], [width, length + 7], [0.0, length + 7]])
    block = GroundBlock(
        "South", outline, (), width * (length + 14), 0.03, 180.0, 0.0, 3.6, 0.9, made,
        (
            Candidate(0.0, rows * places, 0.62, 0.66, 0.03, 0.0, None, True),
            Candidate(90.0, rows * places - 7, 0.58, 0.62, 0.0, 0.03, None, True),
        ),
        False, SpacingReason(False, False, "G.41", "M.9", "tall spindle", 3.0, 4.2, 3.2, 3.9, 4.2),
        light=BlockLight(
            1.6, 0.7, 0.7, 0.56, 0.58, (0.57, 0.32, 0.25), (0.37, 0.38), (Compass.WEST, Compass.EAST),
            np.arange(5.0, 19.0), np.full((3, 14), 0.5), (SpacingLight(3.6, RowRule.TAKEN, 0.71, 0.25),),
        ),
    )  # fmt: skip
    row = np.repeat(np.arange(rows), places)
    number = np.tile(np.arange(1, places + 1), rows)
    return Ground(
        origin_latitude=ORIGIN[1],
        origin_longitude=ORIGIN[0],
        blocks=(block,),
        block=np.zeros(rows * places, dtype=np.int64),
        row=row,
        place=number,
        x=3.6 * (row + 1.0),
        y=0.5 + 0.9 * (number - 1.0),
        height=(number - 1.0) / places,
        standing_cultivar=("",) * (rows * places),
        standing_rootstock=("",) * (rows * places),
        standing_year=np.zeros(rows * places, dtype=np.int64),
        wall_height=3.2,
        obstacles=(),
        gate=(0.0, -7.0),
        notices=(notice.assumption("ground.half_diffuse"),),
    )


def layout(ground_: Ground, names: tuple[str, ...]) -> Layout:
    """Runs of equal length in catalogue order; the last place of every row stays empty."""
    last = max(row.places for row in ground_.blocks[0].rows)
    cultivar = (ground_.place - 1 + ground_.row) * len(names) // (last + len(ground_.blocks[0].rows))
    cultivar = np.where(ground_.place == last, -1, cultivar)
    runs = []
    for row in ground_.blocks[0].rows:
        kinds = cultivar[ground_.row == row.number - 1]
        starts = [0, *(int(index) + 1 for index in np.flatnonzero(np.diff(kinds))), kinds.size]
        for first, after in pairwise(starts):
            if kinds[first] >= 0:
                runs.append(Run("South", row.number, first + 1, after, names[int(kinds[first])]))
    longitude, latitude = to_degrees(ground_.x, ground_.y, origin=ORIGIN)
    planted = cultivar >= 0
    return Layout(
        cultivars=names,
        codes=tuple(name[:3] for name in names),
        cultivar=cultivar,
        rootstock=("G.41",) * len(names),
        year_planted=np.where(planted, 2027, 0),
        standing=np.zeros(cultivar.size, dtype=bool),
        longitude=longitude,
        latitude=latitude,
        along_row=0.5 + 0.9 * (ground_.place - 1.0),
        pollen=np.where(planted, 1.4, np.nan),
        donors_in_reach=np.where(planted, 3, 0),
        pollen_chance=np.where(planted, 0.8, 0.0),
        pollen_without_best=np.where(planted, 1.0, 0.0),
        known_donor=planted,
        runs=tuple(runs),
        walks=Walks(1500.0, 1700.0, 2600.0, 4200.0),
        gaps=(Gap(TreeAddress("South", 1, 30), 30, "Gala", ()),),
        hours=Terms(3.1, 0.0, 0.4, 0.0, 0.3, 0.6, 0.2, 0.1, 0.0),
        tried=900,
        exact=False,
        pollen_good_years=0.93,
        early_above=0.4,
        asked="",
        from_last=False,
        moved=(),
        notices=(),
    )


def choice(trees: dict[str, int]) -> Choice:
    generator = np.random.default_rng(3)
    names = tuple(trees)
    weeks = np.arange(1, 53)
    wanted = np.where((weeks >= 30) | (weeks <= 20), 38.0, 0.0)
    served = wanted * np.clip(generator.normal(0.95, 0.1, (YEARS.size, 52)), 0, 1)
    cider = np.where((weeks >= 36) & (weeks <= 48), 150.0, 0.0)
    return Choice(
        chosen=tuple(
            ChosenCultivar(
                name, trees[name], 0, "G.41", name != "GoldRush", (33 + index, 34 + index),
                {"fresh": 300.0, "sauce": 120.0}, tuple(other for other in names if other != name)[:3],
                0, 120.0 - 20 * index,
                (Reason(Merit.CARRIES_TABLE, number=36), Reason(Merit.SERVES, uses=(Use.FRESH, Use.PIE))),
            )
            for index, name in enumerate(names)
        ),
        near_misses=(NearMiss("Never Chosen", Miss.OTHERS_SERVE, ("Gala",), 14.0),),
        years=YEARS,
        needs=(
            NeedLine(Use.FRESH, None, False, 38.0, True, 208, 134, None, None, 3.0, wanted, served),
            NeedLine(
                Use.CIDER, CiderClass.BITTERSWEET, False, 1950.0, False, 246, 340, None, None, 1.0, cider,
                0.9 * np.tile(cider, (YEARS.size, 1)),
            ),
        ),
        board=generator.integers(2, 6, (YEARS.size, 52)),
        board_wanted=np.where(wanted > 0, 3, 0),
        harvest=generator.uniform(200, 500, (YEARS.size, len(names))),
        waste=generator.uniform(10, 60, YEARS.size),
        stored=generator.uniform(0, 900, (YEARS.size, 52)),
        trees=sum(trees.values()),
        objective=210.0,
        bound=208.5,
        gap=0.007,
        unavoidable=55.0,
        yield_per_tree=np.full(len(names), 13.0),
        proof=Proof(
            YEARS.size, 2,
            (
                Rival(Rivalry.OURS, 120.0, 210.0, (200.0, 220.0), 380.0, 400.0),
                Rival(Rivalry.POPULAR, 120.0, 640.0, (600.0, 680.0), 900.0, 1000.0),
            ),
        ),
        shortfall=200.0,
        batches=Batches(
            (Batch(2027, (("Gala", 40), ("Fuji", 20)), 20, ("Fuji",)), Batch(2028, (("GoldRush", 30),), 0, ())),
            planned=True, loses=900.0, gains=120.0, young_years=9,
        ),
        standing=(StandingAdvice("Red Delicious", 8, 40.0, 0, (("Gala", 8),)),),
        alternatives=(Alternative(("Gala",), ("Never Chosen",), 3.0),),
        worth=(Worth(More.TREES, 50.0, 61.0),),
        pinches=(Pinched(0, 12.0, 2, ((Pinch.CELLAR, 0.7), (Pinch.OTHERS, 0.3)), "Never Chosen"),),
        picking=PickingWeeks(np.eye(52)[38] * 40.0 + np.eye(52)[39] * 20.0, np.eye(52)[38] * 50.0, 60.0, 3.0),
        table_age=TableAge(np.eye(52)[45] * 12.0, np.eye(52)[45] * 8.5, np.eye(52)[45] * 0.4),
        notices=(notice.caution("choice.pressed_is_food", source="KSU"),),
    )  # fmt: skip


def years(trees: dict[str, int]) -> CropForecast:
    leaf = np.arange(1, 16)
    grown = np.clip((leaf - 2) / 5, 0, 1)[None, :, None] * np.array([0.7, 1.0, 1.3])
    per_tree = np.repeat(13.0 * grown, len(trees), axis=0)
    height = np.minimum(0.9 + 0.6 * leaf[None, :, None] * np.array([0.8, 1.0, 1.2]), 3.0)
    count = sum(trees.values())
    return CropForecast(
        cultivars=tuple(trees),
        leaf=leaf,
        height=np.repeat(height, len(trees), axis=0),
        reaches_wire=np.tile([3.0, 4.0, np.nan], (len(trees), 1)),
        kg_per_tree=per_tree,
        orchard_kg=per_tree[0] * count,
        fruit_target=np.tile(np.clip((leaf - 2) * 20.0, 0, 90), (len(trees), 1)),
        full_crop_kg_per_tree=np.full(len(trees), 18.0),
        mature_crop=(2.2, 3.1, 4.0),
        notices=(notice.caution("years.standing"),),
        areas=Areas(5000.0, 3900.0, 5800.0, 310.0),
        wire_height=3.0,
        vigour=np.full(len(trees), 1.1),
        trees=np.array(list(trees.values())),
        rows=("South 1",),
        row_kg=per_tree[:1] * 30,
        crop_on_ground=np.outer(per_tree[0, :, 1], [0.16, 0.23, 0.3]),
        goal_on_ground=np.linspace(0, 7, leaf.size),
        bearing_index=np.full(len(trees), 0.2),
        trunk_width=np.tile(0.015 + 0.003 * leaf, (len(trees), 1)),
        gauge_width=np.array([0.0127, 0.0254]),
        gauge_fruits=np.tile([5.0, 20.0], (len(trees), 1)),
        kitchen=(KitchenYear(3, 2030, (0.2, 0.0)), KitchenYear(8, 2035, (0.9, 0.9))),
        sizes=(FruitSize("Gala", 6e4, 0.17, 0.075, 0.9, 0.14, 0.07, 0.4),),
        rules=(RuleOutcome(YoungCrop.AT_THE_WIRE, 3.6, 0.02, 9.0, 61.0, True),),
        trials=(
            TrialLine(
                "invented trial, G.41", TrialFigure.CROP_IN_LEAF_5, Measured(6.0, Kind.MASS, 1),
                Measured(5.5, Kind.MASS, 1), Measured(6.4, Kind.MASS, 1), "ROOT-S1",
            ),
        ),
        training=(TrainingRule(TrainingJob.TIE_FEATHERS, 1, 3, "TRAIN-PLAN"),),
        thinning=(ThinningRule("invented", "twenty fruits [1 cm|1/2 in] wide", "take off ten", None, "proposal"),),
        sugar=(
            SugarYear(1999, 128, 146, 0.8, 1.1, 0.0, SugarYearIs.SHORT),
            SugarYear(2000, 130, 148, 1.1, 0.9, 1.0, SugarYearIs.AMPLE),
        ),
        sets=(SetLine("Gala", 60, 24, 0.4, 88.0, 80.0, SetAdvice.LEAVE),),
    )  # fmt: skip


def nursery(trees: dict[str, int]) -> NurseryFindings:
    right = {"GoldRush": Right.LICENSED}
    return NurseryFindings(
        lines=tuple(
            GraftLine(
                name, "G.41", count, right.get(name, Right.FREE), 0 if name in right else int(count * 1.4),
                count if name in right else 0, 0.953, 6, None if name in right else 1.0, None if name in right else 4.0,
                (), 0.78, 3 * count, count,
            )
            for name, count in trees.items()
        ),
        stocks=(StockLine("G.41", 190, True),),
        steps=ChainSteps(0.9, 0.97, 0.88, 0.98),
        chain=0.78,
        take_range=(0.8, 0.93),
        joint_chance=0.81,
        policies=(
            Policy(Way.ALONE, 150, 0, 0.0, 0.81, 0.0, 3.0, 812.5, True),
            Policy(Way.TOGETHER, 190, 0, 0.0, 0.95, 0.0, 2.0, 1012.5, False),
        ),
        troubles=(BatchTrouble(Trouble.BAD_WEEK, 0.4, 9.0),),
        spare_stocks=0,
        spare_stock="G.41",
        lot_correlation=0.02,
        nursery_rows=2,
        nursery_area=60.0,
        nursery_row_length=58.0,
        bench_hours=12.0,
        care_hours=30.0,
        cost=812.5,
        currency="USD",
        dates=(WorkDates(NurseryJob.CUT_WOOD, "2026-02-01", "2026-02-20"),),
        topworking=(TopworkLine("Red Delicious", "M.9", 8, 40, 10.0, 0.9, 30.0, 61.0),),
        wood=(),
        notices=(notice.caution("nursery.knives"),),
    )  # fmt: skip


def trellis(ground_: Ground) -> TrellisFindings:
    rows = ground_.blocks[0].rows
    end = EndDetail(
        EndKind.TIE_BACK, "pine 6-7 in", 0.15, 4.2, 1.1, 20.0, "helical anchor 8 in", 1, 2.4, 1.2, 5200.0, 9800.0,
    )  # fmt: skip
    cropped, soaked = RowLoad.CROPPED, SoilWater.SOAKED
    return TrellisFindings(
        rows=(
            RowTrellis(
                rows=tuple(f"South {row.number}" for row in rows), length=rows[0].length, outer=True, spans=4,
                post_spacing=rows[0].length / 4, post="pine 4-5 in", post_diameter=0.11, post_length=4.0,
                post_depth=0.9, end=end, far_end=None, wire="2.5 mm high tensile", wire_heights=(0.9, 1.6, 2.3, 3.0),
                low_wire=0.45,
                pretension=700.0, crop_per_metre=21.0, loaded_tension=1900.0, share_of_breaking=0.32, sag=0.045,
                gusts=(
                    FailureGust(TrellisPart.POSTS_BREAK, None, cropped, soaked, True, 22.0, 25.0, 29.0),
                    FailureGust(TrellisPart.END_ANCHOR, None, cropped, soaked, True, 27.0, 31.0, 35.0),
                ),
                cases=(
                    CaseLine(CaseName.STILL, 0.5, True, 1e-8, 1300.0, 0.22, 0.022, 0.01, 360.0, 0.06, 2800.0),
                    CaseLine(CaseName.LOST_POST, 0.75, False, 4e3, None, None, None, None, None, None, None),
                ),
                positions=tuple(rows[0].length / 4 * number for number in range(5)),
                trees=tuple(0.5 + 0.9 * number for number in range(rows[0].places)),
                lost=(1, 2), code_depth=2.6,
                code_force=600.0, ultimate_force=2400.0, design_force=1100.0, force_height=1.9, bill=(), cost=410.0,
                labour_hours=20.0, stands=True, creep=None,
            ),
        ),
        choices=(ChoiceLine(50, 40.0, 1640.0, 0.33, True), ChoiceLine(300, 52.0, None, 0.06, False)),
        common_build=(FailureGust(TrellisPart.POSTS_TIP, None, cropped, soaked, True, 11.0, 14.0, 18.0),),
        fences=(
            FenceSupport(
                row="Fence 1", wire_heights=(0.76, 1.3, 1.83), fixings=15, fixing_spacing=1.8, run=7.2,
                spacing_known=True,
                pull_on_fixing=180.0, eye_share=0.15, pull_at_end=1400.0, end_moment=2100.0, moment_per_metre=300.0,
                wall_moment_per_metre=900.0, post_needed="pine 100 mm x 3.0 m", post_every=1.8, pretension=450.0,
                cure=FenceCure.STRUTS, cure_cost=77.0, strut="pine 80 mm x 3.0 m", end_thickness=0.12, post_depth=0.9,
                depth_known=False, ground_share=2.4, end_depth=1.5, leaves_share=0.2, wall_share=0.5, end_share=1.47,
                cured_share=0.3, strut_reaches=(1.85, 1.85),
            ),
        ),
        design_gust=40.0,
        gust_50=40.0,
        mean_50=None,
        wind_form=WindForm.GUST,
        exposure=WindExposure.C,
        return_period=50,
        tension_table=(TensionLine(-10.0, 1000.0), TensionLine(10.0, 700.0), TensionLine(30.0, 450.0)),
        bill=(
            BillLine("line post, pine 4-5 in, 4 m", 12, SoldBy.PIECE, 14.5, "", Mark.OWN),
            BillLine("strainer", 20, SoldBy.PIECE, None),
        ),
        cost=1640.0,
        currency="USD",
        labour_hours=62.0,
        build_order=(BuildStep.LOCATE, BuildStep.TIE_BACKS, BuildStep.UNREEL),
        notices=(notice.caution("trellis.no_engineering"), notice.caution("trellis.wire_whips")),
    )  # fmt: skip


def water(ground_: Ground) -> WaterPlan:
    weeks = np.arange(1, 53)
    season = np.clip(np.sin((weeks - 14) / 26 * np.pi), 0, None) * 9
    hours = np.stack([share * np.stack([season, 1.3 * season]) for share in (0.4, 0.6, 0.8, 0.9, 1.0, 1.0)])
    return WaterPlan(
        reference_et=np.outer(2.5 - 2 * np.cos(np.arange(12) / 6 * np.pi), [0.9, 1.0, 1.1]),
        peak_need=(0.009, 0.011, 0.014),
        years=YEARS,
        season_need=np.linspace(60, 140, YEARS.size),
        need_by_leaf=np.linspace(10, 100, 15),
        emitter="2.3 L/h, compensating",
        hydraulics=LineHydraulics(0.0138, 0.1, 5.7e-7, 0.05, 5.0),
        emitters_per_tree=1.0,
        longest_row=140.0,
        zones=(
            Zone(
                name="zone 1", block="South", rows=tuple(f"South {row.number}" for row in ground_.blocks[0].rows),
                trees=116, flow=7.4e-5, pressure=1.2e5, uniformity=0.94, lowest_quarter=0.99,
                manifold=("25 mm",), peak_hours=3.2, runs_in_set=1, valve=(0.0, 0.0, 0.0), least_pressure=6e4,
                most_pressure=1.1e5, emitters=116, flow_per_tree=6.4e-7,
                lines=tuple(
                    DripLine(f"South {row.number}", (*row.start, 0.0), (0.0, 1.0), 0.5, 0.45, 0.0, 0.9, 29)
                    for row in ground_.blocks[0].rows
                ),
                manifold_above=tuple(range(-1, len(ground_.blocks[0].rows) - 1)),
                manifold_lengths=(0.0,) + (3.5,) * (len(ground_.blocks[0].rows) - 1),
                manifold_diameters=(0.0,) + (0.021,) * (len(ground_.blocks[0].rows) - 1),
            ),
        ),
        most_flow=7.4e-5,
        pressure_wanted=3.04e5,
        source_pressure=3.1e5,
        booster_pressure=0.0,
        booster_power=0.0,
        source_enough=True,
        hours_at_peak=3.2,
        hours_allowed=16.0,
        zone_hours=hours[np.newaxis],
        storage_wanted=140.0,
        store=Store(150.0, 75.0, 1, True, tuple(StoreMonth(5.0, 3.0, 4.0, 12.0, 90.0, 40.0) for _ in range(12))),
        blocks=(
            BlockNeed(
                block="South", leaf=1, ground_cover=0.04, coefficient=0.3,
                wetting=Wetting(0.48, 0.4, 0.02, 0.1, 0.7, 0.25, 0.12),
                readily_available=0.0085, season=(0.24, 0.3, 0.36), peak=(0.0026, 0.003, 0.0033), waterings=60.0,
                each=0.005, hours_each=2.2,
            ),
        ),
        what_ifs=(WhatIf(NeedChange.MULCH, (0.5, 0.7, 0.9), (0.0, 0.0, 0.03)),),
        calendar=(
            WaterDay(WaterJob.OPEN, 86), WaterDay(WaterJob.BEGIN, 106), WaterDay(WaterJob.LAST, 290),
            WaterDay(WaterJob.EMPTY, 300),
        ),
        losses=(PressureLoss(LossPart.HEIGHT, "", 6e4), PressureLoss(LossPart.FITTING, "filter", 4e4)),
        pipes=PipeMap(
            -2.0,
            30.0,
            (PipeRun(PipeKind.MAIN, "", "25 mm", None, (0.0, 0.0, 0.0), 30.0, 0.021, 7.4e-5),),
            (
                PipePoint(PointKind.ARRIVAL, "", (0.0, 0.0, 0.0)),
                PipePoint(PointKind.VALVE, "zone 1", (0.0, 0.0, 0.0)),
            ),
            Trench(0.5, 0.4, True),
        ),
        lines_tried=(
            LineTried("plain line 16 mm", None, (Shortcoming.DEARER,), 3.0, None),
            LineTried("other line", 610.0, (), 3.2, 3.0e5),
        ),
        quality=(QualityNote("chloride", "mg/L", 70.0, 175.0, ("burns leaves", "have it analysed"), "FAO29"),),
        bill=(bill.BillLine("drip line 16 mm", 120.0, bill.SoldBy.LENGTH, 0.4),),
        cost=48.0,
        water_cost_per_year=22.0,
        notices=(notice.caution("water.flows_back", tap=False),),
    )  # fmt: skip


def press() -> PressFindings:
    """One cider of the two invented cultivars, in a tank and a barrel."""
    season = Mixture(
        0, 600.0, 5.5, 0.4, 1.4, 0.3, 13.0, 0.8, 0.5, (("Gala", 0.5), ("GoldRush", 0.5)), 3.5, 0.1
    )
    made = BlendMade(
        0, Blended.STILL_DRY, 2020, season, (replace(season, week=41),), (), 1.0, True, (6.0, 7.0), (), 0.7,
        pressed=True, style=CiderStyle.STILL_DRY, volume=0.35, by_year=np.full(3, 600.0), by_week=np.eye(52)[40] * 600,
    )  # fmt: skip
    price = Price("cider sold still", 8.0, "USD", "proposal", "", 5.0, 13.0)
    return press_answer(
        PressQuestion(
            years=np.arange(2018, 2021),
            blends=(made,),
            press=PressKind.BASKET,
            juice=(0.45, 0.5, 0.6),
            own_juice=False,
            ends=None,
            a_day=400.0,
            days_a_week=2,
            styles={
                "still dry cider": MadeOfJuice(
                    CiderStyle.STILL_DRY, 0.94, (0.998, 1.002), (16, 30), 2.5, price, "LEA-CRAFT", "MEMORY"
                )
            },
            vessels=(Vessel("tank 1", 0.2), Vessel("barrel 1", 0.06, True), Vessel("tank 2", 0.05)),
            cultivars=(
                PressedCultivar("Gala", None, 255.0, 262.0, 0.0, 60.0, None, None, 1.0),
                PressedCultivar("GoldRush", None, 290.0, 297.0, 0.0, 90.0, None, None, 1.0),
            ),
            ways=(HarvestWay("by hand", 1, 1, 1, 1.0, "no", "Ladder on firm ground.", None, "proposal"),),
            pressing_rate=120.0,
            picking_rate=110.0,
            bought=Price("cider apples", 1.1, "USD", "proposal"),
            making=Price("cider making", 2.2, "USD", "proposal"),
            juice_worth=Price("juice made", 3.6, "USD", "proposal"),
            currency="USD",
            wage=18.0,
        )
    )


def soil() -> SoilFindings:
    return SoilFindings(
        tested=True,
        readings=(SoilReading(Nutrient.POTASSIUM, 90.0, 150.0, 250.0, Level.LOW, "SOIL-WSU119"),),
        lime=(LimeLine(LimeBy.ACIDITY, 0.7, 0.93, True, "LIME-PSU"),),
        dolomitic=False,
        dressings=(Dressing(23, 0.465, 465.0), Dressing(17, 0.465, 465.0)),
        amounts=(WorkedIn(Given.POTASH, 36.0, 60.0, "SOIL-RB209"),),
        covers=(CoverWindow(Cover.RYE, 288.0, 323.0, 0.01, 0.0125, "COVER-CORNELL"),),
        feeding=(FeedLine(1, 0.009, 1.05, 0.0197),),
        leaf=(LeafLine(Leaf.NITROGEN, Age.YOUNG, 2.4, 2.6, None, None, "LEAF-WSU"),),
        area=1000.0,
        bill=(BillLine("ground lime", 930.0, SoldBy.KILOGRAM, 0.09, "", Mark.MEMORY),),
        cost=83.7,
        currency="USD",
        notices=(notice.caution("soil.dust"),),
    )


def ledger() -> Ledger:
    horizon = 12
    weeks = np.arange(1, 53)
    pick = np.where((weeks > 32) & (weeks < 44), 20.0, 0.0)[None, :] * np.linspace(0, 1, horizon)[:, None]
    plant = np.zeros((horizon, 52))
    plant[0, 44] = 130.0
    cash = np.linspace(-1, 1, horizon)[:, None] * np.array([1800.0, 2400.0, 3000.0])
    return Ledger(
        currency="USD",
        tasks=(Task("picking", pick), Task("planting", plant)),
        hands_hours_per_week=120.0,
        areas=Areas(4200.0, 3900.0, 5600.0, 310.0),
        short_weeks=(ShortWeek(0, 45, 10.0),),
        establishment={Spent.TREES: 812.5, Spent.TRELLIS: 1640.0, Spent.IRRIGATION: 530.0},
        yearly_cost=np.full(horizon, 900.0),
        value=np.maximum(cash + 900, 0),
        cash_flow=cash,
        npv=(-900.0, 2100.0, 5200.0),
        payback_year=9,
        payback_discounted=None,
        internal_rate=0.07,
        sensitivity=(Sensitivity(Moved.PRICES, 900.0, 3300.0),),
        value_by_use={"fresh": 3000.0, "surplus": 200.0},
        cost_by_kind={Running.WORK: 600.0, Running.WATER: 300.0},
        outdoor_hours=120.0,
        break_even=BreakEven(3000.0, 1.07, 0.3, 843.0),
        beside=(),
        sulphite=(Sulphite(3.4, 0.032),),
        works=(
            WorkText("planting", "plant", "graft union a hand above the soil; water in", "", "spade"),
            WorkText("dormant pruning", "prune", "take out the largest limbs",
                     "Ladders: firm ground, three points held.", "saw"),
        ),
        calendar=(
            Job("planting", JobKind.TABLE, "planting", "", None, "2027-11-01", "2027-11-20", "2027-11-30",
                "last_harvest", 5, (), 0.0, 130.0, 3),
            Job("bench_graft", JobKind.NURSERY, "bench_graft", "", None, "2027-03-01", "2027-03-29", "2027-04-10",
                "", 0, (), 0.0, 20.0, 2),
            Job("dormant pruning.10", JobKind.TABLE, "dormant pruning", "", 10, "2037-01-10", "2037-03-10",
                "2037-03-10", "", 0, ("planting",), 0.0, 60.0, 2),
            Job("pick.GoldRush.10", JobKind.PICK, "pick", "GoldRush", 10, "2037-10-10", "2037-10-20", "2037-10-20",
                "", 0, (), 0.0, 40.0, 3, Maturity(3, 6, 7.3, 8.2, True)),
        ),
        planted_in_spring=False,
        late=(),
        goods=(),
        yearly=(),
        tools=(),
        capital=(),
        money_year=2024,
        deepest=(Deepest(2027, 9000.0, 2500.0),) * 3,
        ruins=(Ruin(Moved.CROP, -200.0),),
        notices=(notice.assumption("ledger.valued"),),
        sizes=(
            Sized(20, 2, 1800.0, 170.0, 1400.0, 0.6, 0.5, False),
            Sized(48, 3, 4200.0, 260.0, 2982.5, 0.9, 0.7, True),
        ),
        targets=((0.75, Sized(34, 2, 2975.0, 219.0, 2200.0, 0.75, 0.6, False)), (0.95, None)),
        years=2027 + np.arange(horizon),
    )  # fmt: skip
