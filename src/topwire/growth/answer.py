"""From the planted layout to the crop of each leaf."""

import numpy as np

from topwire.growth.asked import YearsQuestion
from topwire.growth.bearing import bearing_index, flowers_next_year
from topwire.growth.findings import CropForecast, FruitSize, RuleOutcome, YoungCrop
from topwire.growth.kitchen import kitchen_by_leaf
from topwire.growth.leader import START_WHIP
from topwire.growth.load import diameter_of_mass, fruit_target, mass_under_load
from topwire.growth.orchard import LEAVES, CropRule, Simulated, Stand, simulate
from topwire.growth.own_fruitlets import sets_of
from topwire.growth.stand import stand_of
from topwire.growth.sugar import SugarYear, sugar_years
from topwire.growth.telling import forecast_notices
from topwire.growth.training import FLAT, rules_of
from topwire.growth.trials import beside_trials
from topwire.growth.trunk import Floats, Integers, area_of_diameter, diameter_of_area
from topwire.growth.whip import WhipTraining, whip_training
from topwire.values.notice import CannotAnswer, refusal
from topwire.values.progress import Progress, silent

ORCHARDS = 2000
DRAWN = 200  # of them are handed on whole, for what hangs on a run of years
SEED = 11
GAUGE = (
    np.array([0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0]) * 25.4
)  # [mm] trunks across, whole steps in inches
_OVERLOADED = 1.5  # times the load a cultivar may carry
_MATURE_FROM = 10  # leaf from which a year counts as full-grown
_BEARING_FROM = 8  # and from which the swing from year to year is taken
_MM, _GRAM, _PER_CM2 = 1e-3, 1e-3, 1e4  # to m, kg, 1/m2


def answer(asked: YearsQuestion, progress: Progress = silent) -> CropForecast:
    """Height, trunk and crop of the new trees for 15 leaves, over simulated orchards in the place's weather years.

    Raises
    ------
    CannotAnswer
        When the place has no weather year to draw from.
    """
    if len(asked.years) == 0:
        raise CannotAnswer([refusal("years.no_year", setting="weather.files")])
    stand = stand_of(asked)
    frost = np.column_stack([line.crop_after_frost for line in asked.trees])
    good = _season_quality(asked.heat)
    progress("growing the orchards, and serving the kitchen from them")
    kept = CropRule(True)
    strict = simulate(stand, frost, good, kept, orchards=ORCHARDS, seed=SEED)
    light = simulate(stand, frost, good, CropRule(False), orchards=ORCHARDS // 4, seed=SEED)
    trees = np.array([line.trees for line in asked.trees], dtype=np.int64)
    total = strict.crop @ trees.astype(np.float32)
    orchard_kg = _band(total)
    ground = max(asked.areas.tree_ground, 1e-9)
    low, middle, high = (
        float(each) for each in np.percentile(total[:, _MATURE_FROM - 1 :] / ground, [10, 50, 90])
    )
    kg_per_tree = _band(strict.crop)
    by_row = np.array([line.by_row for line in asked.trees], dtype=np.float32)
    reaches = _percentile_leaf(strict.reached)
    targets = np.round(np.median(strict.target, axis=0).T).astype(float)
    sets, told = sets_of(asked.fruitlets, [line.cultivar for line in asked.trees], targets)
    trials = beside_trials(asked.trials, stand.curve, asked.mature.middle)
    sugar = _sugar(asked)
    swings = bearing_index(strict.crop[:, _BEARING_FROM - 1 :, :].transpose(0, 2, 1))
    return CropForecast(
        cultivars=tuple(line.cultivar for line in asked.trees),
        leaf=np.arange(1, LEAVES + 1),
        height=np.minimum(_band(strict.height), asked.wall_height),  # held there by the knife
        reaches_wire=reaches,
        kg_per_tree=kg_per_tree,
        orchard_kg=orchard_kg,
        fruit_target=targets,
        full_crop_kg_per_tree=kg_per_tree[:, :, 2].max(axis=1),
        mature_crop=(low, middle, high),
        notices=(*told, *forecast_notices(asked, stand, reaches, middle, trials, sugar)),
        areas=asked.areas,
        wire_height=stand.wire,
        vigour=stand.vigour,
        trees=trees,
        rows=asked.rows,
        row_kg=_band(strict.crop @ by_row),
        crop_on_ground=orchard_kg / ground,
        goal_on_ground=np.array(asked.goal_by_leaf),
        bearing_index=np.median(swings, axis=0).astype(float),
        trunk_width=_MM * diameter_of_area(np.median(strict.trunk, axis=0).T),
        gauge_width=_MM * GAUGE,
        gauge_fruits=fruit_target(area_of_diameter(GAUGE), (stand.load * stand.small)[:, None]),
        drawn_kg=np.round(total[:DRAWN].astype(float), 1),
        kitchen=kitchen_by_leaf(asked.kitchen, _share_of_full(asked, strict.crop)),
        sizes=_sizes(asked, stand),
        rules=(
            _outcome(YoungCrop.AT_THE_WIRE, strict, trees, True),
            _outcome(YoungCrop.LIGHT_FROM_SECOND_LEAF, light, trees, False),
        ),
        trials=trials,
        training=rules_of(
            asked.whips, asked.form, len(asked.wires), _stripped_to(asked, reaches[:, 1], kept.latest_strip)
        ),
        whips=_whips(asked, stand, strict),
        thinning=asked.thinning,
        sets=sets,
        sugar=sugar,
    )


def _stripped_to(asked: YearsQuestion, reaches: Floats, latest: int) -> int:
    """Last leaf with trees to strip: until the middle leader of every cultivar planted is at the wire, or `latest`."""
    planted = [leaf for leaf, line in zip(reaches, asked.trees, strict=True) if line.trees]
    return int(np.nan_to_num(np.minimum(planted, latest), nan=latest).max(initial=0))


def _whips(asked: YearsQuestion, stand: Stand, run: Simulated) -> WhipTraining | None:
    mine = [
        at
        for at, line in enumerate(asked.trees)
        if asked.whips and asked.form not in FLAT and line.own_graft and line.trees
    ]
    if not mine:
        return None
    return whip_training(
        run.height[:, :, mine],
        [asked.trees[at].trees for at in mine],
        START_WHIP,
        asked.wires,
        tuple(asked.trees[at].cultivar for at in mine),
        stand.vigour[mine],
    )


def _sugar(asked: YearsQuestion) -> tuple[SugarYear, ...]:
    bloom = np.column_stack([line.full_bloom for line in asked.trees])
    middle = np.array(
        [np.median(row[np.isfinite(row)]) if np.isfinite(row).any() else np.nan for row in bloom]
    )
    return sugar_years(asked.spring, asked.years, middle, latitude=asked.latitude)


def _share_of_full(asked: YearsQuestion, crop: Floats) -> Floats:
    """(cultivars of the kitchen, leaves) mean crop of a tree beside its full-grown one.

    The mean, so that all cultivars' together is the orchard's: in the first leaf that bears, less than half of each
    cultivar's springs may, while some of the orchard always does.

    Parameters
    ----------
    crop : (orchards drawn, leaves, cultivars)
    """
    at = {line.cultivar: index for index, line in enumerate(asked.trees)}
    mean = crop.mean(axis=0).T[[at[row.name] for row in asked.kitchen.supply.cultivars]].astype(float)
    full = np.median(mean[:, _MATURE_FROM - 1 :], axis=1, keepdims=True)
    return np.asarray(np.clip(np.divide(mean, full, out=np.zeros_like(mean), where=full > 0), 0.0, 1.0))


def _sizes(asked: YearsQuestion, stand: Stand) -> tuple[FruitSize, ...]:
    heavy = _OVERLOADED * stand.load
    masses = stand.mass, mass_under_load(stand.mass, heavy, stand.load)
    widths = [diameter_of_mass(mass) for mass in masses]
    flowers = [flowers_next_year(load, stand.turning) for load in (stand.load, heavy)]
    return tuple(
        FruitSize(
            line.cultivar,
            _PER_CM2 * float(stand.load[at] * stand.small[at]),
            _GRAM * float(masses[0][at]),
            _MM * float(widths[0][at]),
            float(flowers[0][at]),
            _GRAM * float(masses[1][at]),
            _MM * float(widths[1][at]),
            float(flowers[1][at]),
        )
        for at, line in enumerate(asked.trees)
    )


def _band(drawn: np.ndarray) -> Floats:
    """Low, middle, high over the drawn orchards (first axis), as the last axis; leaves come before it."""
    found = np.percentile(drawn, [10, 50, 90], axis=0).astype(float)
    return np.asarray(found.T if drawn.ndim == 2 else found.transpose(2, 1, 0))


def _season_quality(heat: Floats) -> Floats:
    """Growing seasons against the place's own mean: root of the heat sum's ratio (direction sure, power a proposal)."""
    mean = np.nanmean(heat)
    quality: Floats = np.sqrt(np.where(np.isfinite(heat), heat, mean) / mean)
    return quality


def _percentile_leaf(reached: np.ndarray) -> Floats:
    """Low, middle, high leaf at the wire by cultivar; NaN where those trees are not there within the leaves."""
    late = LEAVES + 1.0
    leaf = np.where(reached == 0, late, reached).astype(float)
    found = np.percentile(leaf, [10, 50, 90], axis=0, method="nearest").T
    return np.where(found < late, found, np.nan)


def _outcome(rule: YoungCrop, run: Simulated, trees: Integers, chosen: bool) -> RuleOutcome:
    weight = trees / max(int(trees.sum()), 1)
    there = run.reached > 0
    share = float((there.mean(axis=0) * weight).sum())
    leaf = float(((np.where(there, run.reached, 0).mean(axis=0)) * weight).sum())
    crop = run.crop.mean(axis=0) @ weight
    return RuleOutcome(
        rule,
        leaf / share if share > 0 else None,
        1 - share,
        float(crop[:5].sum()),
        float(crop[:10].sum()),
        chosen,
    )
