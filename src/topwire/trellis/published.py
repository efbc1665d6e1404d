"""What the trellis costs part by part, beside what has been published of trellises, in the plan's money."""

from collections.abc import Sequence
from dataclasses import dataclass

from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.bill import CRIMPER, TOOLS, Basket, put_end, put_tools
from topwire.trellis.choices import SizedRows, put_rows, row_positions
from topwire.trellis.cost_findings import BesidePublished, CostPart
from topwire.trellis.kinds import PartOfCost, PublishedCost
from topwire.trellis.rows import TrellisRow, own_demands
from topwire.values.bill import together
from topwire.values.price_index import in_money_of

_ACRE = 4046.8564224  # [m2]
LONG_ROW = 200.0  # [m] a commercial row, which published budgets are for; common practice, no source
CURRENCY = "USD"


@dataclass(frozen=True)
class _Published:
    """USD of a year, [m2] or one end it is for, and its source."""

    cost: float
    of: float
    year: int
    source: str


_PUBLISHED = {
    PublishedCost.METAL_BY_AREA: _Published(9500.0, _ACRE, 2014, "TRELLIS-COST14"),
    PublishedCost.METAL_BY_TREE: _Published(9500.0, 2420.0, 2014, "TRELLIS-COST14"),
    PublishedCost.VINE_WOOD: _Published(
        2400.0, _ACRE, 2020, "TRELLIS-VINE"
    ),  # an undated page, taken as 2020
    PublishedCost.VINE_METAL: _Published(2800.0, _ACRE, 2020, "TRELLIS-VINE"),
    PublishedCost.BRACED_END: _Published(250.0, 1.0, 2013, "TRELLIS-END13"),
}


def cost_parts(asked: TrellisQuestion, sized: Sequence[SizedRows]) -> tuple[CostPart, ...]:
    """The whole cost of the wired rows and their tools by what it is spent on, work at the plan's wage apart."""
    total, ends, posts = (Basket(asked.stock) for _ in range(3))
    put_tools(total, rows=True)
    low = asked.low_wire is not None
    for item in sized:
        put_rows(total, item.like.demand, item.build, item.like.rows, low_wire=low)
        strung = len(item.like.demand.heights) + low
        for row in item.like.rows:
            for own in own_demands(item.like.demand, row):
                for end in item.build.both:
                    put_end(ends, end, 1)
                line = len(row_positions(own, item.build)) - 2
                posts.posts(item.build.post, line, item.build.post.minutes)
                posts.fitting("barbed fence staple", line * strung)
    bill = total.bill()
    tools = sum(line.cost or 0.0 for line in bill if line.item in (CRIMPER, *TOOLS))
    goods = together(bill)
    each = {PartOfCost.LINE_POSTS: together(posts.bill()), PartOfCost.ENDS: together(ends.bill())}
    rest = goods - tools - sum(each.values())
    each |= {PartOfCost.WIRES: rest, PartOfCost.TOOLS: tools, PartOfCost.WORK: total.hours * asked.wage}
    return tuple(CostPart(part, cost) for part, cost in each.items())


def beside_published(
    asked: TrellisQuestion, sized: Sequence[SizedRows], parts: Sequence[CostPart], trees: int
) -> tuple[BesidePublished, ...]:
    """Published figures brought to the plan's money, with ours; dollars only beside dollars."""
    rows = [row for item in sized for row in item.like.rows]
    if asked.currency != CURRENCY or not rows or not trees:
        return ()
    whole = sum(part.cost for part in parts)
    by_area = whole / ground_of_rows(rows)
    ends = 2 * sum(row.parts for row in rows)
    ours = {
        PublishedCost.METAL_BY_TREE: whole / trees,
        PublishedCost.BRACED_END: next(part.cost for part in parts if part.part is PartOfCost.ENDS) / ends,
    }
    return tuple(
        BesidePublished(
            name,
            one.year,
            one.cost / one.of * in_money_of(one.year, asked.money_year, asked.index),
            ours.get(name, by_area),
            one.source,
        )
        for name, one in _PUBLISHED.items()
    )


def ground_of_rows(rows: Sequence[TrellisRow]) -> float:
    """Rows times the space between them [m2]."""
    return sum(row.row.length * row.row.row_spacing for row in rows)


def with_long_rows(rows: Sequence[TrellisRow], parts: Sequence[CostPart]) -> float:
    """Cost of a square metre if the same build ran in rows of LONG_ROW, ends spread over them, tools left out."""
    cost = {part.part: part.cost for part in parts}
    length = sum(row.row.length for row in rows)
    count = sum(row.parts for row in rows)
    work = cost[PartOfCost.WORK]
    run = (cost[PartOfCost.LINE_POSTS] + cost[PartOfCost.WIRES] + work) / length
    end = cost[PartOfCost.ENDS] / count
    spacing = ground_of_rows(rows) / length
    return (run + end / LONG_ROW) / spacing
