"""Fruit through the press: what is made, in which weeks, of which lots, into which vessels, and its worth."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import ceil

import numpy as np

from topwire.cellar.cider import (
    STRENGTH,
    STRENGTH_SPREAD,
    bottle_pressure,
    gravity_of_brix,
    gravity_to_ferment,
    strength,
    sulphite_at_pressing,
    told_ph,
    vinegar_of,
    volume_of,
)
from topwire.cellar.tanks import FILLED, Filling, fill
from topwire.choice.findings import BlendMade, Mixture
from topwire.press.asked import MadeOfJuice, PressedCultivar, PressQuestion
from topwire.press.findings import (
    CiderFruit,
    Drink,
    JuiceBalance,
    PickedBy,
    PressFindings,
    PressLot,
    PressWeek,
    VesselUse,
)
from topwire.press.telling import press_notices
from topwire.values.arrays import Floats
from topwire.values.calendar import WEEKS
from topwire.values.estimate import estimate
from topwire.values.terms import CiderStyle

CHANCE = 1.28  # standard deviations of the middle eight in ten
WARM = 20.0  # [deg C] a bottle may stand at
A_KILOGRAM = 1.0  # that is worth a line
POOREST = 0.2  # share of years
UNSULPHITED = (CiderStyle.KEEVED_SWEET, CiderStyle.VINEGAR)  # slow wild yeast; bacteria that are to thrive
SEASON_BEGINS = 27  # week of the year from which weeks are in the order of a press season


def answer(asked: PressQuestion) -> PressFindings:
    """All of it, for the year in which the middle amount is pressed and over the weather years."""
    drinks = tuple(_drink(asked, made) for made in asked.blends)
    fillings = fill(_juice_by_product(asked), asked.vessels)
    lots = tuple(lot for made in asked.blends for lot in _lots(asked, made, fillings))
    by_week = sum((made.by_week for made in asked.blends), np.zeros(WEEKS))
    of_year = _fruit_of_year(asked.blends)
    found = PressFindings(
        year=asked.blends[0].year if asked.blends else 0,
        press=asked.press,
        juice_of_fruit=asked.juice,
        drinks=drinks,
        weeks=_weeks(asked, by_week, of_year),
        lots=tuple(sorted(lots, key=lambda lot: (lot.week - SEASON_BEGINS) % WEEKS)),
        vessels=_vessels(asked, fillings),
        lacking={one.product: one.volume / FILLED for one in fillings if one.vessel is None},
        fruit=_fruit(asked),
        ways=_ways(asked),
        balance=_balance(asked, drinks),
        swing=_swing(asked.blends),
        currency=asked.currency,
        notices=(),
        fruit_by_week=by_week,
        years=asked.years,
    )
    return replace(found, notices=press_notices(asked, found))


def _drink(asked: PressQuestion, made: BlendMade) -> Drink:
    becomes = asked.styles.get(str(made.product))
    left = 1.0 if becomes is None else becomes.left
    season, middle = made.season, asked.juice[1]
    volumes = np.asarray(volume_of(made.by_year, juice=middle, left=left))
    found = estimate(volumes)
    assert found is not None
    litres, fruit = 1000 * float(volumes.mean()), float(made.by_year.mean())
    worth = asked.juice_worth if becomes is None else becomes.worth
    low, high = worth.range
    gravity = gravity_of_brix(season.sugar)
    dry = None if becomes is None else _alcohol(season, 1.0, 1.0)
    alcohol = None if becomes is None else _alcohol(season, becomes.gravity[1], becomes.gravity[0])
    sparkling = becomes is not None and becomes.volumes > 1
    return Drink(
        need=made.need,
        product=made.product,
        style=made.style,
        fermented=made.fermented,
        wanted=made.volume,
        made=found,
        mean_made=litres / 1000,
        mean_fruit=fruit,
        fruit=season.kg,
        juice=float(volume_of(season.kg, juice=middle)),
        left=left,
        gravity=gravity,
        sugar=season.sugar,
        acid=season.acid,
        tannin=season.tannin,
        ph=season.ph,
        ph_spread=season.ph_spread,
        dry=dry,
        alcohol=alcohol,
        ends=None if becomes is None else becomes.gravity,
        within=made.within,
        chance=made.chance,
        measured=season.measured,
        ph_measured=season.ph_measured,
        pressure=float(bottle_pressure(becomes.volumes, WARM)) if becomes and sparkling else None,
        drops=gravity_to_ferment(becomes.volumes) if becomes and sparkling else None,
        vinegar=_vinegar(made, gravity, becomes),
        price=(low, worth.price, high),
        value=litres * worth.price,
        making=litres * asked.making.price if made.fermented else 0.0,
        bought=fruit * asked.bought.price,
    )


def _vinegar(made: BlendMade, gravity: float, becomes: MadeOfJuice | None) -> float | None:
    if made.style is not CiderStyle.VINEGAR or becomes is None:
        return None
    return float(vinegar_of(strength(gravity) - strength(becomes.gravity[0])))


def _alcohol(season: Mixture, ends_high: float, ends_low: float) -> tuple[float, float]:
    """Least and most between this gravity and the one it ends at, of sugar and of what a unit of gravity gives."""
    low, high = (
        gravity_of_brix(max(season.sugar + sign * CHANCE * season.sugar_spread, 1.0)) for sign in (-1, 1)
    )
    least = strength(low - ends_high + 1, STRENGTH - STRENGTH_SPREAD)
    most = strength(high - ends_low + 1, STRENGTH + STRENGTH_SPREAD)
    return max(float(least), 0.0), float(most)


def _juice_by_product(asked: PressQuestion) -> dict[str, Floats]:
    """Of the middle year, what is to ferment, in the order of the season. [m3]"""
    found: dict[str, Floats] = {}
    for made in asked.blends:
        if made.fermented:
            table = found.setdefault(str(made.product), np.zeros(WEEKS))
            for week in made.weeks:
                table[(week.week - SEASON_BEGINS) % WEEKS] += volume_of(week.kg, juice=asked.juice[1])
    return {product: table for product, table in found.items() if table.sum() > 0}


def _fruit_of_year(blends: Iterable[BlendMade]) -> Floats:
    """(52,) of the middle year. [kg]"""
    table = np.zeros(WEEKS)
    for made in blends:
        for week in made.weeks:
            table[week.week - 1] += week.kg
    return table


def _lots(asked: PressQuestion, made: BlendMade, fillings: tuple[Filling, ...]) -> list[PressLot]:
    lots = []
    for week in made.weeks:
        at = (week.week - SEASON_BEGINS) % WEEKS
        dose = sulphite_at_pressing(told_ph(week.ph, read=False))
        added = made.fermented and made.style not in UNSULPHITED
        lots.append(
            PressLot(
                need=made.need,
                week=week.week,
                product=made.product,
                fermented=made.fermented,
                fruit=week.kg,
                juice=float(volume_of(week.kg, juice=asked.juice[1])),
                gravity=gravity_of_brix(week.sugar),
                acid=week.acid,
                tannin=week.tannin,
                ph=week.ph,
                alcohol=float(strength(gravity_of_brix(week.sugar))),
                sulphite=dose / 1000 if added and dose else None,
                sharpen=added and dose is None,
                vessels=tuple(
                    one.vessel.name
                    for one in fillings
                    if one.vessel and one.product == str(made.product) and one.by_week[at] > 0
                ),
                of=tuple(
                    (name, share * week.kg) for name, share in week.shares if share * week.kg >= A_KILOGRAM
                ),
            )
        )
    return lots


def _weeks(asked: PressQuestion, by_week: Floats, of_year: Floats) -> tuple[PressWeek, ...]:
    order = sorted(range(WEEKS), key=lambda at: (at + 1 - SEASON_BEGINS) % WEEKS)
    return tuple(
        PressWeek(
            week=at + 1,
            mean=float(by_week[at]),
            hours=float(by_week[at]) / asked.pressing_rate,
            fruit=float(of_year[at]),
            juice=float(volume_of(of_year[at], juice=asked.juice[1])),
            days=None if asked.a_day is None else float(ceil(round(of_year[at] / asked.a_day, 6))),
        )
        for at in order
        if by_week[at] >= A_KILOGRAM or of_year[at] >= A_KILOGRAM
    )


def _vessels(asked: PressQuestion, fillings: tuple[Filling, ...]) -> tuple[VesselUse, ...]:
    used = {one.vessel.name: one for one in fillings if one.vessel}
    found = []
    for vessel in asked.vessels:
        one = used.get(vessel.name)
        weeks = (
            []
            if one is None
            else [(int(at) + SEASON_BEGINS - 1) % WEEKS + 1 for at in np.flatnonzero(one.by_week)]
        )
        found.append(
            VesselUse(
                name=vessel.name,
                barrel=vessel.barrel,
                holds=vessel.volume,
                product=one.product if one else "",
                juice=one.volume if one else 0.0,
                begins=weeks[0] if weeks else None,
                full=weeks[-1] if weeks else None,
                weeks=asked.styles[one.product].weeks if one else None,
            )
        )
    return tuple(found)


def _of_cultivars(blends: Iterable[BlendMade]) -> Mapping[str, float]:
    """Fruit of each cultivar pressed for cider in the middle year. [kg]"""
    found: dict[str, float] = {}
    for made in blends:
        if made.fermented:
            for name, share in made.season.shares:
                found[name] = found.get(name, 0.0) + share * made.season.kg
    return found


def _fruit(asked: PressQuestion) -> tuple[CiderFruit, ...]:
    amount = _of_cultivars(asked.blends)
    lines = [
        _one(row, amount[row.name], asked.ends) for row in asked.cultivars if amount[row.name] >= A_KILOGRAM
    ]
    return tuple(sorted((line for line in lines if line), key=lambda line: line.ripe))


def _one(row: PressedCultivar, fruit: float, ends: float | None) -> CiderFruit | None:
    if row.first is None or row.last is None:
        return None
    return CiderFruit(
        cultivar=row.name,
        cider_class=row.cider_class,
        fruit=fruit,
        ripe=row.first,
        over=row.last,
        by_season=row.by_season,
        sweated=row.first + row.sweat,
        by=max(row.last, min(row.last + max(row.bins, row.sweat), np.inf if ends is None else ends)),
        biennial=row.biennial,
        tannin=row.tannin,
    )


def _ways(asked: PressQuestion) -> tuple[PickedBy, ...]:
    """Hours for the mean year's cider fruit, small fruit by its mass; slowest, middle, fastest."""
    amount = _of_cultivars(asked.blends)
    by_hand = sum(amount[row.name] / (asked.picking_rate * row.ease) for row in asked.cultivars)
    if by_hand <= 0:
        return ()
    return tuple(
        PickedBy(
            way=way.way,
            hours=(by_hand / way.speed_low, by_hand / way.speed, by_hand / way.speed_high),
            got=way.got,
            fermented_only=way.ground == "yes",
            caution=way.caution,
            source=way.source or "",
            mark=way.mark or "",
        )
        for way in asked.ways
    )


def _balance(asked: PressQuestion, drinks: tuple[Drink, ...]) -> JuiceBalance | None:
    if not drinks:
        return None
    fruit = sum(drink.fruit for drink in drinks)
    juice = sum(drink.juice for drink in drinks)
    mass = sum(1000 * drink.juice * drink.gravity for drink in drinks)
    kept = sum(drink.juice * drink.left for drink in drinks)
    return JuiceBalance(
        fruit=fruit,
        juice=juice,
        pomace=fruit - mass,
        drinks=kept,
        lees=juice - kept,
        sugar=sum(1000 * drink.juice * drink.gravity * drink.sugar / 100 for drink in drinks),
        acid=sum(drink.juice * drink.acid for drink in drinks),
        tannin=sum(drink.juice * drink.tannin for drink in drinks),
    )


def _swing(blends: Iterable[BlendMade]) -> float:
    by_year = sum((made.by_year for made in blends if made.fermented), np.zeros(0) if not blends else 0.0)
    years = np.sort(np.atleast_1d(np.asarray(by_year, dtype=float)))
    if not years.size or years.mean() <= 0:
        return 0.0
    poor = years[: max(1, round(POOREST * years.size))].mean()
    return float(1 - poor / years.mean())
