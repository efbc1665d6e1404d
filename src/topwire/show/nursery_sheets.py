"""Sheets of the Nursery department: what to graft, buy and order, and when."""

from collections import Counter

from topwire.nursery.findings import GraftLine, NurseryFindings, Way
from topwire.show.sheet import Column, LinkKind, Sheet, Value, setting, sheet_of, table
from topwire.tell.nursery import BUY_STOCKS, RIGHTS, TROUBLES, WAYS, sold_as
from topwire.tell.reader import Reader, counted
from topwire.values.notice import Measured
from topwire.values.quantities import Plain
from topwire.values.units import Kind

_CHANCE = setting("nursery.chance") + table("propagation")
_PRICES = table("prices")


def sheets(found: NurseryFindings, reader: Reader) -> list[Sheet]:
    made = [grafts(found, reader), stocks(found), outlook(found)]
    if found.wood:
        made.append(wood(found))
    if found.policies:
        made += [policies(found), *([troubles(found)] if found.troubles else [])]
    if found.topworking:
        made.append(topworking(found))
    return made


def grafts(found: NurseryFindings, reader: Reader) -> Sheet:
    """A remark that many lines share stands once, under the sheet."""
    said = Counter(filter(None, map(remark, found.lines)))
    shared = [text for text, times in said.items() if times > 2]

    def noted(line: GraftLine) -> str:
        text = remark(line)
        return f"note {shared.index(text) + 1}" if text in shared else text

    return sheet_of(
        "nursery.grafts",
        "What to graft and what to buy",
        (
            Column("cultivar", "cultivar", width=1.5, leads=LinkKind.CULTIVAR),
            Column("rootstock", "rootstock", width=0.8, links=setting("trees.rootstock")),
            Column("trees", "trees wanted", width=0.65),
            Column("grafts", "grafts to make", width=0.65, links=_CHANCE),
            Column("bought", "trees to buy", width=0.6, of="bought_trees"),
            Column("chance", "chance of enough", Plain.SHARE, 1, width=0.75, links=_CHANCE),
            Column("scion_sticks", "scion sticks", width=0.6, links=_CHANCE[1:]),
            Column("stands", "stands in the nursery rows", width=1.4, of=lambda line: _stands(line, reader)),
            Column("remark", "remark", width=1.7, of=noted),
        ),
        found.lines,
        f"About {found.chain:.0%} of grafts end as good trees; with these numbers all cultivars together reach theirs "
        f"with a chance of {found.joint_chance:.0%}.",
        tuple(f"{number}: {text}." for number, text in enumerate(shared, start=1)),
        charts=("grafts",),
    )


def remark(line: GraftLine) -> str:
    """Why a tree is bought, what to watch about its union, and the mark it is sold under."""
    return "; ".join(filter(None, (RIGHTS[line.right], *line.union_remarks, sold_as(line.trade_marks))))


def _stands(line: GraftLine, reader: Reader) -> str:
    if line.row_from is None or line.row_to is None:
        return ""
    return f"from {reader.text(line.row_from, Kind.LENGTH, 0)} to {reader.text(line.row_to, Kind.LENGTH, 0)}"


def stocks(found: NurseryFindings) -> Sheet:
    spare = (
        f"{found.spare_stocks:,} of {found.spare_stock} for August buds and " if found.spare_stocks else ""
    )
    return sheet_of(
        "nursery.stocks",
        "Rootstocks to order",
        (
            Column("rootstock", "rootstock", width=1),
            Column("number", "number", width=0.6, links=table("propagation")),
            Column("culls", "of these for culls", width=0.7, links=table("propagation")),
            Column("remark", "remark", width=2, of=lambda line: BUY_STOCKS if line.protected else ""),
        ),
        found.stocks,
        f"A stock for every graft, and with them {spare}those for culls (too thin, forked or dry).",
    )


def wood(found: NurseryFindings) -> Sheet:
    return sheet_of(
        "nursery.wood",
        "Scarce wood, winter by winter",
        (
            Column("cultivar", "cultivar", width=1.5, leads=LinkKind.CULTIVAR),
            Column("year", "winter, cut by spring", width=0.8),
            Column("fetched", "sticks from elsewhere", width=0.9, links=setting("nursery.wood")),
            Column("own", "sticks from the mother row", width=0.9, links=table("propagation")),
            Column("grafts", "grafts they allow", width=0.8, links=table("propagation")),
            Column("mothers", "of these, mother trees", width=0.8),
            Column("wanted", "grafts wanted for the orchard", width=0.9),
            Column("short", "without wood", width=0.7),
        ),
        found.wood,
        "A whip of the spring before gives about three sticks, a mother tree cut back twice as many (proposals). Each "
        "mother tree needs a stock, ordered the autumn before.",
    )


def outlook(found: NurseryFindings) -> Sheet:
    steps = found.steps
    rows: list[tuple[Value, ...]] = [
        (what, Measured(share, Plain.SHARE))
        for what, share in (
            ("grafts that take", steps.take),
            ("of them through the winter", steps.overwinter),
            ("of them good enough to plant", steps.grade),
            ("of them alive after planting", steps.transplant),
        )
    ]
    if found.take_range is not None:
        low, high = found.take_range
        rows.append(("take, learnt from your own lots", f"{low:.0%} to {high:.0%}"))
    rows += [
        ("nursery ground", Measured(found.nursery_area, Kind.GROUND)),
        ("nursery rows together", Measured(found.nursery_row_length, Kind.LENGTH, 0)),
        ("grafting", Measured(found.bench_hours, Plain.HOURS)),
        ("lining out, weeding, lifting", Measured(found.care_hours, Plain.HOURS)),
        (f"cost, {found.currency}", Measured(found.cost, Plain.MONEY)),
    ]
    return Sheet(
        "nursery.outlook",
        "The nursery in figures",
        (Column("what", "what", width=1.4), Column("figure", "figure", width=1)),
        tuple(rows),
        compared(found),
    )


def policies(found: NurseryFindings) -> Sheet:
    return sheet_of(
        "nursery.ways",
        "Ways to be sure of the trees",
        (
            Column("way", "way", width=2.2, words=WAYS),
            Column("grafts", "grafts", width=0.7),
            Column("spare_stocks", "spare stocks", width=0.7),
            Column("august_buds", "August buds", Plain.COUNT, width=0.8),
            Column("joint_chance", "chance for all", Plain.SHARE, 1, width=0.8, links=_CHANCE),
            Column("late_trees", "late trees", Plain.COUNT, 1, width=0.7),
            Column("missing", "missing when short", Plain.COUNT, 1, width=0.8),
            Column("cost", "cost", Plain.MONEY, width=0.7, unit=found.currency, links=_PRICES),
            Column("chosen", "this plan", width=0.6, links=setting("nursery.jointly")),
        ),
        found.policies,
        compared(found),
    )


def troubles(found: NurseryFindings) -> Sheet:
    return sheet_of(
        "nursery.troubles",
        "The order when a whole batch has bad luck",
        (
            Column("trouble", "bad luck", width=2, words=TROUBLES),
            Column("joint_chance", "chance for all", Plain.SHARE, width=0.8, links=_CHANCE),
            Column("missing", "trees missing when short", Plain.COUNT, width=0.9),
        ),
        found.troubles,
        "Sizes are proposals. August buds and spares already counted where the order has them.",
    )


def compared(found: NurseryFindings) -> str:
    """The ways set against each other in words; what is cheaper is measured, not said beforehand."""
    by_way = {line.way: line for line in found.policies}
    if Way.ALONE not in by_way:
        return "No tree is grafted at home."
    alone, joint = by_way[Way.ALONE], by_way[Way.TOGETHER]
    money = found.currency
    said = (
        f"{counted(alone.grafts, 'graft')}, each cultivar for itself, bring all of them through with a chance of "
        f"{alone.joint_chance:.0%}. To be {joint.joint_chance:.0%} sure of all takes {counted(joint.grafts, 'graft')} "
        f"({joint.cost:,.0f} {money}). "
    )
    if Way.POOLED not in by_way:
        return said + "No pool of spares reaches that chance."
    spare = by_way[Way.POOLED]
    word = "Cheaper" if spare.cost < joint.cost else "No cheaper here"
    return said + (
        f"{word}: {counted(spare.grafts, 'graft')}, {counted(spare.spare_stocks, 'spare stock')} in one pool and about "
        f"{counted(spare.august_buds, 'August bud')} on spares and failures give {spare.joint_chance:.0%} for "
        f"{spare.cost:,.0f} {money}, with about {counted(spare.late_trees, 'tree')} a season younger than the rest. "
        f"{_bought(found)}"
    )


def _bought(found: NurseryFindings) -> str:
    """What buying all trees would cost beside the order."""
    bought = next((line for line in found.policies if line.way is Way.BOUGHT), None)
    order = next((line for line in found.policies if line.chosen), None)
    if bought is None or order is None:
        return ""
    less = "less" if bought.cost < order.cost else "more"
    return (
        f"Bought, all cost {bought.cost:,.0f} {found.currency}, {abs(bought.cost - order.cost):,.0f} {less} than "
        "this order, without a knife and a year sooner, where each kind is to be had on its stock: ask first "
        "(nursery.trees: buy)."
    )


def topworking(found: NurseryFindings) -> Sheet:
    return sheet_of(
        "nursery.topworking",
        "Standing trees: grafted over, or pulled out and planted anew",
        (
            Column("cultivar", "cultivar now", leads=LinkKind.CULTIVAR),
            Column("rootstock", "rootstock"),
            Column("trees", "trees"),
            Column("scions", "scions"),
            Column("hours", "hours", Plain.HOURS),
            Column("chance", "chance a tree takes", Plain.SHARE, of="chance_per_tree"),
            Column(
                "lost_grafted_over", "crop lost a tree in ten years, grafted over", Kind.MASS, of="crop_lost"
            ),
            Column("lost_replanted", "planted anew", Kind.MASS, of="crop_lost_replanted"),
        ),
        found.topworking,
        "Against a tree left alone.",
    )
