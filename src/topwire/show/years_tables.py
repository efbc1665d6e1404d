"""Tables of the Years and Ledger departments: growth, crop by leaf, hours and money."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.growth.result import CropForecast
from topwire.ledger.result import Ledger
from topwire.show.reader import Reader, date_words, percent
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.units import Kind
from topwire.weeks import week_label


def years_tables(orchard: Orchard) -> list[Table]:
    years = orchard.years
    if years is None:
        return []
    reader = Reader(orchard.origin.units)
    found = [
        crop(years, orchard, reader),
        to_the_wire(years, reader),
        by_cultivar(years, reader),
        fruit(years),
    ]
    if years.rules:
        found.append(rules(years, reader))
    return found + beside(years, reader)


def crop(years: CropForecast, orchard: Orchard, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    rows = []
    for index, leaf in enumerate(years.leaf):
        cells: list[Cell] = [int(leaf), orchard.origin.planting_year + int(leaf)]
        cells += [reader.figure(float(kg), Kind.MASS) for kg in years.orchard_kg[index]]
        if years.t_per_ha.size:
            cells += [figure(reader.yield_per_area(float(years.t_per_ha[index, 1])), 1)]
        rows.append(tuple(cells))
    columns = ["leaf", "summer of", f"crop, low year, {mass}", f"middle, {mass}", f"high, {mass}"]
    if years.t_per_ha.size:
        columns.append(f"middle, {reader.yield_unit}")
    low, middle, high = (reader.yield_per_area(value) for value in years.mature_t_per_ha)
    return Table(
        "The crop by leaf",
        tuple(columns),
        tuple(rows),
        f"New trees only. Full grown: {low:.0f}, {middle:.0f}, {high:.0f} {reader.yield_unit} (low, middle, high).",
        ("A tree planted in autumn opens its first leaf the next spring.",),
        charts=("crop",),
    )


def to_the_wire(years: CropForecast, reader: Reader) -> Table:
    rows = []
    for index, name in enumerate(years.cultivars):
        reaches = years.reaches_wire[index]
        first = [_at(years, index, leaf) for leaf in (1, 2, 3, 4)]
        rows.append(
            (name, *(reader.figure(height, Kind.LENGTH, 1) for height in first), *map(_leaf, reaches))
        )
    unit = reader.unit(Kind.LENGTH)
    wire = f" at {reader.tape(years.wire_height)}" if years.wire_height else ""
    return Table(
        f"The leader on its way to the top wire{wire}",
        (
            "cultivar", f"height after leaf 1, {unit}", f"leaf 2, {unit}", f"leaf 3, {unit}", f"leaf 4, {unit}",
            "at the wire in leaf, strong tree", "middle", "weak tree",
        ),
        tuple(rows),
        "Middle heights; “not” = not within fifteen leaves. A tree carries no crop before its leader is at the wire.",
        widths=(1.8, 1, 1, 1, 1, 1, 0.8, 0.8),
        charts=("leader",),
    )  # fmt: skip


def _at(years: CropForecast, cultivar: int, leaf: int) -> float | None:
    found = np.flatnonzero(years.leaf == leaf)
    return float(years.height[cultivar, found[0], 1]) if found.size else None


def _leaf(value: float) -> Cell:
    return "not" if np.isnan(value) else figure(float(value))


def by_cultivar(years: CropForecast, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    shown = [leaf for leaf in (2, 3, 4, 5, 6, 8, 10, 15) if leaf in years.leaf]
    places = [int(np.flatnonzero(years.leaf == leaf)[0]) for leaf in shown]
    rows = []
    for index, name in enumerate(years.cultivars):
        cells: list[Cell] = [name]
        cells += [reader.figure(float(years.kg_per_tree[index, place, 1]), Kind.MASS, 1) for place in places]
        cells.append(reader.figure(float(years.full_crop_kg_per_tree[index]), Kind.MASS, 1))
        rows.append(tuple(cells))
    return Table(
        f"Crop of a tree by leaf, middle year, {mass}",
        ("cultivar", *(f"leaf {leaf}" for leaf in shown), "heaviest"),
        tuple(rows),
        "Heaviest: the high year of a full-grown tree, which the wires must hold.",
    )


def fruit(years: CropForecast) -> Table:
    shown = [leaf for leaf in (2, 3, 4, 5, 6, 8, 10) if leaf in years.leaf]
    places = [int(np.flatnonzero(years.leaf == leaf)[0]) for leaf in shown]
    return Table(
        "Fruits to leave on a tree when thinning",
        ("cultivar", *(f"leaf {leaf}" for leaf in shown)),
        tuple(
            (name, *(figure(float(years.fruit_target[index, place])) for place in places))
            for index, name in enumerate(years.cultivars)
        ),
        "From trunk area, later from ground area; 0 = strip every flower.",
    )


def rules(years: CropForecast, reader: Reader) -> Table:
    mass = reader.unit(Kind.MASS)
    return Table(
        "When to let a young tree crop",
        (
            "rule", "at the wire, leaf", "never there, % of trees", f"crop of a tree to leaf 5, {mass}",
            f"to leaf 10, {mass}", "this plan",
        ),
        tuple(
            (
                rule.name,
                figure(rule.leaf_at_wire, 1),
                percent(rule.never_at_wire),
                reader.figure(rule.kg_to_leaf_5, Kind.MASS, 1),
                reader.figure(rule.kg_to_leaf_10, Kind.MASS),
                "yes" if rule.chosen else "",
            )
            for rule in years.rules
        ),
        "Means over the orchard's trees.",
        widths=(2, 1, 1, 1, 1, 0.7),
    )  # fmt: skip


def beside(years: CropForecast, reader: Reader) -> list[Table]:
    if years.trials:
        return [
            Table(
                "Beside published trials",
                (
                    "trial", "quantity", "unit", "published", "ours, thinned as advised", "ours, cropped as there",
                    "source",
                ),
                tuple(
                    (
                        line.trial,
                        line.quantity,
                        line.unit,
                        figure(line.published, 1),
                        figure(line.thinned_to_rule, 1),
                        figure(line.as_cropped, 1),
                        line.source,
                    )
                    for line in years.trials
                ),
                "The forecast run for the trial's own stock and spacing; in the trial's units.",
                widths=(3.1, 1.3, 0.6, 0.8, 0.9, 0.9, 0.9),
            )
        ]  # fmt: skip
    if not years.beside_trials:
        return []
    return [
        Table(
            "Beside published trials",
            ("trial", "its value, kg a tree", "ours, kg a tree"),
            tuple((name, figure(theirs, 1), figure(ours, 1)) for name, theirs, ours in years.beside_trials),
            "In the trial's units.",
            widths=(3, 1, 1),
        )
    ]


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
