"""What limits each need: read from the prices of the programme that serves the planted trees.

Where more than a fiftieth of a need is missing, the fruit that would be cheapest to bring there says why it is not
brought: its crop is given elsewhere, or the cellar, the press, the pan or the blend is full. The prices of those rows
are the shares. Where no planted cultivar has fruit, the other candidates and a cold cellar are asked instead.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import IntEnum

import numpy as np

from topwire.cellar.keeping import storage_life
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.model import Index
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import TREE_COST, Array
from topwire.choice.scarce import Pinch, Pinched
from topwire.choice.service import WASTE_COST
from topwire.choice.serving import Served, ServedYear
from topwire.choice.supply import Supply
from topwire.values.calendar import WEEKS

COLD_AIR = 1.0  # [deg C] of a good cold store, the middle of the catalogue's 0 to 2
SERVED = 0.98  # share of a need in the mean year from which nothing limits it that is worth a word
MISSING = 0.01  # [kg] from which something is missing
TELLING = 0.1  # share of what is missing from which a limit is told
SHORT_YEAR = 0.02  # share of a need that is missing in a year that counts as short
SLACK = 1e-6


class _Row(IntEnum):
    CROP = 0
    CELLAR = 1
    PRESS = 2
    PAN = 3
    BLEND = 4


_SHELF = len(_Row)
_OF_ROW = {_Row.CELLAR: Pinch.CELLAR, _Row.PRESS: Pinch.PRESS, _Row.PAN: Pinch.PAN, _Row.BLEND: Pinch.BLEND}


def pinches(asked: ChoiceQuestion, trees: Index, served: Served) -> tuple[Pinched, ...]:
    """Of each need that goes short in the mean year, what limits it.

    Parameters
    ----------
    trees : (cultivars,) of the plan; served : its serving, solved
    """
    supply, needs = asked.supply, asked.needs
    parts = np.zeros((len(needs), len(_Row) + 1))  # the last: the shelf
    nothing = np.zeros(
        (len(needs), supply.years.size, WEEKS)
    )  # [kg] missing where no planted cultivar has fruit
    short = np.zeros((len(needs), supply.years.size))
    press = np.inf if asked.limits.press_week is None else asked.limits.press_week
    used = served.service.served
    for at, year in enumerate(served.years):
        prices = _prices(year)
        for number, week, missing, value in _missing(year, needs, used[at]):
            short[number, at] += missing
            shares = _why(needs[number], year, prices, number, week, value, press)
            if shares is None:
                weeks = np.array(needs[number].weeks if week == 0 else (week,)) - 1
                nothing[number, at, weeks] += missing / weeks.size
            else:
                parts[number] += missing * shares
    found = []
    for number, need in enumerate(needs):
        total = float(short[number].sum())
        if total < MISSING or total / supply.years.size < (1 - SERVED) * need.total:
            continue
        reasons = {_OF_ROW[row]: float(parts[number, row]) for row in _OF_ROW}
        reasons[Pinch.SHELF] = float(parts[number, _SHELF])
        reasons[_of_fruit(asked, trees, served, need)] = float(parts[number, _Row.CROP])
        none, other = _no_fruit(supply, trees, need, nothing[number])
        reasons |= none
        ranked = sorted(
            ((why, kg / total) for why, kg in reasons.items() if kg >= TELLING * total),
            key=lambda line: -line[1],
        )
        years = int((short[number] > SHORT_YEAR * need.total).sum())
        found.append(Pinched(number, total / supply.years.size, years, tuple(ranked), other))
    return tuple(found)


def _prices(served: ServedYear) -> Array:
    """(kinds of row, columns) what a unit of a column pays for each kind of row."""
    model, year = served.model, served.year
    kind = np.full(served.price.size, -1)
    kind[model.height :] = _Row.CELLAR
    for of, rows in (
        (_Row.CROP, year.crop.rows),
        (_Row.PRESS, year.press),
        (_Row.PAN, year.pan),
        (_Row.BLEND, year.mixed),
    ):
        kind[rows] = of
    row = [*model.rows]
    column, value, begin = [*model.columns], [*model.values], model.height
    for more in served.cellar:
        row.append(begin + more.at)
        column.append(more.columns)
        value.append(more.values)
        begin += more.high.size
    rows, columns = np.concatenate(row), np.concatenate(column)
    paid = -served.price[rows] * np.concatenate(value)
    table = np.zeros((len(_Row), model.width))
    for of in _Row:
        mine = kind[rows] == of
        table[of] = np.bincount(columns[mine], weights=paid[mine], minlength=model.width)
    return np.maximum(table, 0.0)


def _missing(
    served: ServedYear, needs: Sequence[WeeklyNeed], used: Array
) -> Iterator[tuple[int, int, float, float]]:
    """Need, week, kilograms missing, and what one of them costs.

    Parameters
    ----------
    used : (needs, 52) [kg] that reaches the kitchen
    """
    wanted = served.year.missing
    amounts, price = served.values[wanted.columns], served.price[served.year.wanted]
    for number, need in enumerate(needs):
        mine = np.flatnonzero((wanted.need == number) & (amounts > MISSING))
        if not need.used:
            for at in mine:
                yield number, int(wanted.week[at]), float(amounts[at]), float(price[at])
        elif mine.size:
            short = need.by_week() - used[number]
            for week in np.flatnonzero(short > MISSING):
                yield number, int(week) + 1, float(short[week]), float(price[mine].max())


def _why(
    need: WeeklyNeed, served: ServedYear, prices: Array, number: int, week: int, value: float, press: float
) -> Array | None:
    """(kinds of row and the shelf) shares of the reasons; None: no planted cultivar has fruit for it then."""
    fruit = served.year.fruit
    every = np.flatnonzero(fruit.need == number)
    if not every.size:
        return None
    columns = every
    if need.used:
        begin = need.weeks[0]
        age = (week - begin) % WEEKS - (fruit.week[every] - begin) % WEEKS
        columns = every[(age >= 0) & (age <= need.shelf_weeks)]
    elif week:
        columns = every[fruit.week[every] == week]
    told = np.zeros(len(_Row) + 1)
    if need.used and not columns.size:
        told[_SHELF] = 1.0
        return told
    if not columns.size:
        return None
    # A week's capacity stands as a bound too, on the fruit of each cultivar.
    room = served.values[fruit.columns[columns]] < fruit.most[columns] - MISSING
    open_ = columns[room] if room.any() else columns
    paid = prices[:, fruit.columns[open_]] / fruit.kept[open_]
    told[:-1] = paid[:, int(np.argmin(paid.sum(axis=0)))]
    if need.weekly is None:
        by_press = need.pressed and (need.weekly_capacity is None or need.weekly_capacity > press)
        full = _Row.PRESS if by_press else _Row.PAN
        told[_SHELF if room.any() else full] += max(0.0, value - told.sum())
    if told.sum() <= SLACK:  # nothing has a price: fruit of which there is none this year
        return None
    shares: Array = told / told.sum()
    return shares


def _of_fruit(asked: ChoiceQuestion, trees: Index, served: Served, need: WeeklyNeed) -> Pinch:
    """Why there are no more trees: no room, no more wanted, each at its most, or another is not worth its place."""
    limits, supply = asked.limits, asked.supply
    if int(trees.sum()) >= limits.places:
        as_asked = asked.to_plant == limits.places - sum(limits.standing.values())
        return Pinch.TOTAL if as_asked and limits.places < asked.capacity else Pinch.ROOM
    brings = -WASTE_COST * supply.crop.mean(axis=0)
    for at, one in enumerate(served.years):
        crop = one.year.crop
        worth = one.counts * one.price[crop.rows] * crop.share * served.few.crop[at, crop.cultivar]
        np.add.at(brings, served.keep[crop.cultivar], worth)
    fit = np.array([need.served_by(row) for row in supply.cultivars]) & (trees > 0)
    pays = brings > TREE_COST * limits.tree_cost
    return Pinch.MOST if (fit & pays & (trees >= limits.most(supply))).any() else Pinch.WORTH


def _no_fruit(
    supply: Supply, trees: Index, need: WeeklyNeed, nothing: Array
) -> tuple[dict[Pinch, float], str]:
    """What would bring fruit where no planted cultivar has any, by kilograms, and the candidate that brings most.

    Parameters
    ----------
    nothing : (years, 52) [kg] missing there
    """
    if not nothing.any():
        return {}, ""
    fit = np.array([need.served_by(row) for row in supply.cultivars])
    bears = (supply.crop > 0) & fit
    if need.picked_by_guests:
        since = (np.arange(1, WEEKS + 1) - supply.first[:, :, None]) % WEEKS
        bears = bears[:, :, None] & (since < supply.picking_weeks[:, :, None])
    else:
        bears = bears[:, :, None]
    weeks = np.array([np.nan if row.storage_weeks is None else row.storage_weeks for row in supply.cultivars])
    eating, cooking = (np.nan_to_num(storage_life(weeks, COLD_AIR, eating=table)) for table in (True, False))
    colder = replace(supply, eating=eating, cooking=cooking)
    others = bears & (supply.kept_as(need.keeping) > 0) & (trees == 0)[None, :, None]
    cold = bears & (colder.kept_as(need.keeping) > 0)
    by_others, by_cold = others.any(axis=1), cold.any(axis=1)
    kilograms = {
        Pinch.OTHERS: float(nothing[by_others].sum()),
        Pinch.COLD: float(nothing[~by_others & by_cold].sum()),
        Pinch.SEASON: float(nothing[~by_others & ~by_cold].sum()),
    }
    brings = (others * nothing[:, None, :]).sum(axis=(0, 2))
    return kilograms, supply.cultivars[int(np.argmax(brings))].name if brings.any() else ""
