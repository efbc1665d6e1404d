"""What has to be said with a forecast: pairs that stall, trees that alternate, what the figures rest on."""

from collections.abc import Sequence

import numpy as np

from topwire.growth.asked import YearsQuestion
from topwire.growth.findings import TrialFigure, TrialLine
from topwire.growth.leader import LEADER_GROWTH, START_WHIP
from topwire.growth.load import USUAL_MASS
from topwire.growth.orchard import Stand
from topwire.growth.sugar import FEW_YEARS, SugarYear, SugarYearIs
from topwire.growth.trunk import Floats
from topwire.values.notice import Measured, Notice, assumption, remark, warning
from topwire.values.traits import Grade
from topwire.values.units import Kind

STOCKS = "trees.rootstock_for"
SLOW_FROM = 7  # leaf of the top wire from which a pair counts as slow
_LATE_FLOWERS = 4


def forecast_notices(
    asked: YearsQuestion,
    stand: Stand,
    reaches: Floats,
    mature: float,
    trials: Sequence[TrialLine],
    sugar: Sequence[SugarYear],
) -> list[Notice]:
    """Every notice of the forecast; `mature` is the middle crop of the full-grown orchard [kg/m2]."""
    planted = [index for index, line in enumerate(asked.trees) if line.trees > 0]
    notices = _at_the_wire(asked, planted, reaches)
    late = [index for index in planted if stand.first_leaf[index] > _LATE_FLOWERS]
    if late:
        notices.append(remark("years.late_flowers", setting=STOCKS, concerns=_names(asked, late)))
    biennial = [index for index in planted if asked.trees[index].biennial is Grade.HIGH]
    notices += _biennial(asked, biennial)
    unknown = [index for index in planted if asked.trees[index].fruit_mass is None]
    if unknown:
        notices.append(
            assumption(
                "years.mass_unknown",
                setting="catalogue/cultivars.csv",
                concerns=_names(asked, unknown),
                mass=Measured(USUAL_MASS / 1000, Kind.SMALL_MASS),
            )
        )
    limits = asked.mature
    if planted and not limits.low <= mature <= limits.high:
        notices.append(
            warning(
                "years.unusual_crop",
                setting="catalogue/crop_load.csv",
                crop=_crop(mature),
                low=_crop(limits.low),
                high=_crop(limits.high),
            )
        )
    notices += _beside_trials(trials)
    notices += _sugar(sugar)
    notices += [
        assumption(
            "years.rests_on",
            setting="catalogue/crop_load.csv",
            source="YIELD-GFG13",
            crop=_crop(limits.middle),
            goal=_crop(max(asked.goal_by_leaf)),
            growth=Measured(LEADER_GROWTH, Kind.LENGTH, 1),
        ),
        assumption("years.well_kept"),
    ]
    if asked.whips:
        notices.append(
            assumption(
                "years.whips", setting="nursery.seasons", height=Measured(START_WHIP, Kind.SMALL_LENGTH)
            )
        )
    if asked.any_standing:
        notices.append(remark("years.standing"))
    return notices


def _biennial(asked: YearsQuestion, which: Sequence[int]) -> list[Notice]:
    """Cider fruit has no number on the gauge, so it is told apart."""
    return [
        warning(code, concerns=_names(asked, found), source="LOAD-YORK")
        for code, cider in (("years.biennial", False), ("years.biennial_cider", True))
        if (found := [index for index in which if asked.trees[index].for_cider is cider])
    ]


def _names(asked: YearsQuestion, which: Sequence[int]) -> list[str]:
    return [asked.trees[index].cultivar for index in which]


def _crop(figure: float) -> Measured:
    return Measured(figure, Kind.CROP, 0)


def _at_the_wire(asked: YearsQuestion, planted: Sequence[int], reaches: Floats) -> list[Notice]:
    """Pairs whose middle leader never gets to the top wire, or late."""
    never = [index for index in planted if np.isnan(reaches[index, 1])]
    slow = [index for index in planted if reaches[index, 1] >= SLOW_FROM]
    return [
        warning(
            code,
            setting=STOCKS,
            concerns=[f"{asked.trees[index].cultivar} on {asked.trees[index].rootstock}" for index in which],
            source="ROOT-S1",
        )
        for code, which in (("years.never_at_wire", never), ("years.slow_to_wire", slow))
        if which
    ]


def _beside_trials(trials: Sequence[TrialLine]) -> list[Notice]:
    weighed = [line for line in trials if line.figure is TrialFigure.CROP_TO_LEAF_5]
    if not weighed:
        return []
    return [
        remark(
            "years.beside_trials",
            source="ROOT-S1",
            stocks=len(weighed),
            thinned=float(np.mean([line.thinned_to_rule.value / line.published.value for line in weighed])),
            cropped=float(np.mean([line.as_cropped.value / line.published.value for line in weighed])),
        )
    ]


def _sugar(sugar: Sequence[SugarYear]) -> list[Notice]:
    """How far the place's years lie apart; too few of them say little."""
    if not sugar:
        return []
    if len(sugar) < FEW_YEARS:
        return [remark("years.sugar_few_years", setting="weather.files", years=len(sugar))]
    short = [line for line in sugar if line.stands is SugarYearIs.SHORT]
    return [
        remark(
            "years.sugar",
            source="CARBON-LJ90",
            years=len(sugar),
            made=float(np.mean([line.made / line.wanted for line in short])),
            short=tuple(str(line.year) for line in short),
        )
    ]
