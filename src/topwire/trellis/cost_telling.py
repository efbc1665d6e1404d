"""What is told of money: prices nobody has quoted, the stated budget, costs that have been published."""

from collections.abc import Iterator
from typing import Any

from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.kinds import BY_AREA, PartOfCost
from topwire.trellis.published import LONG_ROW, with_long_rows
from topwire.trellis.sized import SizedTrellis
from topwire.values.mark import Mark
from topwire.values.notice import Measured, Notice, assumption, remark, warning
from topwire.values.quantities import Plain
from topwire.values.units import Kind


def prices_notices(asked: TrellisQuestion) -> Iterator[Notice]:
    stock = asked.stock
    foreign = [money for money in stock.currencies if money != asked.currency]
    if foreign:
        yield warning(
            "trellis.prices_foreign",
            setting="catalogue/trellis_fittings.csv",
            concerns=foreign,
            currency=asked.currency,
        )
    origins = [
        *(post.origin for post in stock.posts),
        *(wire.origin for wire in stock.wires),
        *stock.origins.values(),
    ]
    guessed = sum(origin.mark in (Mark.UNSAID, Mark.MEMORY) for origin in origins)
    if guessed:
        yield assumption(
            "trellis.prices_proposed", setting="catalogue/posts.csv", proposed=guessed, of=len(origins)
        )


def budget_notices(asked: TrellisQuestion, found: SizedTrellis) -> Iterator[Notice]:
    """What the stated budget buys, and what of the design gust it gives up."""
    budget, setting, bought = asked.budget_per_tree, "trellis.budget_per_tree", found.bought
    if budget is None or not found.trees:
        return
    each, stands = found.cost / found.trees, all(item.stands for item in found.rows)
    gust = Measured(found.gust, Kind.SPEED)
    money = Measured(budget, Plain.MONEY, 2)
    spent = Measured(each, Plain.MONEY, 2)
    if bought is None:
        if each > budget:
            yield warning("trellis.over_budget", setting=setting, budget=money, cost=spent)
        return
    if each <= budget and stands:
        if bought.gust is not None and bought.gust > found.gust:
            more = Measured(bought.gust, Kind.SPEED)
            yield remark("trellis.budget_buys_more", setting=setting, gust=gust, more=more)
        return
    if bought.gust is None or bought.first is None:
        least: dict[str, Any] = (
            {} if bought.least is None else {"least": Measured(bought.least / found.trees, Plain.MONEY, 2)}
        )
        yield warning(
            "trellis.budget_buys_nothing", setting=setting, gust=gust, budget=money, cost=spent, **least
        )
        return
    yield warning(
        "trellis.budget_buys_less",
        setting=setting,
        gust=gust,
        budget=money,
        cost=spent,
        less=Measured(bought.gust, Kind.SPEED),
        force=(bought.gust / found.gust) ** 2,
        part=bought.first.part.value,
        first=Measured(bought.first.middle, Kind.SPEED),
    )


def published_notices(found: SizedTrellis) -> Iterator[Notice]:
    """Whether the trellis costs what has been published of others, and what of it lies in short rows."""
    spans = [line for line in found.published if line.what in BY_AREA]
    if not spans:
        return
    rows = [row for item in found.rows for row in item.like.rows]
    least, most = min(line.published for line in spans), max(line.published for line in spans)
    ours = spans[0].ours
    ends = next(part.cost for part in found.parts if part.part is PartOfCost.ENDS)
    count = sum(row.parts for row in rows)
    yield remark(
        "trellis.beside_published",
        setting="trellis.posts",
        source="TRELLIS-COST14",
        ours=ours,
        least=least,
        most=most,
        within=least <= ours <= most,
        dearer=ours > most,
        ends=ends / sum(part.cost for part in found.parts),
        length=Measured(sum(row.row.length for row in rows) / count, Kind.LENGTH, 0),
        long=Measured(LONG_ROW, Kind.LENGTH, 0),
        stretched=with_long_rows(rows, found.parts),
    )
