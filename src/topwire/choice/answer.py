"""The Choice: which cultivars and how many of each, with the reason for each."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from topwire.choice import reasons
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.batches import batches
from topwire.choice.blends import blends_made
from topwire.choice.fewer import with_fewer_cultivars
from topwire.choice.findings import TOLD_GAP, Choice, ChosenCultivar, DiseaseLine, NeedLine, Proof
from topwire.choice.losses import Limited, find_within, keeps_its_limit, losses_after, of_all, wanted_in_all
from topwire.choice.master import Cuts
from topwire.choice.must_give import what_must_give
from topwire.choice.needs import WeeklyNeed
from topwire.choice.peak import picking_weeks
from topwire.choice.pinch import pinches
from topwire.choice.planting import Limits
from topwire.choice.prime import table_age
from topwire.choice.proof import provable
from topwire.choice.serving import Service, solve_serving, unavoidable
from topwire.choice.sizes import sizes
from topwire.choice.standing import standing_advice
from topwire.choice.supply import Supply
from topwire.choice.telling import choice_notices
from topwire.choice.years import GAP, Infeasible, Years
from topwire.values.calendar import WEEKS
from topwire.values.notice import CannotAnswer
from topwire.values.progress import Progress, silent
from topwire.values.terms import Blended
from topwire.values.traits import Right

Index = npt.NDArray[np.int64]

SEARCHED = 0.8  # share of the gap to which the plan is sought: the rest is for fewer cultivars
ON_THE_BOARD = 0.02  # share of a week's need a cultivar has to give to count on the board


def answer(asked: ChoiceQuestion, progress: Progress = silent) -> tuple[Choice, Cuts, Limits]:
    """Cultivars and numbers for this place, this kitchen, this ground; what was learnt of the years, to be kept; the
    limits it was found under, with the conditions that hold a loss.

    The proof in years not seen is left to whoever has time for it (`prove`).

    Raises
    ------
    CannotAnswer
        When no set of cultivars can meet the plan's conditions: says the least that must give.
    """
    supply, needs, limits, useful = asked.supply, asked.needs, asked.limits, asked.useful
    weighed = supply.with_harder_springs()
    progress(
        f"weighing {len(supply.cultivars)} cultivars over {supply.years.size} weather years and {len(needs)} needs"
    )
    years = Years(weighed, needs, limits)
    try:
        limited = find_within(years, needs, limits, useful, gap=SEARCHED * GAP)
    except Infeasible:
        raise CannotAnswer(what_must_give(supply, limits, useful)) from None
    progress("fewer cultivars; what each is worth")
    asked = replace(asked, limits=limited.limits)
    return _told(asked, weighed, limited, progress), limited.found.cuts, limited.limits


def _told(asked: ChoiceQuestion, weighed: Supply, limited: Limited, progress: Progress) -> Choice:
    """The findings of a plan, the fewest cultivars within its gap chosen."""
    supply, needs, limits, useful = asked.supply, asked.needs, asked.limits, asked.useful
    found = limited.found
    near = reasons.Nearby(weighed, needs, limits, useful, reasons.nearby(found), found.cuts)
    fewer = with_fewer_cultivars(near, found)
    if keeps_its_limit(near.years, limited, fewer.trees[near.keep].astype(float)):
        found = fewer
    near = near.around(found)
    near_enough = (
        f"within {found.gap:.2%} of the best" if found.gap >= TOLD_GAP else "no other choice is better"
    )
    progress(f"{near_enough}; serving every week of every year")
    served = solve_serving(supply, needs, limits, found.trees)
    service, pinched = served.service(), pinches(asked, found.trees, served)
    losses = reasons.losses_without(near, found.trees)
    lost_after = of_all(losses_after(near.years, found.trees[near.keep].astype(float)), near.keep)
    per_area = None
    if limits.cellar is not None and asked.cellar_floor is not None:
        per_area = limits.cellar / asked.cellar_floor
    worth = reasons.worth_of_more(near, found.trees, cellar_per_area=per_area)
    steps = sizes(near, found.trees, service.served.sum(axis=(1, 2)))
    picking, more_hands = picking_weeks(near, supply, found.trees)
    if more_hands is not None:
        worth = (*worth, more_hands)
    trees = found.trees
    keep = np.flatnonzero(trees)
    time = asked.time
    planted = batches(
        asked.by_leaf,
        supply,
        needs,
        limits,
        useful,
        trees=trees,
        service=service,
        first=time.first,
        autumns=time.autumns,
        per_year=time.per_year,
    )
    harder = tuple(int(year) for year in weighed.years[supply.years.size :])
    wanted = sum((need.by_week() for need in needs if need.eaten_fresh), np.zeros(WEEKS))
    made = blends_made(supply, needs, service)
    return Choice(
        chosen=tuple(
            _chosen(asked, trees, service, int(at), losses.get(int(at)), lost_after[int(at)]) for at in keep
        ),
        near_misses=reasons.near_misses(supply, needs, limits, found, asked.left_out),
        shortfall=float(service.short.mean()),
        alternatives=reasons.alternatives(near, trees, losses),
        worth=worth,
        batches=planted,
        standing=standing_advice(supply, needs, limits, useful, trees, horizon=time.horizon),
        years=supply.years,
        harder_springs=harder,
        needs=tuple(
            need_line(
                need,
                service.served[:, number],
                off_tree=service.off_tree[:, number].mean(axis=0),
                brought_by=bringers([row.name for row in supply.cultivars], service.brought[number]),
            )
            for number, need in enumerate(needs)
        ),
        board=_board(wanted, service),
        board_wanted=np.where(wanted > 0, limits.board, 0).astype(np.int64),
        harvest=supply.crop[:, keep] * trees[keep],
        waste=service.waste,
        stored=service.stored,
        trees=int(trees.sum()),
        objective=found.objective,
        bound=min(found.bound, found.objective),
        gap=found.gap,
        unavoidable=float(unavoidable(supply, needs).mean()),
        yield_per_tree=supply.ordinary[keep],
        proof=None if provable(supply) else Proof(supply.years.size, 0, ()),
        blends=made,
        disease=tuple(_disease(asked, trees, int(at)) for at in keep),
        pinches=pinched,
        sizes=steps,
        picking=picking,
        table_age=table_age(supply, service.fresh),
        risk=limits.risk,
        wanted=wanted_in_all(needs),
        most_lost=limits.most_lost,
        notices=choice_notices(asked, trees, service, planted, harder, made, pinched),
    )


def _disease(asked: ChoiceQuestion, trees: Index, at: int) -> DiseaseLine:
    name, count = asked.supply.cultivars[at].name, int(trees[at])
    outlook = asked.disease[name]
    loss = outlook.trees
    return DiseaseLine(
        cultivar=name,
        trees=count,
        ratings=outlook.ratings,
        blight_years=outlook.blight_years,
        alive=(count * (1 - loss.high), count * (1 - loss.middle), count * (1 - loss.low)),
        crop_lost=outlook.crop_lost,
        deadly=outlook.deadly,
    )


def _chosen(
    asked: ChoiceQuestion, trees: Index, service: Service, at: int, loss: float | None, after: float
) -> ChosenCultivar:
    supply, limits = asked.supply, asked.limits
    row = supply.cultivars[at]
    return ChosenCultivar(
        name=row.name,
        trees=int(trees[at]),
        standing=limits.standing.get(row.name, 0),
        rootstock=asked.rootstock[row.name],
        own_graft=row.right is Right.FREE,
        harvest_weeks=(int(np.median(supply.first[:, at])), int(np.median(supply.last[:, at]))),
        uses=uses_of(asked.needs, service, at),
        donors=tuple(
            supply.cultivars[other].name
            for other in np.flatnonzero(trees)
            if other != at and asked.useful[other, at]
        ),
        donors_outside=int(asked.useful[at, at]),
        loss_without=loss,
        loss_after=after,
        reasons=reasons.why(supply, asked.needs, limits, service, at, loss),
        trade_marks=row.trade_marks,
    )


def uses_of(needs: Sequence[WeeklyNeed], service: Service, at: int) -> dict[str, float]:
    """What the fruit of a cultivar goes to, by use, in the mean year [kg]."""
    given = service.given[:, at].mean(axis=0)
    uses: dict[str, float] = {}
    for number, need in enumerate(needs):
        if given[number] > 0.5:
            uses[str(need.use)] = uses.get(str(need.use), 0.0) + float(given[number])
    return uses


def bringers(names: Sequence[str], brought: npt.NDArray[np.float64]) -> tuple[tuple[str, ...], ...]:
    """By week, who brings a need's fruit, most first; `brought` (cultivars, 52) [kg]. Crumbs are left out."""
    order = np.argsort(-brought, axis=0, kind="stable")
    enough = brought > np.maximum(ON_THE_BOARD * brought.sum(axis=0), 1e-6)
    return tuple(
        tuple(names[at] for at in order[:, week] if enough[at, week]) for week in range(brought.shape[1])
    )


def need_line(
    need: WeeklyNeed,
    served: npt.NDArray[np.float64],
    *,
    off_tree: npt.NDArray[np.float64] | None = None,
    brought_by: tuple[tuple[str, ...], ...] = (),
) -> NeedLine:
    """A need as it is reported; `served` (years, 52), `off_tree` (52,) [kg]."""
    return NeedLine(
        use=need.use,
        cider_class=need.cider_class,
        blended=need.style is None and need.blend is not None and need.blend.product is Blended.HOUSE_CIDER,
        amount=need.weekly if need.weekly is not None else need.total,
        a_week=need.weekly is not None,
        start=need.start,
        end=need.end,
        used_from=need.used_from,
        used_to=need.used_to,
        weight=need.weight,
        wanted=need.by_week(),
        served=served,
        made=need.weeks if need.used else (),
        dish=need.covers.dish if need.covers else "",
        portion=need.covers.portion if need.covers else None,
        guests=need.covers.guests if need.covers else None,
        taken_by=need.covers.share if need.covers else None,
        off_tree=np.zeros(WEEKS) if off_tree is None else off_tree,
        brought_by=brought_by,
        style=need.style,
        volume=need.volume,
    )


def _board(wanted: npt.NDArray[np.float64], service: Service) -> Index:
    """Different table cultivars served in each week."""
    enough = service.fresh > ON_THE_BOARD * np.maximum(wanted, 1e-9)[None, None, :]
    return np.asarray((enough & (wanted > 0)[None, None, :]).sum(axis=1))
