"""The whole reckoning: hours, bills, value of the crop, cash flow and what moves it, and the year's calendar."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue
from topwire.choice.result import Choice
from topwire.growth.result import CropForecast
from topwire.layout.findings import Ground, Layout
from topwire.ledger.calendar import Harvest, MaturityRow, WorkRow, work_by_age
from topwire.ledger.cashbook import Case, Cashbook, Rates
from topwire.ledger.labour import LabourRow, short_weeks
from topwire.ledger.money import Swing, internal_rate, payback_year, widest_first
from topwire.ledger.result import Ledger, Sensitivity, Task
from topwire.ledger.setting import GRAFTING, NURSERY_CARE, by_year, stages_of, work_load
from topwire.ledger.telling import account_notices, batch_notices
from topwire.ledger.work import WorkLoad, tasks_of
from topwire.nursery.findings import NurseryFindings
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.model import Plan
from topwire.trellis.findings import TrellisFindings
from topwire.values.calendar import WEEKS
from topwire.values.price import Price, price_notices
from topwire.water.result import WaterPlan

Floats = npt.NDArray[np.float64]
_SMALL_FARM_HOURS = 1334.0  # [h/ha] READ, TRAIN-GOA: 540 h/acre
# Trees and USD a hectare (MON-ROB05).
_ESTABLISHED = (
    ("slender pyramid of 840 trees/ha", 840, 18431.0),
    ("super spindle of 5,382 trees/ha", 5382, 47524.0),
)
_KEEPS_WEEKS = 8
_INDOORS = ("pressing", "preserving")
_IN_NURSERY_BILL = (GRAFTING, NURSERY_CARE)


def account(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    choice: Choice,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    nursery: NurseryFindings,
    trellis: TrellisFindings | None,
    water: WaterPlan | None,
) -> Ledger:
    """Work and money of the horizon; the first year is that of the planting autumn.

    Value is what the same fruit, cider and preserves would cost to buy, less what making them costs; surplus fruit
    counts at the gate price for pressing. Trees that already stand are in neither value nor cost.
    """
    years = plan.years.horizon
    rows = catalogue.rows("labour", LabourRow)
    prices = catalogue.prices
    stages = stages_of(seasons, layout)
    load = work_load(plan, seasons, choice, ground, layout, crop, nursery, trellis, stages, years)
    tasks = tasks_of(rows, load)
    quick = tasks_of([replace(row, middle=_best(row)) for row in rows], load)
    slow = tasks_of([replace(row, middle=_worst(row)) for row in rows], load)
    rates = Rates(
        wage=plan.money.wage,
        prices={name: price.price for name, price in prices.items()},
        nursery=nursery.cost,
        trellis=trellis.cost if trellis else 0.0,
        water=water.cost if water else 0.0,
        water_yearly=water.water_cost_per_year if water else 0.0,
    )
    book = Cashbook(
        trees=load.trees,
        hectares=load.hectares,
        fence=load.fence,
        crop=by_year(crop.orchard_kg, years),
        drawn=by_year(crop.drawn_kg.T, years).T,
        full_crop=float(np.median(crop.orchard_kg[9:, 1])),
        served=load.made,
        hours=_paid_hours(tasks, years),
    )
    value = book.value(rates)
    flow = value - book.cost(rates)[:, None]
    flow[0] -= sum(book.establishment(rates).values())
    middle_flow = flow[:, 1]
    case = Case(rates, book.hours, plan.money.interest)
    npv = np.percentile(book.present_values(case), [10, 50, 90])
    moved = _swings(book, case, prices, _paid_hours(quick, years), _paid_hours(slow, years))
    full = min(10, years - 1)
    hours = _all_hours(tasks, years)
    outdoors = _all_hours(tuple(task for task in tasks if task.name not in _INDOORS), years)
    per_hectare = float(outdoors[full].sum() / max(load.hectares, 1e-9))
    hands = plan.money.hands * plan.money.hours_per_week
    short = short_weeks(hours, hands)
    establishment = book.establishment(rates)
    return Ledger(
        currency=plan.money.currency,
        tasks=tasks,
        hands_hours_per_week=hands,
        short_weeks=short,
        establishment=establishment,
        yearly_cost=book.cost(rates),
        value=value,
        cash_flow=flow,
        npv=(float(npv[0]), float(npv[1]), float(npv[2])),
        payback_year=payback_year(middle_flow),
        internal_rate=internal_rate(middle_flow),
        sensitivity=tuple(Sensitivity(swing.assumption, swing.low, swing.high) for swing in moved),
        calendar=work_by_age(
            catalogue.rows("work_calendar", WorkRow),
            catalogue.rows("maturity", MaturityRow),
            _harvests(catalogue, layout, load),
            stages,
            planting=plan.years.planting,
            first_crop=_first_crop(crop),
            units=plan.unit_system,
        ),
        notices=(
            *account_notices(plan, load, trellis, water, short, per_hectare, establishment),
            *batch_notices(choice.batches),
            *price_notices(
                "ledger", [prices[name] for name in sorted(book.prices_used())], plan.money.currency
            ),
        ),
        years=np.arange(plan.years.planting, plan.years.planting + years),
        payback_discounted=payback_year(middle_flow, plan.money.interest),
        value_by_use=book.value_by_use(rates),
        cost_by_kind=book.cost_by_kind(rates, full),
        hours_per_hectare=per_hectare,
        beside=_beside(load, establishment, per_hectare, middle_flow, plan.money.currency),
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


def _swings(
    book: Cashbook, case: Case, prices: Mapping[str, Price], quick: Floats, slow: Floats
) -> tuple[Swing, ...]:
    """Net present value with one assumption at a time at its poor and its good end."""
    rates = case.rates

    def priced(end: int) -> Case:
        sold = {name: prices[name].range[end] for name in book.prices_sold()}
        return replace(case, rates=replace(rates, prices={**rates.prices, **sold}))

    def paid(factor: float) -> Case:
        return replace(case, rates=replace(rates, wage=rates.wage * factor))

    def billed(factor: float) -> Case:
        bills = {name: getattr(rates, name) * factor for name in ("nursery", "trellis", "water")}
        return replace(case, rates=replace(rates, **bills))

    as_fruit = replace(case, rates=replace(rates, as_made=False))
    unsold = replace(case, rates=replace(rates, surplus_sold=False))
    dear = replace(case, interest=case.interest + 0.02)
    cheap = replace(case, interest=max(case.interest - 0.02, 0.0))
    pairs = {
        "worth of fruit, cider and preserves": (priced(0), priced(1)),
        "hours a task takes": (replace(case, hours=slow), replace(case, hours=quick)),
        "wage, a third either way": (paid(4 / 3), paid(2 / 3)),
        "interest, two points either way": (dear, cheap),
        "bills of trees, trellis and water, a quarter either way": (billed(1.25), billed(0.75)),
        "cider, juice and preserves valued as bare fruit": (as_fruit, case),
        "surplus fruit left unsold": (unsold, case),
    }
    found = [
        Swing(name, *(float(np.median(book.present_values(end))) for end in ends))
        for name, ends in pairs.items()
    ]
    low, high = np.percentile(book.present_values(case), [10, 90])
    return widest_first(
        [*found, Swing("crop: the poorest and the best orchard of ten", float(low), float(high))]
    )


def _harvests(catalogue: Catalogue, layout: Layout, load: WorkLoad) -> list[Harvest]:
    return [
        Harvest(
            name, float(first), float(last), (catalogue.cultivar[name].storage_weeks or 0) >= _KEEPS_WEEKS
        )
        for name, (first, last) in zip(layout.cultivars, load.harvest, strict=True)
        if np.isfinite(first) and np.isfinite(last)
    ]


def _first_crop(crop: CropForecast) -> int:
    """First leaf with a tenth of a full crop in the middle year; 3 where there is none."""
    full = crop.orchard_kg[:, 1].max()
    ready = np.flatnonzero(crop.orchard_kg[:, 1] >= 0.1 * full) if full > 0 else np.zeros(0)
    return int(crop.leaf[ready[0]]) if ready.size else 3


def _beside(
    load: WorkLoad, establishment: Mapping[str, float], per_hectare: float, flow: Floats, currency: str
) -> tuple[tuple[str, float, float], ...]:
    """Published figures with ours; those in dollars only beside sums in dollars."""
    lines = [("hours a hectare of a small hands-on farm", _SMALL_FARM_HOURS, per_hectare)]
    total = sum(establishment.values())
    if currency == "USD" and load.trees:
        for name, trees, spent in _ESTABLISHED:
            said = f"establishment of a {name}, New York, money of 2005"
            lines.append((f"{said}, USD/ha", spent, total / load.hectares))
            lines.append((f"{said}, USD a tree", spent / trees, total / load.trees))
    back = payback_year(flow)
    if back is not None:
        lines.append(("year in which costs are recovered, tall spindle, New York", 10.0, float(back)))
    rate = internal_rate(flow)
    if rate is not None:
        for end, percent in (("least", 7.5), ("most", 11.1)):
            lines.append(
                (f"internal rate of return, {end} of five systems, New York, %", percent, 100 * rate)
            )
    return tuple(lines)
