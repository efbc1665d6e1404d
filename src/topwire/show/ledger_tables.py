"""Tables of the Ledger department: what it costs and is worth, hours of work, the year's calendar."""

from topwire.engine.orchard import Orchard
from topwire.ledger.result import Ledger
from topwire.show.reader import date_words, percent
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.values.calendar import week_label


def ledger_tables(orchard: Orchard) -> list[Table]:
    ledger = orchard.ledger
    if ledger is None:
        return []
    found = [establishment(ledger), worth(ledger), money(ledger, orchard.origin.planting_year)]
    if ledger.value_by_use or ledger.cost_by_kind:
        found.append(grown_year(ledger))
    found.append(hours(ledger, orchard.origin.planting_year))
    if ledger.short_weeks:
        found.append(short_weeks(ledger, orchard.origin.planting_year))
    if ledger.sensitivity:
        found.append(sensitivity(ledger))
    if ledger.beside:
        found.append(published(ledger))
    found.append(calendar(ledger))
    return found


def calendar_year(ledger: Ledger, planting: int, index: int) -> int:
    return int(ledger.years[index]) if ledger.years.size else planting + index


def establishment(ledger: Ledger) -> Table:
    rows = [(what, figure(cost)) for what, cost in ledger.establishment.items()]
    rows.append(("together", figure(sum(ledger.establishment.values()))))
    rests_on = "Bills of the departments, at the catalogue's prices or your own."
    return Table("What it costs to establish", ("what", ledger.currency), tuple(rows), rests_on)


def worth(ledger: Ledger) -> Table:
    currency = ledger.currency
    rows: list[tuple[Cell, ...]] = [
        (f"net present value, {kind}, {currency}", figure(value))
        for kind, value in zip(("low", "middle", "high"), ledger.npv, strict=True)
    ]
    rows.append(("years until it has paid for itself", _or_never(ledger.payback_year)))
    if ledger.payback_discounted is not None:
        rows.append(("the same with interest", ledger.payback_discounted))
    if ledger.internal_rate is not None:
        rows.append(("internal rate of return, % a year", percent(ledger.internal_rate, 1)))
    if ledger.hours_per_hectare:
        rows.append(("work in a full-grown year, hours a hectare", figure(ledger.hours_per_hectare)))
    return Table(
        "What it is worth", ("what", "figure"), tuple(rows), f"All money in {currency}, never converted."
    )


def _or_never(year: int | None) -> Cell:
    return "not within the plan" if year is None else year


def money(ledger: Ledger, planting: int) -> Table:
    rows = tuple(
        (
            calendar_year(ledger, planting, index),
            figure(float(ledger.yearly_cost[index])),
            *(figure(float(value)) for value in ledger.value[index]),
            *(figure(float(flow)) for flow in ledger.cash_flow[index]),
        )
        for index in range(len(ledger.yearly_cost))
    )
    return Table(
        f"Year by year, {ledger.currency}",
        ("year", "cost", "value of fruit, low", "middle", "high", "cash flow, low", "middle", "high"),
        rows,
        "Fruit valued at what it would cost to buy; low, middle and high weather years.",
        charts=("cash",),
    )


def grown_year(ledger: Ledger) -> Table:
    rows: list[tuple[Cell, ...]] = [
        ("worth: " + use, figure(value)) for use, value in ledger.value_by_use.items()
    ]
    rows += [("cost: " + kind, figure(value)) for kind, value in ledger.cost_by_kind.items()]
    return Table("A full-grown middle year", ("what", ledger.currency), tuple(rows))


def hours(ledger: Ledger, planting: int) -> Table:
    horizon = len(ledger.yearly_cost)
    shown = sorted({index for index in (0, 1, 2, 4, 7, horizon - 1) if index < horizon})
    tasks = sorted(ledger.tasks, key=lambda task: -float(task.hours.sum()))
    rows: list[tuple[Cell, ...]] = [
        (task.name, *(figure(float(task.hours[index].sum())) for index in shown)) for task in tasks
    ]
    rows.append(
        ("together", *(figure(sum(float(task.hours[index].sum()) for task in tasks)) for index in shown))
    )
    return Table(
        "Hours of work",
        ("task", *(str(calendar_year(ledger, planting, index)) for index in shown)),
        tuple(rows),
        f"There are hands for {ledger.hands_hours_per_week:,.0f} hours a week.",
        widths=(2, *(1.0,) * len(shown)),
        charts=("labour",),
    )


def short_weeks(ledger: Ledger, planting: int) -> Table:
    """The twenty worst weeks; the rest are counted."""
    worst = sorted(ledger.short_weeks, key=lambda line: -line[2])[:20]
    more = len(ledger.short_weeks) - len(worst)
    return Table(
        "Weeks that need more hands than there are",
        ("year", "week from", "hours beyond the hands"),
        tuple(
            (calendar_year(ledger, planting, year), week_label(week), figure(over))
            for year, week, over in worst
        ),
        f"And {more} further weeks with less beyond." if more else "",
    )


def sensitivity(ledger: Ledger) -> Table:
    return Table(
        "Which assumption moves the result most",
        ("assumption", f"net present value with its low, {ledger.currency}", "with its high", "swing"),
        tuple(
            (line.assumption, figure(line.low), figure(line.high), figure(abs(line.high - line.low)))
            for line in sorted(ledger.sensitivity, key=lambda line: -abs(line.high - line.low))
        ),
        "One assumption moved at a time, all others at their middle.",
        widths=(2.6, 1, 1, 0.8),
    )


def published(ledger: Ledger) -> Table:
    return Table(
        "Beside published budgets",
        ("figure", "published", "ours"),
        tuple((what, figure(theirs, 1), figure(ours, 1)) for what, theirs, ours in ledger.beside),
        widths=(3, 1, 1),
    )


def calendar(ledger: Ledger) -> Table:
    """The year's work; what is done as in the line before is not said again."""
    rows: list[tuple[Cell, ...]] = []
    before = ""
    for event in ledger.calendar:
        how = "as above" if event.how and event.how == before else event.how
        before = event.how
        dates = (date_words(event.start), date_words(event.end))
        rows.append((*dates, event.what, how, event.leaf, event.basis or UNKNOWN))
    return Table(
        "The year's work",
        ("from", "to", "what", "how", "leaf", "hangs on"),
        tuple(rows),
        "Dates of a middle year.",
        tuple(_event_cautions(ledger)),
        (0.9, 0.9, 1.5, 2.7, 0.6, 1.5),
    )


def _event_cautions(ledger: Ledger) -> list[str]:
    """Each caution once, with the work it belongs to."""
    works: dict[str, list[str]] = {}
    for event in ledger.calendar:
        if event.caution and event.what not in works.setdefault(event.caution, []):
            works[event.caution].append(event.what)
    return [
        f"Caution, {', '.join(names[:3])}{f' and {len(names) - 3} more' if len(names) > 3 else ''}: {says}"
        for says, names in works.items()
    ]
