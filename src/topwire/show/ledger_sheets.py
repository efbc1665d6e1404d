"""Sheets of the Ledger department: what it costs and is worth, hours of work, the year's calendar."""

from topwire.ledger.budgets import FIELD, PUBLISHED
from topwire.ledger.capital import HECTARE, STORE, CapitalLine
from topwire.ledger.findings import Budget, Ledger
from topwire.show.bill_sheet import bill_sheet
from topwire.show.calendar_sheets import calendar_sheets, hour_digits
from topwire.show.sheet import Column, Link, Linked, LinkKind, Sheet, StandsIn, Value, sheet_of, table
from topwire.tell.ledger import BUDGETS, MOVED, RUNNING, SPENT, by_area, per_area, size_notes
from topwire.tell.reader import Reader
from topwire.tell.words import in_system
from topwire.values.calendar import week_label
from topwire.values.notice import Measured
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_PRICES = table("prices")
_LABOUR = table("labour")
_YEARS_SHOWN = (0, 1, 2, 4, 7)  # and the last
_SHORT_WEEKS_SHOWN = 20


def sheets(found: Ledger, reader: Reader) -> list[Sheet]:
    made = [establishment(found), goods(found, reader)]
    if found.yearly:
        made.append(
            bill_sheet("ledger.yearly", "Bill of a bearing year", found.yearly, found.currency, reader)
        )
    if found.capital:
        made.append(capital(found, reader))
    made += [banker(found), worth(found, reader), money(found), grown_year(found), hours(found)]
    if found.short_weeks:
        made.append(short_weeks(found))
    made.append(sensitivity(found))
    if len(found.sizes) > 1:
        made.append(sizes(found, reader))
    if found.beside:
        made.append(published(found, reader))
    if found.sulphite:
        made.append(sulphite(found))
    return [*made, *calendar_sheets(found, reader)]


def establishment(found: Ledger) -> Sheet:
    rows: list[tuple[Value, ...]] = [(SPENT[what], cost) for what, cost in found.establishment.items()]
    return Sheet(
        "ledger.establishment",
        "What it costs to establish",
        (Column("what", "what"), Column("cost", "cost", Plain.MONEY, unit=found.currency, links=_PRICES)),
        (*rows, ("together", found.cost_to_establish)),
        "Bills of the departments, at the catalogue's prices or your own.",
    )


def sizes(found: Ledger, reader: Reader) -> Sheet:
    """How large an orchard serves how much of what the kitchen wants, and what it takes."""
    fenced = any(line.fence for line in found.sizes)
    return sheet_of(
        "ledger.sizes",
        "The smallest orchard that feeds this kitchen",
        (
            Column("trees", "trees", Plain.COUNT, width=0.6, links=(Link(LinkKind.SETTING, "trees.total"),)),
            Column("rows", "rows", Plain.COUNT, width=0.5),
            Column("ground", "ground", Kind.GROUND, width=0.8),
            *([Column("fence", "fence", Kind.LENGTH, width=0.7)] if fenced else []),
            Column("cost", f"cost to establish, {found.currency}", Plain.MONEY, width=1),
            Column("served", "served, mean year", Plain.SHARE, width=0.8),
            Column("worst_fifth", "served, worst fifth of years", Plain.SHARE, width=0.9),
            Column("own", "which", width=0.7, of=lambda line: "this plan" if line.own else ""),
        ),
        found.sizes,
        "The chosen cultivars in their best numbers for so many trees, served in every weather year; shares are of all "
        f"the {'pounds' if reader.us else 'kilograms'} the kitchen wants, as on the first page. What other sizes take "
        "is the plan’s own in proportion, no design of their own: rows, their length and the fence go with the root of "
        "the trees, bills with the new trees; goods that last cost what they cost here.",
        size_notes(found, reader),
        charts=("sizes",),
    )


def goods(found: Ledger, reader: Reader) -> Sheet:
    return bill_sheet("ledger.goods", "Bill of the first years", found.goods, found.currency, reader)


def capital(found: Ledger, reader: Reader) -> Sheet:
    def money(name: str, caption: str) -> Column:
        return Column(name, caption, Plain.MONEY, width=0.8, links=table("capital"))

    return sheet_of(
        "ledger.capital",
        f"Goods that last, in money of {found.money_year}",
        (
            Column("item", "item", width=1.8),
            Column("number", "how many", width=0.8, of=lambda line: _how_many(line, reader)),
            money("low", "low"),
            money("cost", f"cost, {found.currency}"),
            money("high", "high"),
            Column("have", "have it already", width=0.7, links=(Link(LinkKind.SETTING, "money.have"),)),
            Column(
                "needed",
                "needed",
                width=0.9,
                of=lambda line: "planting" if line.at_planting else "first crop",
            ),
            Column("lasts", "lasts, years", Plain.COUNT, width=0.6),
            Column("year", "price of", Plain.YEAR, width=0.6),
            Column("factor", "times", Plain.RATIO, 2, width=0.6, links=table("price_index")),
            Column("price_from", "price from", width=0.9, of=lambda line: line.source or _RESTS[line.mark]),
        ),
        found.capital,
        "Name what is there already in money.have; a cellar and a press whose size the plan states are there. Prices "
        "nobody quoted are planning figures; older ones are brought up by consumer prices.",
    )


def _how_many(line: CapitalLine, reader: Reader) -> str:
    if line.per == STORE:
        return reader.text(line.number, Kind.GROUND)
    return reader.text(line.number * 1e4, Kind.AREA) if line.per == HECTARE else f"{line.number:,.0f}"


_RESTS = {"MEMORY": "planning figure", "proposal": "proposal", "own": "own"}


def banker(found: Ledger) -> Sheet:
    """On one page: what it takes, where it comes from, how deep it goes, what covers a year, what ruins it."""
    low, middle, high = found.deepest
    spent = found.cost_to_establish
    rows: list[tuple[Value, ...]] = [
        ("uses: to establish", *[spent] * 3),
        (
            "uses: the years until the crop covers them, goods with the first crop among them, less its worth",
            *(part.out - spent for part in found.deepest),
        ),
        ("uses together", low.out, middle.out, high.out),
        ("sources: own work at the plan's wage", low.work, middle.work, high.work),
        ("sources: money to find", *(part.out - part.work for part in found.deepest)),
        ("year in which it is deepest", str(low.year), str(middle.year), str(high.year)),
    ]
    rows += [
        (f"{year}: cash of the year", *map(float, flow))
        for year, flow in zip(found.years, found.cash_flow, strict=True)
    ]
    even = found.break_even
    said = (
        ""
        if even is None
        else f"A full-grown year covers its own cost with {even.worth_needed / even.worth:.0%} of its fruit’s worth."
    )
    ruins = ", ".join(MOVED[line.moved] for line in found.ruins[:4])
    return Sheet(
        "ledger.banker",
        f"For the bank, {found.currency} of {found.money_year}",
        (
            Column("what", "what", width=2),
            Column("low", "low years", Plain.MONEY),
            Column("middle", "middle", Plain.MONEY),
            Column("high", "high years", Plain.MONEY),
        ),
        tuple(rows),
        said,
        (
            _ruined(found, ruins),
            "Cash counts own hours as paid and fruit as bought: what the house would otherwise spend. Goods are bought "
            "again when they are worn; nothing is counted for what still stands at the end.",
        ),
    )


def _ruined(found: Ledger, ruins: str) -> str:
    if not ruins:
        return "No single figure at its poor end leaves a loss."
    said = f"Each of these alone, at its poor end, leaves a loss: {ruins}."
    if found.npv[1] >= 0:
        return said
    short = f"{-found.npv[1]:,.0f} {found.currency}"
    return f"Already with every figure at its middle the plan falls {short} short of its interest. {said}"


def worth(found: Ledger, reader: Reader) -> Sheet:
    currency = found.currency
    rows: list[tuple[Value, ...]] = [
        (f"net present value, {kind}, {currency}", Measured(value, Plain.MONEY))
        for kind, value in zip(("low", "middle", "high"), found.npv, strict=True)
    ]
    never = "not within the plan"
    rows.append(("years until it has paid for itself", found.payback_year or never))
    rows.append(("the same with interest", found.payback_discounted or never))
    if found.internal_rate is not None:
        rows.append(("internal rate of return a year", Measured(found.internal_rate, Plain.SHARE, 1)))
    if found.break_even is not None:
        even, mass = found.break_even, reader.unit(Kind.MASS)
        each = reader.convert(1.0, Kind.MASS)
        rows += [
            ("crop of a full-grown middle year, all that the trees bear", Measured(even.crop, Kind.MASS)),
            (f"what it is worth, {currency} a {mass}", Measured(even.worth / each, Plain.MONEY, 2)),
            (
                f"worth that covers its cost, goods that wear out by the year, {currency} a {mass}",
                Measured(even.worth_needed / each, Plain.MONEY, 2),
            ),
            (
                "crop that covers it at that worth",
                "none does" if even.crop_needed is None else Measured(even.crop_needed, Kind.MASS),
            ),
        ]
    areas = found.areas
    kind = Kind.AREA if areas.tree_ground >= FIELD else Kind.GROUND
    rows += [
        ("ground of the blocks", Measured(areas.blocks, kind)),
        ("tree ground: row spacing times tree spacing of every new tree", Measured(areas.tree_ground, kind)),
    ]
    if areas.fenced:
        rows.append(("ground inside the deer fence", Measured(areas.fenced, kind)))
    if areas.tree_ground:
        each_area = "an acre" if reader.us else "a hectare"
        rows.append(
            (
                f"work in a full-grown year, hours {each_area} of tree ground",
                by_area(found.outdoor_hours / areas.tree_ground, reader),
            )
        )
    return Sheet(
        "ledger.worth",
        "What it is worth",
        (Column("what", "what", width=2), Column("figure", "figure", width=1)),
        tuple(rows),
        f"All money in {currency}, never converted. Net present value: all years' flows in the planting year's "
        f"money, at "
        "the plan's interest. Internal rate of return: the yearly interest that what is spent earns.",
    )


def money(found: Ledger) -> Sheet:
    def column(key: str, caption: str) -> Column:
        return Column(key, caption, Plain.MONEY, links=_PRICES)

    return Sheet(
        "ledger.years",
        f"Year by year, {found.currency}",
        (
            Column("year", "year", Plain.YEAR),
            column("cost", "cost"),
            column("value_low", "value of fruit, low"),
            column("value_middle", "middle"),
            column("value_high", "high"),
            column("flow_low", "cash flow, low"),
            column("flow_middle", "middle"),
            column("flow_high", "high"),
        ),
        tuple(
            (int(year), float(cost), *map(float, value), *map(float, flow))
            for year, cost, value, flow in zip(
                found.years, found.yearly_cost, found.value, found.cash_flow, strict=True
            )
        ),
        "Fruit valued at what it would cost to buy; low, middle and high weather years.",
        charts=("cash",),
    )


def grown_year(found: Ledger) -> Sheet:
    rows: list[tuple[Value, ...]] = [(f"worth: {use}", value) for use, value in found.value_by_use.items()]
    rows += [(f"cost: {RUNNING[kind]}", value) for kind, value in found.cost_by_kind.items()]
    return Sheet(
        "ledger.grown_year",
        "A full-grown middle year",
        (Column("what", "what"), Column("amount", "amount", Plain.MONEY, unit=found.currency, links=_PRICES)),
        tuple(rows),
    )


def hours(found: Ledger) -> Sheet:
    horizon = len(found.years)
    shown = sorted({index for index in (*_YEARS_SHOWN, horizon - 1) if index < horizon})
    tasks = sorted(found.tasks, key=lambda task: -float(task.hours.sum()))
    rows: list[tuple[Value, ...]] = [
        (task.name, *(float(task.hours[index].sum()) for index in shown)) for task in tasks
    ]
    rows.append(("together", *(sum(float(task.hours[index].sum()) for task in tasks) for index in shown)))
    return Sheet(
        "ledger.hours",
        "Hours of work",
        (
            Column("task", "task", width=2),
            *(
                Column(
                    f"year_{index}",
                    str(found.years[index]),
                    Plain.HOURS,
                    hour_digits(found),
                    width=1,
                    links=_LABOUR,
                )
                for index in shown
            ),
        ),
        tuple(rows),
        f"There are hands for {found.hands_hours_per_week:,.0f} hours a week.",
        charts=("labour",),
    )


def short_weeks(found: Ledger) -> Sheet:
    """The twenty worst weeks; the rest are counted."""
    worst = sorted(found.short_weeks, key=lambda line: -line.beyond)[:_SHORT_WEEKS_SHOWN]
    more = len(found.short_weeks) - len(worst)
    hands = (Link(LinkKind.SETTING, "money.hands"), *_LABOUR)
    return sheet_of(
        "ledger.short_weeks",
        "Weeks that need more hands than there are",
        (
            Column("year", "year", Plain.YEAR, of=lambda line: int(found.years[line.year])),
            Column("week", "week from", of=lambda line: week_label(line.week)),
            Column("beyond", "hours beyond the hands", Plain.HOURS, links=hands),
        ),
        worst,
        f"And {more} further weeks with less beyond." if more else "",
    )


def sensitivity(found: Ledger) -> Sheet:
    return sheet_of(
        "ledger.sensitivity",
        "Which assumption moves the result most",
        (
            Column("assumption", "assumption", width=2.6, of="moved", words=MOVED),
            Column("low", "net present value with its low", Plain.MONEY, width=1, unit=found.currency),
            Column("high", "with its high", Plain.MONEY, width=1),
            Column("swing", "swing", Plain.MONEY, width=0.8, of=lambda line: abs(line.high - line.low)),
        ),
        found.sensitivity,
        "One assumption moved at a time, all others at their middle.",
    )


def published(found: Ledger, reader: Reader) -> Sheet:
    return Sheet(
        "ledger.published",
        "Beside published budgets",
        (
            Column("figure", "figure", width=3),
            Column("published", "published", width=1),
            Column("ours", "ours", width=1),
            Column("source", "source", width=1),
        ),
        tuple(
            (
                in_system(BUDGETS[line.budget], reader),
                *(_budget(line.budget, value, reader) for value in (line.published, line.ours)),
                Linked(line.source, Link(LinkKind.SOURCE, line.source)),
            )
            for line in found.beside
        ),
        f"Published dollars, of {PUBLISHED}, are brought to the plan's money of {found.money_year}. Ours have store, "
        "press and sprayer in them where they are bought; the published have not."
        if any(line.budget in (Budget.PYRAMID_BY_TREE, Budget.SPINDLE_BY_TREE) for line in found.beside)
        else "",
        stands_in=StandsIn.SURENESS,
    )


_BY_AREA = (Budget.SMALL_FARM_HOURS, Budget.PYRAMID_BY_AREA, Budget.SPINDLE_BY_AREA)


def _budget(budget: Budget, value: float, reader: Reader) -> Measured:
    if budget in _BY_AREA:
        return Measured(per_area(value, reader), Plain.COUNT)
    if budget in (Budget.RETURN_LEAST, Budget.RETURN_MOST):
        return Measured(value, Plain.SHARE, 1)
    return Measured(value, Plain.COUNT, 0 if budget is Budget.RECOVERED else 2)


def sulphite(found: Ledger) -> Sheet:
    return sheet_of(
        "ledger.sulphite",
        "Sulphite that keeps a dry cider",
        (
            Column("acidity", "pH of the cider, measured", Plain.RATIO, 1),
            Column("free", "free sulphur dioxide", Plain.CONCENTRATION, 3),
        ),
        found.sulphite,
        "Free, not added: some of what is added is bound, so measure again. 0.8 mg/L of it molecular (CIDER-SO2).",
        (
            "Caution: sulphite hurts the lungs; some guests must not drink it. The law limits it and wants it named.",
        ),
    )
