"""The whole reckoning: hours, bills, value of the crop, cash flow and what moves it, and the year's calendar."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from math import ceil

import numpy as np

from topwire.cellar.cider import free_sulphite
from topwire.ledger.asked import LedgerQuestion
from topwire.ledger.budgets import FIELD, PUBLISHED, beside_budgets
from topwire.ledger.calendar import Dated, dated_jobs, work_texts
from topwire.ledger.capital import CapitalLine, capital_lines
from topwire.ledger.cashbook import SOLD, Case, Cashbook, MoneyRates
from topwire.ledger.findings import (
    BreakEven,
    Deepest,
    Ledger,
    Moved,
    OwnTask,
    Ruin,
    Sensitivity,
    Sulphite,
    Task,
)
from topwire.ledger.goods import HIVE, HIVES_WORK, Amounts, fence_items, goods_bill, yearly_bill
from topwire.ledger.labour import LabourRow, short_weeks
from topwire.ledger.money import (
    break_even_amount,
    break_even_price,
    internal_rate,
    payback_year,
    widest_first,
)
from topwire.ledger.sizes import sized, targets
from topwire.ledger.telling import ledger_notices
from topwire.ledger.work import WorkLoad, by_year, hours_by_task, tasks_of, with_hours, work_load
from topwire.values.arrays import Floats
from topwire.values.bill import BillLine, together
from topwire.values.calendar import WEEKS
from topwire.values.price import Price
from topwire.values.price_index import in_money_of

_CIDER_ACIDITY = (3.0, 3.2, 3.4, 3.6)  # pH a cider maker meets; from BLEND_FROM on nothing is given
_LARGEST_WEEK = 1 / 6  # of a crop, picked in one week: proposal
_INDOORS = ("pressing", "preserving")
_BY_CROP = ("picking", "sorting and storing")
_IN_NURSERY_BILL = (OwnTask.GRAFTING, OwnTask.NURSERY_CARE)


def answer(asked: LedgerQuestion) -> Ledger:
    """Work and money of the horizon; the first year is that of the planting autumn.

    Value is what the same fruit, cider and preserves would cost to buy, less what making them costs; surplus fruit
    counts at the gate price for pressing. Trees that already stand are in neither value nor cost.
    """
    years = asked.horizon
    load = work_load(asked)
    rough = {name: float(hours[0]) for name, hours in hours_by_task(asked.labour, load).items()}
    dates = dated_jobs(asked, rough)
    jobs = dates.jobs
    timed = with_hours(jobs, asked.labour, load)
    tasks = tasks_of(timed, years, load.milled)
    prices = {price.item: price for price in asked.prices}
    yearly = _yearly(asked, jobs, prices)
    rates = replace(_rates(asked, prices), hives=together(yearly))
    goods = _goods(asked, jobs, prices)
    capital = _capital(asked)
    book = _book(asked, load, tasks, goods, capital)
    value = book.value(rates)
    flow = value - book.cost(rates)[:, None]
    establishment = book.establishment(rates)
    flow[0] -= sum(establishment.values())
    case = Case(rates, book.hours, asked.interest)
    npv = np.percentile(book.present_values(case), [10, 50, 90])
    moved = _moved(asked, book, case, prices, load, jobs)
    full = min(10, years - 1)
    outdoors = _all_hours(tuple(task for task in tasks if task.name not in _INDOORS), years)[full].sum()
    hands = asked.hands * asked.hours_per_week
    found = Ledger(
        currency=asked.currency,
        years=np.arange(asked.planting, asked.planting + years),
        areas=asked.areas,
        tasks=tasks,
        hands_hours_per_week=hands,
        short_weeks=short_weeks(_all_hours(tasks, years), hands),
        establishment=establishment,
        yearly_cost=book.cost(rates),
        value=value,
        cash_flow=flow,
        npv=(float(npv[0]), float(npv[1]), float(npv[2])),
        payback_year=payback_year(flow[:, 1]),
        payback_discounted=payback_year(flow[:, 1], asked.interest),
        internal_rate=internal_rate(flow[:, 1]),
        sensitivity=moved,
        value_by_use=book.value_by_use(rates),
        cost_by_kind=book.cost_by_kind(rates, full),
        outdoor_hours=float(outdoors),
        break_even=_break_even(asked, book, rates, full, sum(line.spent / line.lasts for line in capital)),
        beside=(),
        sulphite=_sulphite() if asked.made.get("cider", 0.0) > 0 else (),
        works=work_texts(asked.work),
        calendar=tuple(replace(line.job, hours=hours or None) for line, hours in timed),
        planted_in_spring=dates.spring,
        late=dates.late,
        goods=goods,
        yearly=yearly,
        tools=asked.tools,
        capital=capital,
        money_year=asked.money_year,
        deepest=_deepest(flow, asked.planting, rates.wage * book.hours),
        ruins=tuple(
            Ruin(line.moved, line.low) for line in sorted(moved, key=lambda line: line.low) if line.low < 0
        ),
        notices=(),
    )
    return replace(
        found,
        beside=beside_budgets(found, asked.trees, in_money_of(PUBLISHED, asked.money_year, asked.index)),
        notices=tuple(ledger_notices(asked, found)),
        sizes=sized(asked.sizes, asked.own_size, found.establishment),
        targets=targets(asked.sizes, asked.own_size, found.establishment),
    )


def _rates(asked: LedgerQuestion, prices: Mapping[str, Price]) -> MoneyRates:
    bills = asked.bills
    return MoneyRates(
        wage=asked.wage,
        prices={name: price.price for name, price in prices.items()},
        nursery=bills.nursery,
        trellis=bills.trellis or 0.0,
        water=bills.water or 0.0,
        water_yearly=bills.water_yearly,
        soil=bills.soil,
    )


def _goods(asked: LedgerQuestion, jobs: Sequence[Dated], prices: Mapping[str, Price]) -> tuple[BillLine, ...]:
    works = [line.job.work for line in jobs if line.job.leaf is None or line.job.leaf == 1]
    fence = asked.fence if asked.trees else 0.0
    ground = asked.areas.tree_ground
    amounts = Amounts(asked.trees, asked.clips, fence, asked.strip, ground, field=ground >= FIELD)
    return goods_bill(asked.goods, works, amounts=amounts, prices=prices, units=asked.units)


def _yearly(
    asked: LedgerQuestion, jobs: Sequence[Dated], prices: Mapping[str, Price]
) -> tuple[BillLine, ...]:
    if not any(line.job.work == HIVES_WORK for line in jobs):
        return ()
    return yearly_bill(ground=asked.areas.tree_ground, price=prices[HIVE])


def _capital(asked: LedgerQuestion) -> tuple[CapitalLine, ...]:
    """For a field; a garden borrows. Crates for a sixth of a full-grown crop, the largest week."""
    if asked.areas.tree_ground < FIELD or not asked.trees:
        return ()
    full = float(np.median(asked.orchard_crop[9:, 1]))
    amounts = {
        "picker": float(ceil(min(asked.hands, 4))),
        "kg a week": full * _LARGEST_WEEK,
        "store m2": asked.store,
        "hectare": asked.areas.tree_ground / 1e4,
    }
    return capital_lines(
        asked.capital,
        asked.index,
        money_year=asked.money_year,
        conditions=asked.conditions,
        ground=asked.areas.tree_ground,
        amounts=amounts,
        have=asked.have,
    )


def _by_need(asked: LedgerQuestion, lines: Sequence[CapitalLine]) -> Floats:
    """What goods that last cost in each year: when they are needed, and again whenever they are worn."""
    spent = np.zeros(asked.horizon)
    crop = by_year(asked.orchard_crop, asked.horizon)[:, 1]
    bearing = np.flatnonzero(crop > 0)
    first = int(bearing[0]) if bearing.size else asked.horizon - 1
    for line in lines:
        spent[(0 if line.at_planting else first) :: line.lasts] += line.spent
    return spent


def _deepest(flow: Floats, planting: int, work: Floats) -> tuple[Deepest, Deepest, Deepest]:
    low, middle, high = (np.cumsum(column) for column in flow.T)
    found = (
        Deepest(
            planting + int(np.argmin(sums)), -float(sums.min()), float(work[: int(np.argmin(sums)) + 1].sum())
        )
        for sums in (low, middle, high)
    )
    return next(found), next(found), next(found)


def _book(
    asked: LedgerQuestion,
    load: WorkLoad,
    tasks: tuple[Task, ...],
    goods: Sequence[BillLine],
    capital: Sequence[CapitalLine],
) -> Cashbook:
    years, fenced = asked.horizon, fence_items(asked.goods)
    return Cashbook(
        trees=load.trees,
        hectares=load.hectares,
        goods=together(line for line in goods if line.item not in fenced),
        fence=together(line for line in goods if line.item in fenced),
        capital=_by_need(asked, capital),
        crop=by_year(asked.orchard_crop, years),
        drawn=by_year(asked.drawn_crop.T, years).T,
        full_crop=float(np.median(asked.orchard_crop[9:, 1])),
        served=asked.made,
        lost=asked.lost,
        litres=asked.litres,
        hours=_paid_hours(tasks, years),
        sound=asked.sound,
    )


def _all_hours(tasks: tuple[Task, ...], years: int) -> Floats:
    """Hours of all tasks together, shape (years, 52)."""
    return sum((task.hours for task in tasks), np.zeros((years, WEEKS)))


def _paid_hours(tasks: tuple[Task, ...], years: int) -> Floats:
    """Hours paid by year; those of the nursery are in its bill already."""
    paid = tuple(task for task in tasks if task.name not in _IN_NURSERY_BILL)
    return np.asarray(_all_hours(paid, years).sum(axis=1))


def _best(row: LabourRow) -> float:
    return row.high if row.basis == "kg/h" else row.low


def _worst(row: LabourRow) -> float:
    return row.low if row.basis == "kg/h" else row.high


def _moved(
    asked: LedgerQuestion,
    book: Cashbook,
    case: Case,
    prices: Mapping[str, Price],
    load: WorkLoad,
    jobs: Sequence[Dated],
) -> tuple[Sensitivity, ...]:
    """Net present value with one figure at a time at its poor and its good end."""
    rates = case.rates

    def priced(end: int) -> Case:
        sold = {name: prices[name].range[end] for name in SOLD}
        return replace(case, rates=replace(rates, prices={**rates.prices, **sold}))

    def paid(factor: float) -> Case:
        return replace(case, rates=replace(rates, wage=rates.wage * factor))

    def billed(factor: float) -> Case:
        bills = {name: getattr(rates, name) * factor for name in ("nursery", "trellis", "water")}
        return replace(case, rates=replace(rates, **bills))

    def at_rates(end: Callable[[LabourRow], float]) -> Case:
        rows = [replace(row, middle=end(row)) for row in asked.labour]
        tasks = tasks_of(with_hours(jobs, rows, load), asked.horizon, load.milled)
        return replace(case, hours=_paid_hours(tasks, asked.horizon))

    ends = {
        Moved.PRICES: (priced(0), priced(1)),
        Moved.HOURS: (at_rates(_worst), at_rates(_best)),
        Moved.WAGE: (paid(4 / 3), paid(2 / 3)),
        Moved.INTEREST: (
            replace(case, interest=case.interest + 0.02),
            replace(case, interest=max(case.interest - 0.02, 0.0)),
        ),
        Moved.BILLS: (billed(1.25), billed(0.75)),
        Moved.AS_FRUIT: (replace(case, rates=replace(rates, as_made=False)), case),
        Moved.UNSOLD: (replace(case, rates=replace(rates, surplus_sold=False)), case),
    }
    found = [
        Sensitivity(moved, *(float(np.median(book.present_values(end))) for end in pair))
        for moved, pair in ends.items()
    ]
    low, high = np.percentile(book.present_values(case), [10, 90])
    return widest_first([*found, Sensitivity(Moved.CROP, float(low), float(high))])


def _break_even(
    asked: LedgerQuestion, book: Cashbook, rates: MoneyRates, year: int, worn: float
) -> BreakEven | None:
    """Of a full-grown middle year: what hangs on the crop is picking, sorting and containers, the rest is fixed.

    Parameters
    ----------
    worn : a year's part of the goods that last; which year they happen to be bought in again tells nothing [money]
    """
    crop = float(book.crop[year, 1])
    if crop <= 0:
        return None
    hours = sum(1 / row.middle for row in asked.labour if row.task in _BY_CROP)
    per_unit = rates.wage * hours + rates.prices["containers"]
    cost = float(book.cost(rates)[year] - book.capital[year]) + worn
    fixed = max(cost - per_unit * crop, 0.0)
    worth = float(book.value(rates)[year, 1]) / crop
    return BreakEven(
        crop=crop,
        worth=worth,
        worth_needed=break_even_price(crop, fixed=fixed, per_unit=per_unit),
        crop_needed=break_even_amount(worth, fixed=fixed, per_unit=per_unit),
    )


def _sulphite() -> tuple[Sulphite, ...]:
    return tuple(Sulphite(acidity, float(free_sulphite(acidity)) / 1000) for acidity in _CIDER_ACIDITY)
