"""What has to be told with an order: dangers, the law, unions and viruses, what the figures rest on."""

from collections.abc import Mapping, Sequence
from math import ceil

from topwire.nursery.asked import NurseryQuestion
from topwire.nursery.findings import ChainSteps, GraftLine, WoodLine
from topwire.nursery.learning import Rate
from topwire.nursery.starts import chain_success
from topwire.nursery.ways import Order
from topwire.values.notice import Notice, assumption, caution, remark, warning
from topwire.values.price import price_notices
from topwire.values.traits import Right, UnionRisk

# Sticks from which on wood is a question: a collection or a neighbour gives a handful (common practice, no source).
_MANY_STICKS = 10


def order_notices(
    asked: NurseryQuestion,
    steps: ChainSteps,
    learnt: Rate | None,
    order: Order,
    lines: Sequence[GraftLine],
    wood: Sequence[WoodLine],
) -> list[Notice]:
    """Every notice of the order."""
    started = order.started
    wanted = asked.wanted
    notices: list[Notice] = []
    if started:
        notices.append(caution("nursery.knives"))
        notices.append(caution("nursery.wood_carries_disease"))
        notices.append(caution("nursery.free_is_no_advice", source="PPATENT"))
    protected = [line.cultivar for line in wanted if line.right is Right.LICENSED]
    if protected:
        notices.append(caution("nursery.protected", concerns=protected, source="PPATENT"))
    unknown = [line.cultivar for line in wanted if line.right is Right.UNKNOWN]
    if unknown:
        notices.append(warning("nursery.right_unknown", setting="catalogue/cultivars.csv", concerns=unknown))
    marked = [line.cultivar for line in wanted if line.trade_marks]
    if marked:
        notices.append(caution("nursery.trade_marks", setting="catalogue/cultivars.csv", concerns=marked))
    breaks = [f"{line.cultivar} on {line.rootstock}" for line in wanted if line.union is UnionRisk.BREAK]
    if breaks:
        notices.append(
            warning("nursery.union_breaks", setting="trees.rootstock_for", concerns=breaks, source="ROOT-S7")
        )
    weak = sorted({line.rootstock for line in wanted if line.union in (UnionRisk.WEAK, UnionRisk.BREAK)})
    if weak:
        notices.append(caution("nursery.union_weak", concerns=weak, source="ROOT-S7"))
    virus = sorted({line.rootstock for line in wanted if line.virus_sensitive})
    if virus:
        notices.append(warning("nursery.virus", setting="trees.rootstock", concerns=virus))
    notices.append(
        remark(
            "nursery.route",
            setting="nursery.seasons",
            source="GFTREES",
            spring=str(asked.planting_year - asked.seasons + 1),
            autumn=str(asked.planting_year),
            seasons=asked.seasons,
        )
    )
    if started:
        notices.append(_chain(asked, steps, learnt))
        notices += _missing(asked, order)
        notices += _wood(asked, lines, wood)
    return notices + _autumns(asked, started) + price_notices("nursery", asked.prices.all, asked.currency)


def _chain(asked: NurseryQuestion, steps: ChainSteps, learnt: Rate | None) -> Notice:
    low, high = learnt.range_80 if learnt else (steps.take, steps.take)
    return assumption(
        "nursery.chain",
        setting="nursery.take_rate",
        good=100 * chain_success(steps.take, steps.overwinter, steps.grade, steps.transplant),
        take=steps.take,
        overwinter=steps.overwinter,
        grade=steps.grade,
        transplant=steps.transplant,
        stated=asked.own_take_rate is not None,
        lots=len(asked.lots) if learnt else 0,
        low=low,
        high=high,
        skill=asked.skill,
    )


def _autumns(asked: NurseryQuestion, started: Mapping[str, int]) -> list[Notice]:
    """The order shared out among several planting autumns, by the trees of each."""
    trees = {line.cultivar: line.trees for line in asked.wanted}
    found = []
    for share in asked.autumns:
        mine = [(name, count) for name, count in share.trees if name in started]
        found.append(
            warning(
                "nursery.autumn_share",
                setting="years.autumns",
                autumn=str(share.autumn),
                spring=str(share.autumn - asked.seasons + 1),
                trees=sum(count for _, count in mine),
                grafts=sum(ceil(started[name] * count / trees[name]) for name, count in mine),
            )
        )
    return found


def _wood(asked: NurseryQuestion, lines: Sequence[GraftLine], wood: Sequence[WoodLine]) -> list[Notice]:
    """Whose wood has to be asked for, who needs a mother row, and whose wood does not reach."""
    many = [line for line in lines if line.scion_sticks >= _MANY_STICKS and line.cultivar not in asked.wood]
    notices = []
    if many:
        notices.append(
            caution(
                "nursery.wood_to_ask_for",
                setting="nursery.wood",
                concerns=[line.cultivar for line in many],
                most=max(line.scion_sticks for line in many),
                winter=str(asked.planting_year - asked.seasons + 1),
            )
        )
    raised = sorted({line.cultivar for line in wood if line.mothers})
    if raised:
        first = min(line.year for line in wood if line.mothers)
        mothers = sum(line.mothers for line in wood)
        notices.append(
            warning(
                "nursery.mother_row",
                setting="nursery.wood",
                concerns=raised,
                winter=str(first),
                mothers=mothers,
            )
        )
    short = [line.cultivar for line in wood if line.short]
    if short:
        notices.append(
            warning(
                "nursery.wood_short",
                setting="nursery.wood_winters",
                concerns=short,
                grafts=sum(line.short for line in wood),
                winters=asked.wood_winters,
            )
        )
    return notices


def _missing(asked: NurseryQuestion, order: Order) -> list[Notice]:
    """How sure the order is, what becomes of what is missing, and bad luck that strikes a whole batch."""
    chosen = order.chosen
    assert chosen is not None
    notices = [
        remark(
            "nursery.missing",
            setting="nursery.chance",
            chance=chosen.joint_chance,
            missing=max(chosen.missing, 1.0),
            buds=chosen.august_buds,
            late=chosen.late_trees,
        )
    ]
    if chosen.joint_chance < asked.chance:
        surest = [line for line in order.policies if line.joint_chance >= asked.chance]
        cheapest = min(surest, key=lambda line: line.cost)
        notices.append(
            warning(
                "nursery.not_all",
                setting="nursery.jointly",
                chance=chosen.joint_chance,
                wanted=asked.chance,
                cost=cheapest.cost,
                mine=chosen.cost,
                currency=asked.currency,
            )
        )
    worst = min(order.troubles, key=lambda line: line.joint_chance)
    notices.append(
        assumption(
            "nursery.batch",
            trouble=str(worst.trouble),
            chance=worst.joint_chance,
            missing=max(worst.missing, 1.0),
        )
    )
    return notices
