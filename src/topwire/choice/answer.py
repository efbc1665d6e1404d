"""The Choice: which cultivars and how many of each, with the reason for each."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from topwire.choice import reasons
from topwire.choice.asked import ChoiceQuestion
from topwire.choice.batches import batches
from topwire.choice.blends import blends_made
from topwire.choice.choosing import Chosen
from topwire.choice.findings import TOLD_GAP, Choice, ChosenCultivar, DiseaseLine, NeedLine
from topwire.choice.losses import wanted_in_all
from topwire.choice.needs import WeeklyNeed
from topwire.choice.pinch import pinches
from topwire.choice.prime import table_age
from topwire.choice.serving import Service, solve_serving, unavoidable
from topwire.choice.sizes import sizes
from topwire.choice.standing import standing_advice
from topwire.choice.supply import Supply
from topwire.choice.telling import choice_notices
from topwire.values.calendar import WEEKS
from topwire.values.progress import Progress, silent
from topwire.values.terms import Blended
from topwire.values.traits import Right

Index = npt.NDArray[np.int64]

ON_THE_BOARD = 0.02  # share of a week's need a cultivar has to give to count on the board


def answer(chosen: Chosen, progress: Progress = silent) -> Choice:
    """Cultivars and numbers for this place, this kitchen, this ground, as they were chosen.

    What each cultivar is worth and the proof in years not seen are left to whoever has time for them (`weigh`).
    """
    asked, found = chosen.asked, chosen.found
    supply, needs, limits, useful = asked.supply, asked.needs, asked.limits, asked.useful
    near_enough = (
        f"within {found.gap:.2%} of the best" if found.gap >= TOLD_GAP else "no other choice is better"
    )
    progress(f"{near_enough}; serving every week of every year")
    served = solve_serving(supply, needs, limits, found.trees)
    service, pinched = served.service, pinches(asked, found.trees, served)
    steps = sizes(
        chosen.years, limits, useful, found.trees, service.served.sum(axis=(1, 2)), asked_before=chosen.begun
    )
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
    harder = tuple(int(year) for year in chosen.years.supply.years[supply.years.size :])
    wanted = sum((need.by_week() for need in needs if need.eaten_fresh), np.zeros(WEEKS))
    made = blends_made(supply, needs, service)
    return Choice(
        chosen=tuple(_chosen(asked, trees, service, int(at)) for at in keep),
        near_misses=reasons.near_misses(supply, needs, limits, found, asked.left_out),
        shortfall=float(service.short.mean()),
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
        proof=None,
        blends=made,
        disease=tuple(_disease(asked, trees, int(at)) for at in keep),
        pinches=pinched,
        sizes=steps,
        table_age=table_age(supply, service.fresh),
        risk=limits.risk,
        wanted=wanted_in_all(needs),
        most_lost=limits.most_lost,
        sound_share=sound_share(asked, supply, trees),
        notices=choice_notices(asked, trees, service, planted, harder, made, pinched),
    )


def sound_share(asked: ChoiceQuestion, supply: Supply, trees: Index) -> float:
    """Of what these trees bear after frost, the part that disease and heat leave fit for the kitchen."""
    fit = np.array(
        [
            (1 - asked.disease[row.name].crop_lost) * (1 - asked.heat.get(row.name, 0.0))
            for row in supply.cultivars
        ]
    )
    borne = supply.ordinary * trees
    return float(borne @ fit / borne.sum()) if borne.any() else 1.0


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


def _chosen(asked: ChoiceQuestion, trees: Index, service: Service, at: int) -> ChosenCultivar:
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
        loss_without=None,
        reasons=reasons.why(supply, asked.needs, limits, service, at),
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
