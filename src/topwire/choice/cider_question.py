"""Cider by style and volume, as the plan says it, turned into fruit the Choice can serve."""

from dataclasses import dataclass

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.cellar.cider import fruit_for
from topwire.choice.needs import WeeklyNeed, span
from topwire.choice.plate_question import blend_of_style
from topwire.choice.supply import OUTDOORS
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.fields import MonthDay, month_day
from topwire.plan.kitchen import Cider, KitchenSection, Press
from topwire.values.calendar import week_of_day
from topwire.values.terms import CiderStyle, PressKind, Use

AUTUMN = slice(8, 11)  # September to November, in which bins stand outdoors
PRESS_SEASON = (MonthDay(9, 1), MonthDay(12, 20))  # where the plan does not say it


@dataclass(frozen=True)
class StyleRow:
    """A row of cider_styles.csv."""

    style: CiderStyle
    left: float
    gravity_low: float
    gravity_high: float
    weeks_low: float
    weeks_high: float
    volumes: float
    begins: str | None
    worth: str
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class PressRow:
    """A row of press_yields.csv [L/kg]."""

    press: PressKind
    low: float
    middle: float
    high: float
    source: str | None
    mark: str | None


def styles_of(catalogue: Catalogue) -> dict[CiderStyle, StyleRow]:
    """Every style of the catalogue."""
    return {row.style: row for row in catalogue.rows("cider_styles", StyleRow)}


def juice_of_press(press: Press, catalogue: Catalogue) -> PressRow:
    """Juice of a kilogram: the plan's own, or that of its kind of press."""
    row = next(row for row in catalogue.rows("press_yields", PressRow) if row.press is press.kind)
    if press.juice is None:
        return row
    return PressRow(press.kind, press.juice, press.juice, press.juice, None, "own")


def cider_need(kitchen: KitchenSection, catalogue: Catalogue, cider: Cider) -> WeeklyNeed:
    """A style with the fruit that has to reach the press for it, over the weeks the press runs."""
    row = styles_of(catalogue)[cider.style]
    start = cider.start or kitchen.press.start or PRESS_SEASON[0]
    end = cider.end or kitchen.press.end or PRESS_SEASON[1]
    if cider.start is None and row.begins is not None:
        start = max(start, month_day(row.begins), key=lambda day: (day.month, day.day))
    weeks = span(int(week_of_day(start.day_of_year)), int(week_of_day(end.day_of_year)))
    return WeeklyNeed(
        use=Use.CIDER,
        weight=cider.weight,
        weeks=press_runs(kitchen.press, weeks),
        weekly=None,
        total=fruit_for(cider.amount, juice=juice_of_press(kitchen.press, catalogue).middle, left=row.left),
        start=float(start.day_of_year),
        end=float(end.day_of_year),
        blend=blend_of_style(cider, catalogue),
        style=cider.style,
        volume=cider.amount,
    )


def press_runs(press: Press, weeks: tuple[int, ...]) -> tuple[int, ...]:
    """Of these weeks, those in which the press runs; all of them where the two do not meet."""
    if press.start is None or press.end is None:
        return weeks
    runs = span(int(week_of_day(press.start.day_of_year)), int(week_of_day(press.end.day_of_year)))
    return tuple(week for week in weeks if week in runs) or weeks


def autumn_air(seasons: PlaceSeasons) -> float:
    """Mean temperature of the bins outdoors. [deg C]"""
    return float(np.mean(seasons.normals[AUTUMN, :2])) if seasons.normals.size else OUTDOORS
