"""The Choice: which cultivars and how many of each, with the reason for each."""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Catalogue, Cultivar, Mark, Right
from topwire.choice import reasons, store_and_press
from topwire.choice.batches import batches
from topwire.choice.must_give import what_must_give
from topwire.choice.needs import WeeklyNeed
from topwire.choice.planting import Limits
from topwire.choice.proof import prove
from topwire.choice.question import Places, question
from topwire.choice.result import Choice, ChosenCultivar, NeedLine
from topwire.choice.search import Found, Infeasible, find
from topwire.choice.serving import Service, serve, unavoidable
from topwire.choice.standing import standing_advice
from topwire.choice.supply import Supply
from topwire.choice.telling import batch_notices
from topwire.choice.young import young_years
from topwire.notices import Faults, Notice, assumption, caution, remark, warning
from topwire.phenology.findings import PlaceSeasons
from topwire.phenology.forecast import HARDER_FROST
from topwire.plan.model import Plan
from topwire.values.calendar import WEEKS, week_label
from topwire.values.progress import Progress, silent
from topwire.values.units import Kind, shown

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

ON_THE_BOARD = 0.02  # share of a week's need a cultivar has to give to count on the board


def choose(
    plan: Plan, catalogue: Catalogue, seasons: PlaceSeasons, places: Places, *, progress: Progress = silent
) -> Choice:
    """Cultivars and numbers for this place, this kitchen, this ground.

    Raises
    ------
    Faults
        When no set of cultivars can meet the plan's conditions: says the least that must give.
    """
    asked = question(plan, catalogue, seasons, places)
    supply, weighed, needs, limits, useful = (
        asked.supply,
        asked.weighed,
        asked.needs,
        asked.limits,
        asked.useful,
    )
    progress(asked.says)
    with ThreadPoolExecutor(max_workers=1) as beside:  # the solver lets other threads work meanwhile
        proving = beside.submit(prove, supply, needs, limits, useful)
        try:
            found = find(weighed, needs, limits, useful)
        except Infeasible:
            raise Faults(what_must_give(supply, limits, useful)) from None
        progress(f"gap {found.gap:.2%}; serving every week of every year")
        _, service = serve(supply, needs, limits, found.trees)
        progress("the same on half of the years, beside three plain rivals")
        more = beside.submit(
            reasons.worth_of_more,
            weighed,
            needs,
            limits,
            useful,
            found.trees,
            cellar_per_area=_cellar_per_area(plan),
        )
        losses = reasons.losses_without(weighed, needs, limits, found.trees)
        proof, worth = proving.result(), more.result()
    chosen = _chosen(plan, supply, needs, limits, useful, found, service, losses)
    keep = np.flatnonzero(found.trees)
    planted = batches(
        catalogue,
        supply,
        needs,
        limits,
        useful,
        trees=found.trees,
        service=service,
        first=plan.years.planting,
        autumns=plan.years.autumns,
        per_year=plan.years.trees_per_year,
    )
    return Choice(
        chosen=chosen,
        near_misses=reasons.near_misses(supply, needs, limits, found, asked.left_out),
        shortfall=float(service.short.mean()),
        alternatives=reasons.alternatives(weighed, needs, limits, useful, found, losses),
        worth=worth,
        young=young_years(
            plan.years.planting, catalogue, supply, needs, limits, found.trees, service, planted
        ),
        batches=planted,
        standing=standing_advice(supply, needs, limits, useful, found.trees, horizon=plan.years.horizon),
        years=supply.years,
        harder_springs=tuple(int(year) for year in weighed.years[supply.years.size :]),
        needs=tuple(
            NeedLine(
                str(need.use),
                need.label,
                need.weight,
                need.by_week(),
                service.served[:, number],
                need.weekly is None,
                need.weeks if need.used else (),
            )
            for number, need in enumerate(needs)
        ),
        board=_board(needs, service),
        board_wanted=_board_wanted(plan, needs),
        harvest=supply.crop[:, keep] * found.trees[keep],
        waste=service.waste,
        stored=service.stored,
        trees=int(found.trees.sum()),
        objective=found.objective,
        bound=min(found.bound, found.objective),
        gap=found.gap,
        unavoidable=float(unavoidable(supply, needs).mean()),
        yield_per_tree=supply.ordinary[keep],
        proof=proof,
        notices=(
            *_notices(plan, supply, needs, found, service, places),
            *batch_notices(plan, planted),
            *_harder_springs(plan, weighed.years[supply.years.size :].tolist()),
        ),
    )


def _cellar_per_area(plan: Plan) -> float | None:
    cellar = plan.kitchen.cellar
    return None if cellar.capacity is None or cellar.floor is None else cellar.capacity / cellar.floor


def _chosen(
    plan: Plan,
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: npt.NDArray[np.bool_],
    found: Found,
    service: Service,
    losses: dict[int, float],
) -> tuple[ChosenCultivar, ...]:
    keep = np.flatnonzero(found.trees)
    names = [row.name for row in supply.cultivars]
    lines = []
    for at in sorted(keep, key=lambda at: (np.median(supply.first[:, at]), names[at])):
        row = supply.cultivars[at]
        given = service.given[:, at].mean(axis=0)
        uses: dict[str, float] = {}
        for number, need in enumerate(needs):
            if given[number] > 0.5:
                uses[str(need.use)] = uses.get(str(need.use), 0.0) + float(given[number])
        donors = tuple(names[other] for other in keep if useful[other, at])
        lines.append(
            ChosenCultivar(
                name=row.name,
                trees=int(found.trees[at]),
                standing=limits.standing.get(row.name, 0),
                rootstock=plan.trees.rootstock_for.get(row.name, plan.trees.rootstock),
                own_graft=row.propagation_right is Right.FREE,
                harvest_weeks=(int(np.median(supply.first[:, at])), int(np.median(supply.last[:, at]))),
                uses=uses,
                donors=donors,
                loss_without=losses.get(int(at)),
                reasons=reasons.why(supply, needs, limits, service, int(at), losses.get(int(at))),
            )
        )
    order = {name: position for position, name in enumerate(names)}
    return tuple(sorted(lines, key=lambda line: order[line.name]))


def _board(needs: Sequence[WeeklyNeed], service: Service) -> Index:
    """Different table cultivars served in each week."""
    wanted = sum((need.by_week() for need in needs if need.eaten_fresh), np.zeros(WEEKS))
    enough = service.fresh > ON_THE_BOARD * np.maximum(wanted, 1e-9)[None, None, :]
    return np.asarray((enough & (wanted > 0)[None, None, :]).sum(axis=1))


def _board_wanted(plan: Plan, needs: Sequence[WeeklyNeed]) -> Index:
    wanted = sum((need.by_week() for need in needs if need.eaten_fresh), np.zeros(WEEKS))
    return np.where(wanted > 0, plan.kitchen.different_on_the_board, 0).astype(np.int64)


def _harder_springs(plan: Plan, years: Sequence[int]) -> list[Notice]:
    if not years:
        return []
    step = shown(HARDER_FROST, Kind.TEMPERATURE_STEP, plan.unit_system)
    says = (
        f"springs like {', '.join(str(year) for year in sorted(years))} are weighed a second time with every night "
        f"{step} colder: a record of this length holds few hard springs, and the next one is seldom in it."
    )
    remedy = "It makes the plan a little dearer and steadier; “how sure are we” was reckoned the same way."
    return [assumption("choice", says, remedy)]


def _notices(
    plan: Plan, supply: Supply, needs: Sequence[WeeklyNeed], found: Found, service: Service, places: Places
) -> list[Notice]:
    notices = []
    for number, need in enumerate(needs):
        served = service.served[:, number].sum(axis=1)
        low = float(np.percentile(served, 10))
        if served.mean() < 0.9 * need.total:
            mean, bad = served.mean() / need.total, low / need.total
            says = (
                f"{need.label}: {mean:.0%} is served in the mean year and {bad:.0%} in the bad year in ten."
            )
            remedy = "More trees, more cellar, or a smaller need; `topwire plan --trees` tries it out."
            notices.append(warning("choice", says, remedy))
    for need in needs:
        closed = _out_of_reach(supply, need)
        if closed:
            says = f"{need.label}: from {closed[0]} to {closed[1]} no cultivar is to be had in most years."
            notices.append(
                remark("choice", says, "A colder cellar stretches the end; preserves fill the rest.")
            )
    spare = places.capacity - int(found.trees.sum())
    if spare > 0:
        notices.append(
            remark(
                "choice",
                f"{spare} places of the ground stay free: another tree would bring less than its place and care cost.",
            )
        )
    unknown = [row.name for row in _planted(supply, found) if not row.alleles]
    if unknown:
        notices.append(
            assumption(
                "choice",
                f"the S-alleles of {len(unknown)} chosen cultivars are not known; their pollen counts three quarters.",
                "Each has at least two donors, so that one that fails does no harm.",
            )
        )
    memory = [
        row.name
        for row in _planted(supply, found)
        if row.evidence_of("harvest_offset_days").mark is not Mark.READ
    ]
    if memory:
        says = f"harvest dates of {len(memory)} chosen cultivars rest on memory, not on a source: {', '.join(memory)}."
        notices.append(
            assumption("choice", says, "Ask a neighbour who grows them, or record your own picks.")
        )
    bought = [row.name for row in _planted(supply, found) if row.propagation_right is not Right.FREE]
    if bought:
        says = f"{', '.join(bought)}: the right to graft at home is licensed or not known."
        notices.append(
            caution("choice", says, "Buy these trees, or ask the holder of the right. No legal advice.")
        )
    notices.append(
        assumption(
            "choice",
            "a full-grown tree is reckoned at 30 t/ha, the lower of the published yield worlds (15 to 45); 4 % of "
            "places without a tree, a quarter of a dessert crop below table grade, 3 % of stored fruit lost a month.",
        )
    )
    notices += store_and_press.cellar_notices(plan, service)
    notices += store_and_press.press_notices(supply, needs, service)
    notices += store_and_press.shelf_notices(needs)
    notices += store_and_press.blend_notices(supply, needs, service)
    if any(need.pressed for need in needs):
        says = (
            "juice and cider are food: cull rotten fruit before milling (patulin), press no windfalls into unheated "
            "juice, heat juice or warn as the law asks."
        )
        notices.append(caution("choice", says, "Local food law decides."))
    return notices


def _out_of_reach(supply: Supply, need: WeeklyNeed) -> tuple[str, str] | None:
    """First and last day of the weeks that no candidate reaches in more than half of the years."""
    if need.weekly is None:
        return None
    fit = np.array([need.served_by(row) for row in supply.cultivars])
    weeks = np.array(need.weeks)
    reached = (supply.kept(eating=need.eaten_fresh)[:, fit][:, :, weeks - 1] > 0).any(axis=1).mean(axis=0)
    closed = weeks[reached < 0.5]
    return (week_label(int(closed[0])), week_label(int(closed[-1]))) if closed.size else None


def _planted(supply: Supply, found: Found) -> list[Cultivar]:
    return [supply.cultivars[at] for at in np.flatnonzero(found.trees)]
