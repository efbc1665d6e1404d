"""What the place has to tell beside its figures."""

import numpy as np

from topwire.phenology.asked import PlaceQuestion
from topwire.phenology.calibration import FITTED_CHILL
from topwire.phenology.findings import MisfitReason, PlaceSeasons
from topwire.phenology.injury import AFTER_THAW
from topwire.phenology.judgement import WINTER_INJURY
from topwire.phenology.spring import HARDER_FROST
from topwire.phenology.traits import REFERENCE, Traits
from topwire.values.notice import Measured, Notice, assumption, caution, remark, warning
from topwire.values.quantities import Plain
from topwire.values.units import Kind
from topwire.weather.cell import CELL_MATTERS

FEW_YEARS = 10
WARM_WINTER = -18.0  # [deg C] yearly minimum under which few portions come from frost, not from warmth
FITTED_LATITUDE = (33.0, 51.0)  # degrees, of the fitted places


def place_notices(
    asked: PlaceQuestion,
    found: PlaceSeasons,
    traits: Traits,
    chill_missed: int,
) -> list[Notice]:
    """Every notice of the place; `chill_missed` are the years in which the reference cultivar lacks chill."""
    return [
        *_record(found),
        *_bloom(asked, found, chill_missed),
        *_fit(found, traits),
        *_cold(asked, found),
        *_climate(found),
        *_walls(found),
        *_evidence(asked, found, traits),
    ]


def _walls(found: PlaceSeasons) -> list[Notice]:
    """What the warmth of each wall may do, and that the dates of the plan are those of open ground."""
    return [
        assumption(
            "place.wall",
            setting="ground.blocks",
            source="WALL-HEAT",
            concerns=(one.wall.name,),
            warm_low=Measured(one.wall.low, Kind.TEMPERATURE_STEP, 1),
            warm_high=Measured(one.wall.high, Kind.TEMPERATURE_STEP, 1),
            bloom_low=max(0, round(one.bloom_sooner[0])),
            bloom_high=max(1, round(one.bloom_sooner[1])),
            ripe_low=max(0, round(one.ripe_sooner[0])),
            ripe_high=max(1, round(one.ripe_sooner[1])),
            frost_open=one.frost_open,
            frost_low=one.frost[0],
            frost_high=one.frost[1],
            burnt_open=round(one.sunburn_open),
            burnt_low=round(one.sunburn[0]),
            burnt_high=round(one.sunburn[1]),
        )
        for one in found.walls
    ]


def _record(found: PlaceSeasons) -> list[Notice]:
    told = []
    if found.unusable_years:
        years = tuple(str(year) for year in found.unusable_years)
        told.append(warning("place.years_left_out", setting="weather.files", years=years, count=len(years)))
    if found.years.size < FEW_YEARS:
        told.append(warning("place.few_years", setting="weather.files", years=int(found.years.size)))
    return told


def _bloom(asked: PlaceQuestion, found: PlaceSeasons, chill_missed: int) -> list[Notice]:
    told = []
    if chill_missed:
        told.append(
            warning(
                "place.chill_missed",
                setting="taste.must_not_have",
                concerns=(REFERENCE,),
                source="OVERLAP2017",
                missed=chill_missed,
                years=int(found.years.size),
            )
        )
    middle = float(np.median(found.chill_portions))
    if middle < FITTED_CHILL and float(np.median(found.coldest)) > WARM_WINTER:
        told.append(warning("place.warm_winters", source="OVERLAP2017", portions=round(middle)))
    if not FITTED_LATITUDE[0] <= asked.latitude <= FITTED_LATITUDE[1]:
        told.append(
            assumption(
                "place.far_latitude",
                setting="place.latitude",
                latitude=asked.latitude,
            )
        )
    return told


def _fit(found: PlaceSeasons, traits: Traits) -> list[Notice]:
    told = []
    for reason in MisfitReason:
        names = [name for name, why in found.unfit.items() if any(one.reason is reason for one in why)]
        if names:
            told.append(remark("place.does_not_fit", concerns=names, reason=reason.value))
    unknown = [name for name, days in zip(traits.names, traits.harvest_offset, strict=True) if np.isnan(days)]
    if unknown:
        told.append(remark("place.harvest_unknown", concerns=unknown))
    return told


def _cold(asked: PlaceQuestion, found: PlaceSeasons) -> list[Notice]:
    told = []
    lowest = float(np.min(found.coldest))
    if lowest <= AFTER_THAW:
        told.append(
            warning(
                "place.wood_after_thaw",
                source="BRAEBURN1995",
                lowest=Measured(lowest, Kind.TEMPERATURE),
                limit=Measured(AFTER_THAW, Kind.TEMPERATURE),
            )
        )
    for name in asked.rootstocks:
        share = found.root_injury.get(name)
        if share is None:
            told.append(remark("place.roots_unknown", setting="trees.rootstock", concerns=(name,)))
        elif share > WINTER_INJURY:
            told.append(
                warning(
                    "place.roots_in_cold",
                    setting="trees.rootstock",
                    concerns=(name,),
                    source="MORAN2011",
                    share=Measured(share, Plain.SHARE),
                )
            )
    return told


def _climate(found: PlaceSeasons) -> list[Notice]:
    """What stands for today, and what becomes of frost in a warmer climate."""
    told = []
    today = int(found.of_today.sum())
    if today < found.years.size:
        told.append(
            assumption(
                "place.today",
                setting="weather.files",
                years=today,
                first=found.today_from,
                last=int(found.years[-1]),
                all=int(found.years.size),
                trend=round(found.bloom_trend, 1),
            )
        )
    plain = [climate for climate in found.warmer if not climate.label]
    if plain:
        last, now = plain[-1], found.frost_years_today
        way = (
            "open"
            if last.frost_low <= now <= last.frost_high
            else "less"
            if last.frost_high < now
            else "more"
        )
        told.append(
            remark(
                "place.frost_in_warmth",
                setting="weather.warming",
                source="KUNZ2022",
                step=Measured(last.step, Kind.TEMPERATURE_STEP),
                low=Measured(last.frost_low, Plain.SHARE),
                high=Measured(last.frost_high, Plain.SHARE),
                today=Measured(now, Plain.SHARE),
                way=way,
            )
        )
    return told


def _cells(found: PlaceSeasons, traits: Traits) -> list[Notice]:
    """Frost figures that rest on a grid cell's nights: never a verdict alone, told as a range with the known errors."""
    if found.cell_nights < CELL_MATTERS:
        return []
    at = traits.reference
    left, colder = (
        float(np.nanmean(crop[:, at])) for crop in (found.crop_after_frost, found.crop_after_harder_frost)
    )
    made = assumption if found.own_mornings else warning
    return [
        made(
            "place.frost_from_cell",
            setting="weather.files",
            concerns=(REFERENCE,),
            source="LOPES2024",
            nights=Measured(found.cell_nights, Plain.SHARE),
            left=Measured(left, Plain.SHARE),
            colder_left=Measured(colder, Plain.SHARE),
            step=Measured(HARDER_FROST, Kind.TEMPERATURE_STEP),
            mornings=found.own_mornings,
        )
    ]


def _evidence(asked: PlaceQuestion, found: PlaceSeasons, traits: Traits) -> list[Notice]:
    return [
        assumption(
            "place.dates_error",
            source="MUIR2023",
            bloom=round(found.bloom_error_days),
            harvest=round(found.harvest_error_days),
            remembered_bloom=asked.remembered_bloom,
            remembered_harvest=asked.remembered_harvest,
        ),
        *_cells(found, traits),
        assumption("place.frost_by_the_screen", setting="place.colder_than_station", source="EB0419"),
        caution("place.frost_nights"),
    ]
