"""The safest trellis that a stated budget buys, set beside the one that stands in the design gust.

The rule: of all gusts from that of 300 years down to that of ten years, in steps of half a metre a second, the highest
for which every row can be built for the money. Materials alone are counted, as the plan's budget does, so the search
weighs work at nothing. Below the gust of ten years nothing is offered. The trellis of the design gust stays the plan's
own: a budget never makes it weaker, it only shows what the money would buy.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from topwire.trellis.asked import TrellisQuestion
from topwire.trellis.bill import Basket
from topwire.trellis.choices import SizedRows, put_rows
from topwire.trellis.cost_findings import BudgetRow, BudgetTrellis
from topwire.trellis.details import end_detail
from topwire.trellis.holding import ground_of
from topwire.trellis.row_findings import first_to_give
from topwire.trellis.rows import LikeRows
from topwire.trellis.search import Build, Wishes, search
from topwire.trellis.storm import gust_of
from topwire.values.bill import together

STEP = 0.5  # [m/s]
# The closed forms choose for the longest row of a kind and count cables a little otherwise than the bill does, so that
# they are no strict lower bound of what the whole sizing buys: so much of their sum has to be too dear already.
ROOM = 0.95
RAREST, COMMONEST = 300, 10  # [years] storms between which the money is spent

Size = Callable[[LikeRows, float, Wishes], SizedRows]


def within_budget(
    asked: TrellisQuestion,
    sized: Sequence[SizedRows],
    wishes: Wishes,
    *,
    trees: int,
    cost: float,
    size: Size,
) -> BudgetTrellis | None:
    """What the stated budget buys; None where none is stated or no row needs a trellis.

    Parameters
    ----------
    cost : materials of the whole design, fences and stakes in it
    size : the sizing of the design, whole row and all, for other gusts
    """
    each = asked.budget_per_tree
    if each is None or not sized or not trees or asked.stamped is not None:
        return None
    money = each * trees
    beside = cost - materials(asked, [(item.like, item.build) for item in sized])  # fences and stakes
    thrifty = replace(wishes, wage=0.0)
    low, high = gust_of(asked.storm, COMMONEST), gust_of(asked.storm, RAREST)
    for gust in [*np.arange(high, low, -STEP).tolist(), low]:
        quick = _quick(asked, sized, gust, thrifty)
        if quick is None or (ROOM * quick + beside > money and gust > low):
            continue
        whole = [size(item.like, gust, thrifty) for item in sized]
        if not all(item.stands for item in whole):
            continue
        spent = materials(asked, [(item.like, item.build) for item in whole]) + beside
        if spent <= money:
            first = min((first_to_give(item.gusts) for item in whole), key=lambda found: found.middle)
            return BudgetTrellis(money, gust, spent, first, tuple(_row(item) for item in whole), spent)
    return BudgetTrellis(money, None, None, None, (), spent_on_least(asked, sized, thrifty, size, beside))


def spent_on_least(
    asked: TrellisQuestion, sized: Sequence[SizedRows], wishes: Wishes, size: Size, beside: float
) -> float | None:
    """Materials of the weakest trellis offered, that of ten years; None where even that cannot be built."""
    whole = [size(item.like, gust_of(asked.storm, COMMONEST), wishes) for item in sized]
    if not all(item.stands for item in whole):
        return None
    return materials(asked, [(item.like, item.build) for item in whole]) + beside


def materials(asked: TrellisQuestion, builds: Sequence[tuple[LikeRows, Build]]) -> float:
    """Materials of all rows, as their bill counts them."""
    basket = Basket(asked.stock)
    for like, build in builds:
        put_rows(basket, like.demand, build, like.rows, low_wire=asked.low_wire is not None)
    return together(basket.bill())


def _quick(asked: TrellisQuestion, sized: Sequence[SizedRows], gust: float, wishes: Wishes) -> float | None:
    """Materials by the closed forms alone, in the soil's own step: a quick look that the whole sizing hardly beats."""
    soaked = ground_of(asked.stock.soil, wet=True).step_down()
    builds = []
    for item in sized:
        build = search(item.like.demand, asked.stock, soaked, gust, wishes)
        if build is None:
            return None
        builds.append((item.like, build))
    return materials(asked, builds)


def _row(item: SizedRows) -> BudgetRow:
    build, demand = item.build, item.like.demand
    return BudgetRow(
        rows=item.like.addresses,
        post=build.post.name,
        depth=build.depth,
        spacing=build.spacing,
        wire=build.wire.name,
        end=end_detail(build.ends, demand),
        far_end=end_detail(build.far, demand) if build.far else None,
    )
