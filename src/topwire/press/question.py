"""The Press's question: the only file of the room that sees the plan and the catalogue."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.cellar.tanks import Vessel
from topwire.choice.cider_question import StyleRow, autumn_air, juice_of_press, styles_of
from topwire.choice.findings import BlendMade, Choice
from topwire.choice.hands import picking_ease
from topwire.choice.plate_question import PlateTable
from topwire.choice.supply import bins_weeks, sweat_weeks
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.traits import BY_SEASON
from topwire.plan.kitchen import Tank
from topwire.plan.model import Plan
from topwire.press.asked import HarvestWay, MadeOfJuice, PressedCultivar, PressQuestion
from topwire.values.arrays import Floats
from topwire.values.price import Price
from topwire.values.terms import CiderStyle

_USUAL_FRUIT = 180.0  # [g] where nobody has weighed one
_MADE = "cider made"  # price of cider that is asked for by its fruit


@dataclass(frozen=True)
class WorkRate:
    """What a row of labour.csv says of fruit [kg/h]."""

    task: str
    middle: float


def question(plan: Plan, catalogue: Catalogue, seasons: PlaceSeasons, choice: Choice) -> PressQuestion:
    """What is pressed of the choice, with the plan's press, styles and vessels."""
    kitchen, prices = plan.kitchen, catalogue.prices
    blends = tuple(made for made in choice.blends if made.pressed)
    juice = juice_of_press(kitchen.press, catalogue)
    styles = styles_of(catalogue)
    rates = {row.task: row.middle for row in catalogue.rows("labour", WorkRate)}
    return PressQuestion(
        years=choice.years,
        blends=blends,
        press=kitchen.press.kind,
        juice=(juice.low, juice.middle, juice.high),
        own_juice=kitchen.press.juice is not None,
        ends=kitchen.press.end.day_of_year if kitchen.press.end else None,
        a_day=kitchen.press.a_day,
        days_a_week=kitchen.press.days_a_week,
        styles={str(made.product): _becomes(made, styles, prices) for made in blends if made.fermented},
        vessels=tuple(_vessels(kitchen.tanks)),
        cultivars=pressed_cultivars(
            catalogue, seasons, blends, {line.name for line in choice.chosen if line.for_cider}
        ),
        ways=catalogue.rows("cider_harvest", HarvestWay),
        pressing_rate=rates["pressing"],
        picking_rate=rates["picking"],
        bought=prices["cider apples"],
        making=prices["cider making"],
        juice_worth=prices["juice made"],
        currency=plan.money.currency,
        wage=plan.money.wage,
    )


def _becomes(made: BlendMade, styles: dict[CiderStyle, StyleRow], prices: Mapping[str, Price]) -> MadeOfJuice:
    """Cider asked for by its fruit is taken as the house blend, at the price it would cost to buy."""
    row = styles[made.style or CiderStyle.HOUSE_BLEND]
    return MadeOfJuice(
        style=made.style,
        left=row.left,
        gravity=(row.gravity_low, row.gravity_high),
        weeks=(row.weeks_low, row.weeks_high),
        volumes=row.volumes,
        worth=prices[row.worth if made.style else _MADE],
        source=row.source or "",
        mark=row.mark or "",
    )


def _vessels(tanks: Iterable[Tank]) -> Iterable[Vessel]:
    """Every tank and barrel by itself, counted through."""
    counts = {True: 0, False: 0}
    for tank in tanks:
        for _ in range(tank.number):
            counts[tank.barrel] += 1
            yield Vessel(
                f"{'barrel' if tank.barrel else 'tank'} {counts[tank.barrel]}", tank.volume, tank.barrel
            )


def pressed_cultivars(
    catalogue: Catalogue, seasons: PlaceSeasons, blends: Iterable[BlendMade], cider: Collection[str]
) -> tuple[PressedCultivar, ...]:
    """Of what is pressed for cider in the middle year, the `cider` fruit: the rest is picked as table fruit is."""
    names = dict.fromkeys(
        name for made in blends if made.fermented for name, _ in made.season.shares if name in cider
    )
    table, outdoors = PlateTable.of(catalogue), autumn_air(seasons)
    found = []
    for name in names:
        row, column = catalogue.cultivar[name], seasons.cultivars.index(name)
        bins = float(bins_weeks(row.storage_weeks or 0.0, outdoors))
        error = row.harvest_error_days or 0.0
        wide = error if error >= BY_SEASON else 0.0
        found.append(
            PressedCultivar(
                name=name,
                cider_class=row.cider_class,
                first=_middle(seasons.harvest_first[:, column] - wide),
                last=_middle(seasons.harvest_last[:, column] + wide),
                by_season=wide > 0,
                sweat=7.0 * int(sweat_weeks(bins)) if row.cider_class is not None else 0.0,
                bins=7.0 * bins,
                biennial=row.biennial,
                tannin=table.juice(row).kind_of_tannin,
                ease=float(picking_ease((row.fruit_mass_g or _USUAL_FRUIT) / 1000)),
            )
        )
    return tuple(found)


def _middle(days: Floats) -> float | None:
    known = days[np.isfinite(days)]
    return float(np.median(known)) if known.size else None
