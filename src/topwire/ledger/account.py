"""The whole reckoning: hours, bills, value of the crop, cash flow and what moves it, and the year's calendar."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue
from topwire.choice.result import Choice
from topwire.growth.result import CropForecast
from topwire.layout.result import Ground, Layout
from topwire.ledger.calendar import Harvest, MaturityRow, WorkRow, work_by_age
from topwire.ledger.cashbook import Case, Cashbook, Rates
from topwire.ledger.labour import LabourRow, short_weeks
from topwire.ledger.money import Swing, internal_rate, payback_year, widest_first
from topwire.ledger.result import Ledger, Sensitivity, Task
from topwire.ledger.work import WorkLoad, tasks_of
from topwire.notices import Notice, assumption, caution, remark, warning
from topwire.nursery.prices import Price, price_notices, read_prices
from topwire.nursery.result import NurseryOrder
from topwire.phenology.result import PlaceSeasons
from topwire.plan.model import Plan
from topwire.trellis.result import TrellisDesign
from topwire.water.result import WaterPlan
from topwire.weeks import WEEKS

Floats = npt.NDArray[np.float64]
WHERE = "ledger"
_SMALL_FARM_HOURS = 1334.0  # [h/ha] READ, TRAIN-GOA: 540 h/acre
# Trees and USD a hectare (MON-ROB05).
_ESTABLISHED = (
    ("slender pyramid of 840 trees/ha", 840, 18431.0),
    ("super spindle of 5,382 trees/ha", 5382, 47524.0),
)
_KEEPS_WEEKS = 8
_IN_NURSERY_BILL = ("grafting", "nursery care")


def account(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    choice: Choice,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    nursery: NurseryOrder,
    trellis: TrellisDesign | None,
    water: WaterPlan | None,
) -> Ledger:
    """Work and money of the horizon; the first year is that of the planting autumn.

    Value is what the same fruit, cider and preserves would cost to buy, less what making them costs; surplus fruit
    counts at the gate price for pressing. Trees that already stand are in neither value nor cost.
    """
    years = plan.years.horizon
    rows = catalogue.rows("labour", LabourRow)
    prices = read_prices(catalogue)
    stages = _stages(seasons, choice, layout)
    load = _load(plan, seasons, choice, ground, layout, crop, nursery, trellis, stages, years)
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
        crop=_by_year(crop.orchard_kg, years),
        drawn=_by_year(crop.drawn_kg.T, years).T,
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
    per_hectare = float(hours[full].sum() / max(load.hectares, 1e-9))
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
        ),
        notices=tuple(
            _notices(plan, load, trellis, water, short, per_hectare, establishment)
            + price_notices(prices, book.prices_used(), plan.money.currency, WHERE)
        ),
        years=np.arange(plan.years.planting, plan.years.planting + years),
        payback_discounted=payback_year(middle_flow, plan.money.interest),
        value_by_use=book.value_by_use(rates),
        cost_by_kind=book.cost_by_kind(rates, full),
        hours_per_hectare=per_hectare,
        beside=_beside(load, establishment, per_hectare, middle_flow, plan.money.currency),
    )


def _stages(seasons: PlaceSeasons, choice: Choice, layout: Layout) -> dict[str, float]:
    """Day of year of each stage in the middle year; a stage the place lacks is left out."""
    columns = [seasons.cultivars.index(name) for name in layout.cultivars]
    found = {
        "green_tip": _median(seasons.green_tip),
        "full_bloom": _median(seasons.full_bloom[:, columns]),
        "petal_fall": _median(seasons.petal_fall[:, columns]),
        "last_frost": _median(seasons.last_frost),
        "first_frost": _median(seasons.first_frost),
    }
    first = [_median(seasons.harvest_first[:, column]) for column in columns]
    last = [_median(seasons.harvest_last[:, column]) for column in columns]
    found["first_harvest"] = min((day for day in first if day is not None), default=None)
    found["last_harvest"] = max((day for day in last if day is not None), default=None)
    return {stage: day for stage, day in found.items() if day is not None}


def _median(days: Floats) -> float | None:
    known = days[np.isfinite(days)]
    return float(np.median(known)) if known.size else None


def _load(
    plan: Plan,
    seasons: PlaceSeasons,
    choice: Choice,
    ground: Ground,
    layout: Layout,
    crop: CropForecast,
    nursery: NurseryOrder,
    trellis: TrellisDesign | None,
    stages: Mapping[str, float],
    years: int,
) -> WorkLoad:
    by_block = np.array([block.row_spacing * block.tree_spacing for block in ground.blocks])
    new = (layout.cultivar >= 0) & ~layout.standing
    trees = int(new.sum())
    columns = [seasons.cultivars.index(name) for name in layout.cultivars]
    harvest = np.array(
        [
            [_median(seasons.harvest_first[:, c]) or np.nan, _median(seasons.harvest_last[:, c]) or np.nan]
            for c in columns
        ]
    ).reshape(-1, 2)
    middle = _by_year(crop.kg_per_tree[:, :, 1].T * crop.trees, years)
    full = float(np.median(crop.orchard_kg[9:, 1]))
    standing = int(layout.standing.sum())
    share_new = trees / max(trees + standing, 1)
    made: dict[str, float] = {}
    for chosen in choice.chosen:
        for use, kilograms in chosen.uses.items():
            made[use] = made.get(use, 0.0) + kilograms * share_new
    press = plan.kitchen.press
    season = (
        float(press.start.day_of_year) if press.start else stages.get("first_harvest", 240.0),
        float(press.end.day_of_year) if press.end else stages.get("last_harvest", 300.0) + 21,
    )
    autumn = 320.0
    fixed = {}
    if nursery.bench_hours > 0:
        fixed["grafting"] = (nursery.bench_hours, 60.0, 88.0)
        fixed["nursery care"] = (nursery.care_hours, 105.0, 310.0)
    if trellis is not None:
        fixed["building the trellis"] = (trellis.labour_hours, autumn, 364.0)
    return WorkLoad(
        trees=trees,
        hectares=float(by_block[ground.block[new]].sum()) / 1e4,
        fence=sum(_perimeter(block.outline) for block in ground.blocks if not block.along_fence)
        * (trees > 0),
        crop=middle,
        full_share=_by_year(crop.orchard_kg[:, 1], years) / max(full, 1e-9),
        below_wire=_below_wire(crop, years),
        harvest=harvest,
        stages=stages,
        press=season if season[0] <= season[1] else (season[1], season[0]),
        made=made,
        fixed=fixed,
    )


def _by_year(by_leaf: Floats, years: int) -> Floats:
    """Figures of leaves 1, 2, ... (first axis) by year of the horizon: none in the planting year, the last held."""
    leaf = np.minimum(np.arange(1, years), len(by_leaf)) - 1
    return np.concatenate([np.zeros((1, *by_leaf.shape[1:])), by_leaf[leaf]])


def _below_wire(crop: CropForecast, years: int) -> Floats:
    """Share of trees whose leader is below the wire at the start of each year's leaf, by their middle leader."""
    leaf = np.arange(years)
    weight = crop.trees / max(int(crop.trees.sum()), 1)
    reached = np.where(np.isfinite(crop.reaches_wire[:, 1]), crop.reaches_wire[:, 1], 99.0)
    below = leaf[:, None] <= reached
    return np.asarray((below * weight).sum(axis=1))


def _perimeter(outline: Floats) -> float:
    closed = np.vstack([outline, outline[:1]])
    return float(np.hypot(*np.diff(closed, axis=0).T).sum())


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
    return tuple(lines)


def _notices(
    plan: Plan,
    load: WorkLoad,
    trellis: TrellisDesign | None,
    water: WaterPlan | None,
    short: tuple[tuple[int, int, float], ...],
    per_hectare: float,
    establishment: Mapping[str, float],
) -> list[Notice]:
    notices: list[Notice] = []
    for name, result in (("trellis", trellis), ("irrigation", water)):
        if result is None:
            notices.append(
                warning(
                    WHERE,
                    f"The {name} could not be sized, so its bill and hours are missing from every sum here.",
                )
            )
    if short:
        worst = max(short, key=lambda item: item[2])
        notices.append(
            warning(
                WHERE,
                f"{len(short)} weeks of the {plan.years.horizon} years need more hours than {plan.money.hands:g} "
                f"people give; the worst is week {worst[1]} of {plan.years.planting + worst[0]}, "
                f"{worst[2]:.0f} hours beyond.",
                "Hire for these weeks, choose cultivars that ripen apart, or spread planting over two autumns.",
            )
        )
    notices.append(
        caution(
            WHERE,
            "Ladders, wire under tension, pruning tools and tractors on a slope cause most injuries in orchards.",
            "See the cautions in the calendar; never work alone with the auger, the chain saw or the tractor.",
        )
    )
    notices.append(
        remark(
            WHERE,
            f"A full-grown year takes {per_hectare:,.0f} hours a hectare here, against 1,334 on a small hands-on farm "
            "and about 300 in commercial blocks.",
            "",
            "TRAIN-GOA",
        )
    )
    notices.append(
        assumption(
            WHERE,
            "Fruit is valued at what it would cost to buy, not at the price on the menu; own hours are paid the wage "
            "of the plan; no tax, grant or land price is in it; money is of one year, without inflation.",
        )
    )
    per_tree = sum(establishment.values()) / max(load.trees, 1)
    notices.append(
        remark(
            WHERE,
            f"Establishment comes to {per_tree:,.2f} {plan.money.currency} a tree; published budgets of 2005 ran from "
            "8.83 to 21.94 USD a tree in the money of that year.",
            "",
            "MON-ROB05",
        )
    )
    return notices
