"""The Nursery's question: the only place of the room that sees the plan and the catalogue."""

from topwire.catalogue.model import Catalogue
from topwire.catalogue.propagation import PropagationRow
from topwire.catalogue.unions import UnionRow, union_of
from topwire.choice.findings import Choice
from topwire.choice.wood import wood_rates
from topwire.layout.findings import Layout
from topwire.nursery.asked import (
    AutumnShare,
    NurseryPrices,
    NurseryQuestion,
    PropagationRates,
    StandingTrees,
    TreesWanted,
)
from topwire.nursery.learning import Lot, TakeRow
from topwire.nursery.schedule import spring_shift
from topwire.plan.model import Plan
from topwire.records.read import NO_RECORDS, Records
from topwire.values.traits import Right


def question(
    plan: Plan, catalogue: Catalogue, choice: Choice, layout: Layout, records: Records = NO_RECORDS
) -> NurseryQuestion:
    """What to raise and buy for the new trees of the layout; `records` has the lots the grower counted."""
    nursery = plan.nursery
    return NurseryQuestion(
        wanted=_wanted(catalogue, layout),
        standing=_standing(choice, layout),
        autumns=_autumns(choice),
        rates=_rates(catalogue, nursery.skill.value),
        prices=_prices(catalogue),
        lots=tuple(Lot(row.started, row.good) for row in records.rows("takes", TakeRow)),
        buy=nursery.trees == "buy",
        skill=nursery.skill.value,
        chance=nursery.chance,
        jointly=nursery.jointly,
        own_take_rate=nursery.take_rate,
        wood=nursery.wood,
        wood_winters=nursery.wood_winters,
        wood_rates=wood_rates(
            {row.item: row.middle for row in catalogue.rows("propagation", PropagationRow)},
            nursery.skill.value,
            nursery.take_rate,
        ),
        seasons=nursery.seasons,
        planting_year=plan.years.planting,
        spring_shift=spring_shift(plan.place.latitude, plan.place.elevation),
        tree_spacing=nursery.tree_spacing,
        row_spacing=nursery.row_spacing,
        wage=plan.money.wage,
        currency=plan.money.currency,
    )


def _wanted(catalogue: Catalogue, layout: Layout) -> tuple[TreesWanted, ...]:
    unions = catalogue.rows("unions", UnionRow)
    found = []
    for index, (name, stock) in enumerate(zip(layout.cultivars, layout.rootstock, strict=True)):
        trees = int(((layout.cultivar == index) & ~layout.standing).sum())
        if trees:
            union = union_of(stock, name, unions)
            stock_row = catalogue.rootstock.get(stock)
            row = catalogue.cultivar[name]
            found.append(
                TreesWanted(
                    name,
                    stock,
                    trees,
                    row.propagation_right,
                    union.risk,
                    union.virus_sensitive,
                    union.remarks,
                    stock_row is not None and stock_row.propagation_right is not Right.FREE,
                    row.trade_marks,
                )
            )
    return tuple(found)


def _standing(choice: Choice, layout: Layout) -> tuple[StandingTrees, ...]:
    full = {chosen.name: kg for chosen, kg in zip(choice.chosen, choice.yield_per_tree, strict=True)}
    found = []
    for index, (name, stock) in enumerate(zip(layout.cultivars, layout.rootstock, strict=True)):
        trees = int(((layout.cultivar == index) & layout.standing).sum())
        if trees:
            found.append(StandingTrees(name, stock, trees, float(full.get(name, 0.0))))
    return tuple(found)


def _autumns(choice: Choice) -> tuple[AutumnShare, ...]:
    batches = choice.batches
    if batches is None or not batches.planned or len(batches.autumns) < 2:
        return ()
    return tuple(AutumnShare(batch.autumn, batch.trees) for batch in batches.autumns)


def _rates(catalogue: Catalogue, skill: str) -> PropagationRates:
    figure = {row.item: row.middle for row in catalogue.rows("propagation", PropagationRow)}
    return PropagationRates(
        take=figure[f"take bench graft {skill}"],
        overwinter=figure[f"overwinter {skill}"],
        grade=figure[f"grade {skill}"],
        transplant=figure[f"transplant {skill}"],
        chip_bud_take=figure[f"take chip bud {skill}"],
        bark_graft_take=figure[f"take bark graft {skill}"],
        bench_grafts_per_hour=figure[f"bench grafts per hour {skill}"],
        buds_per_hour=figure[f"buds per hour {skill}"],
        care_minutes=figure["nursery care"],
        buds_per_graft=figure["buds per bench graft"],
        usable_buds_per_stick=figure["usable buds per dormant stick"],
        wood_margin=figure["wood margin"],
        stock_culls=figure["stock culls"],
        stock_lives_after_failure=figure["stock lives after failed graft"],
        lot_correlation=figure["lot correlation"],
        weak_union_penalty=figure["weak union penalty"],
    )


def _prices(catalogue: Catalogue) -> NurseryPrices:
    price = catalogue.prices
    return NurseryPrices(
        graft_stock=price["bench graft stock"],
        scion_wood=price["scion wood"],
        grafting_goods=price["grafting goods"],
        care_goods=price["nursery care goods"],
        bought_tree=price["bought tree"],
        bought_few=price["bought tree, a few"],
        royalty=price["royalty"],
    )
