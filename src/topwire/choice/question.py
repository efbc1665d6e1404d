"""The Choice's question: the only place of the room that sees the plan and the catalogue."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

import numpy as np

from topwire.catalogue.model import Catalogue, Cultivar, Mark
from topwire.catalogue.propagation import PropagationRow
from topwire.catalogue.unions import UnionRow
from topwire.choice.asked import Barred, ChoiceQuestion, Places, PlantingTime
from topwire.choice.cider_question import autumn_air, cider_need, press_runs
from topwire.choice.disease import REPLACED, Disease, DiseaseOutlook, Rating
from topwire.choice.disease_question import barred_by, held_few, outlooks, spoiled
from topwire.choice.hands import Picking, picking_ease
from topwire.choice.needs import Covers, WeeklyNeed, span
from topwire.choice.neighbours_question import outside_of
from topwire.choice.planting import Limits
from topwire.choice.plate_question import PlateTable, blend_of, plate_test
from topwire.choice.pollination import compatibility, useful_chance, useful_donors
from topwire.choice.supply import CandidateCultivar, supply_of
from topwire.choice.wood import trees_from, wood_rates
from topwire.phenology.findings import PlaceSeasons
from topwire.plan.kitchen import Dishes, KitchenSection, Need
from topwire.plan.model import Plan
from topwire.values.calendar import WEEKS, week_of_day
from topwire.values.fault import Faults, fault
from topwire.values.notice import CannotAnswer, refusal
from topwire.values.terms import Habit, SoldIn, Use
from topwire.values.traits import CultivarKind, Grade, Right, UnionRisk
from topwire.values.where import in_europe

# Further cost, times the cost of a tree. Planning figures, no source: what a bought tree costs beyond an own graft, and
# stakes and losses where the union is weak, both spread over the life of the tree.
BOUGHT_COST = 0.25
FAVOURED, DISLIKED = -0.5, 1.0  # soft wishes of the grower: half a tree's cost less, or one more
WEAK_COST = 0.25
USUAL_G, G_KG = 180.0, 1e3  # an apple whose mass is not known is picked as one of 180 g
T_HA = 10.0  # [t/ha] of one kg/m2
TRIPLOID = 3  # sets of chromosomes
_RIPE = 0.75  # least share of weather years in which it ripens


@dataclass(frozen=True)
class Dish:
    """One row of kitchen_dishes.csv: whole fruit [kg] in a portion, low to high."""

    name: str
    use: str
    whole_fruit_low_kg: float
    whole_fruit_high_kg: float
    portion: str
    source: str | None
    mark: str | None

    @property
    def whole_fruit(self) -> float:
        return (self.whole_fruit_low_kg + self.whole_fruit_high_kg) / 2


@dataclass(frozen=True)
class ProductLife:
    """A row of product_life.csv: weeks a product keeps at its best."""

    use: str
    weeks: float
    source: str | None
    mark: str | None


@dataclass(frozen=True)
class SoldRow:
    """A row of sold_in_europe.csv."""

    cultivar: str


@dataclass(frozen=True)
class LeafShare:
    """A row of yield_by_leaf.csv: share of a full crop in a leaf."""

    leaf: int
    share: float


@dataclass(frozen=True)
class PickRate:
    """A row of labour.csv; of picking, kg/h."""

    task: str
    middle: float


@dataclass(frozen=True)
class YieldRow:
    """A row of crop_load.csv; of the mature yield, t/ha."""

    item: str
    low: float
    load: float
    high: float


def question(plan: Plan, catalogue: Catalogue, seasons: PlaceSeasons, places: Places) -> ChoiceQuestion:
    """The plan's question at this place, on this ground.

    Raises
    ------
    Faults
        Where a need is not understood.
    CannotAnswer
        When no cultivar is left to choose from.
    """
    needs = (
        *(weekly_need(plan.kitchen, catalogue, need) for need in plan.kitchen.needs),
        *(cider_need(plan.kitchen, catalogue, cider) for cider in plan.kitchen.cider),
    )
    table = PlateTable.of(catalogue)
    unions = catalogue.rows("unions", UnionRow)
    ill = outlooks(catalogue, seasons)
    heat = spoiled(catalogue, seasons)
    wood = trees_from_wood(plan, catalogue)
    ratings = {name: outlook.ratings for name, outlook in ill.items()}
    barred = barred_here(plan, catalogue, seasons, ratings, places.standing)
    rows = tuple(candidate_of(row, table) for row in catalogue.cultivars if row.name not in barred)
    if not rows:
        raise CannotAnswer(
            [refusal("choice.nothing_left", setting="taste", concerns=list(barred)[:5], barred=len(barred))]
        )
    grown = {row.item: row for row in catalogue.rows("crop_load", YieldRow)}["mature yield"]
    supply = supply_of(
        rows,
        seasons,
        mature_yield=grown.load / T_HA,
        ground_per_tree=places.ground_per_tree,
        cellar=plan.kitchen.cellar.temperature,
        outdoors=autumn_air(seasons),
        ill=np.array([1 - (1 - ill[row.name].crop_lost) * (1 - heat.get(row.name, 0.0)) for row in rows]),
    )
    columns = [seasons.cultivars.index(row.name) for row in rows]
    chance = useful_chance(
        seasons.first_bloom[:, columns],
        seasons.petal_fall[:, columns],
        seasons.offset_error[columns],
        seasons.single_error,
        compatibility(rows),
    )
    near, outside = outside_of(plan, catalogue, seasons, [row.name for row in rows])
    useful = useful_donors(chance).astype(np.int64)
    np.fill_diagonal(useful, outside.donors)
    stock = plan.trees.rootstock_for
    shares = {row.leaf: row.share for row in catalogue.rows("yield_by_leaf", LeafShare)}
    years = plan.years
    return ChoiceQuestion(
        supply=supply,
        needs=needs,
        limits=replace(
            limits_of(plan, rows, places, unions, ill), wood=wood, picking=picking_of(plan, catalogue, rows)
        ),
        useful=useful,
        left_out=barred,
        rootstock={row.name: stock.get(row.name, plan.trees.rootstock) for row in rows},
        capacity=places.capacity,
        time=PlantingTime(years.planting, years.autumns, years.trees_per_year, years.horizon),
        by_leaf=np.array([shares.get(leaf, 0.0) for leaf in range(1, max(shares) + 1)]),
        mature_yield=grown.load / T_HA,
        mature_yield_range=(grown.low / T_HA, grown.high / T_HA),
        cellar=plan.kitchen.cellar.temperature,
        cellar_floor=plan.kitchen.cellar.floor,
        disease={row.name: ill[row.name] for row in rows},
        heat={row.name: heat[row.name] for row in rows if row.name in heat},
        wet_spring=float(np.mean(seasons.wet_spring)) if seasons.wet_spring.size else 0.0,
        to_plant=plan.trees.total if isinstance(plan.trees.total, int) else None,
        neighbours=near,
    )


def barred_here(
    plan: Plan,
    catalogue: Catalogue,
    seasons: PlaceSeasons,
    ratings: Mapping[str, Mapping[Disease, Rating]],
    standing: Mapping[str, int],
) -> dict[str, Barred]:
    """Every cultivar that is left out before any is weighed, and why; the choice and many places ask alike.

    Parameters
    ----------
    ratings : of every cultivar of the catalogue (disease_question.ratings_of)
    standing : trees that stand already, by cultivar
    """
    unions = catalogue.rows("unions", UnionRow)
    barred = {
        row.name: why
        for column, row in enumerate(catalogue.cultivars)
        if (why := why_barred(plan, row, seasons, column, standing, unions, ratings[row.name])) is not None
    }
    unsold = not_sold_here(plan, catalogue, standing)
    barred |= {name: Barred.NOT_SOLD_HERE for name in unsold if name not in barred}
    barred |= {
        name: Barred.NO_WOOD
        for name, most in trees_from_wood(plan, catalogue).items()
        if most == 0 and name not in barred and name not in standing
    }
    return barred


def candidate_of(row: Cultivar, table: PlateTable) -> CandidateCultivar:
    """What the choice reads of a row of cultivars.csv, and of the tables of juice and kitchen."""
    return CandidateCultivar(
        name=row.name,
        uses=tuple(use for use in Use if use in row.kitchen_uses),
        cider_class=row.cider_class,
        juice=table.juice(row),
        pan=table.pan.get(row.name),
        alleles=row.alleles,
        ploidy=row.ploidy,
        pollen=row.pollen,
        heritage=row.heritage,
        right=row.propagation_right,
        biennial=row.biennial,
        precocity=row.precocity,
        vigour=row.vigour,
        storage_weeks=row.storage_weeks,
        mellow_weeks=row.best_after_weeks or 0.0,
        harvest_error=row.harvest_error_days or 0.0,
        harvest_read=row.evidence_of("harvest_offset_days").mark is Mark.READ,
        trade_marks=row.trade_marks,
    )


def trees_from_wood(plan: Plan, catalogue: Catalogue) -> dict[str, int]:
    """Trees that the scion wood to be had of a cultivar becomes, where the plan states it and trees may be grafted."""
    nursery = plan.nursery
    figure = {row.item: row.middle for row in catalogue.rows("propagation", PropagationRow)}
    rates = wood_rates(figure, nursery.skill.value, nursery.take_rate)
    free = {row.name for row in catalogue.cultivars if row.propagation_right is Right.FREE}
    return {
        name: trees_from(sticks, nursery.wood_winters, rates)
        for name, sticks in nursery.wood.items()
        if name in free
    }


def not_sold_here(plan: Plan, catalogue: Catalogue, standing: Mapping[str, int]) -> set[str]:
    """Cultivars that are not usually to be had where the orchard is, but those the plan names."""
    place, taste = plan.place, plan.taste
    if taste.sold_in is SoldIn.ANYWHERE or not in_europe(place.latitude, place.longitude):
        return set()
    sold = {row.cultivar for row in catalogue.rows("sold_in_europe", SoldRow)}
    named = {*taste.must_have, *taste.favourites, *plan.nursery.wood, *plan.trees.rootstock_for}
    return {row.name for row in catalogue.cultivars} - sold - named - set(standing)


def why_barred(
    plan: Plan,
    row: Cultivar,
    seasons: PlaceSeasons,
    column: int,
    standing: Mapping[str, int],
    unions: Sequence[UnionRow],
    ratings: Mapping[Disease, Rating],
) -> Barred | None:
    """Why a cultivar cannot be weighed, or the plan's taste bars it; what the plan names may stay against its taste."""
    taste = plan.taste
    wanted = row.name in taste.must_have
    named = wanted or row.name in standing
    if row.name in taste.must_not_have:
        return Barred.UNWANTED
    if not row.kitchen_uses:
        return Barred.NO_USE
    if row.kind is CultivarKind.CRAB and not named:
        return Barred.CRAB
    if row.name in seasons.unfit and not wanted:
        return Barred.UNFIT
    if np.isfinite(seasons.harvest_first[:, column]).mean() < _RIPE:
        return Barred.SELDOM_RIPE
    if row.storage_weeks is None:
        return Barred.KEEPING_UNKNOWN
    if not named and (ill := barred_by(ratings, taste.disease_resistance)) is not None:
        return ill
    if not named and (habit := unwanted_habit(row, taste.leave_out)) is not None:
        return habit
    if row.propagation_right is Right.UNKNOWN and not named:
        return Barred.RIGHT_UNKNOWN
    if taste.own_grafts_only and row.propagation_right is not Right.FREE and not named:
        return Barred.BOUGHT
    # A stock stated for the cultivar is the grower's own word: it is kept, and the nursery warns.
    named = named or row.name in plan.trees.rootstock_for
    breaks = not named and _union(plan, row.name, unions) is UnionRisk.BREAK
    return Barred.UNION_BREAKS if breaks else None


def unwanted_habit(row: Cultivar, leave_out: Sequence[Habit]) -> Barred | None:
    """How a cultivar grows that the plan does not want; None also where it is not known."""
    grows = {
        Habit.TIP_BEARERS: (row.tip_bearing in ("yes", "partial"), Barred.TIP_BEARER),
        Habit.TRIPLOIDS: (row.ploidy == TRIPLOID, Barred.TRIPLOID),
        Habit.WEAK_GROWERS: (row.vigour is Grade.LOW, Barred.WEAK_GROWER),
    }
    return next((why for habit in leave_out for so, why in (grows[habit],) if so), None)


def limits_of(
    plan: Plan,
    rows: Sequence[CandidateCultivar],
    places: Places,
    unions: Sequence[UnionRow],
    ill: Mapping[str, DiseaseOutlook],
) -> Limits:
    """The plan's numbers as the programme takes them."""
    standing = places.standing
    already = sum(standing.values())
    room = places.capacity
    if isinstance(plan.trees.total, int):
        room = min(room, already + plan.trees.total)
    taste = plan.taste
    here = {row.name for row in rows}
    others = already - sum(count for name, count in standing.items() if name in here)
    cost = np.ones(len(rows))
    cost += REPLACED * np.array([ill[row.name].trees.yearly if row.name in ill else 0.0 for row in rows])
    cost += np.array([FAVOURED * (row.name in taste.favourites) for row in rows])
    cost += np.array([DISLIKED * (row.name in taste.dislikes) for row in rows])
    cost += BOUGHT_COST * np.array([row.right is not Right.FREE for row in rows])
    cost += WEAK_COST * np.array([_union(plan, row.name, unions) is UnionRisk.WEAK for row in rows])
    return Limits(
        places=room - others,
        fewest_trees=taste.fewest_trees,
        most_trees=taste.most_trees,
        fewest_cultivars=taste.fewest_cultivars,
        most_cultivars=taste.most_cultivars,
        heritage_share=taste.heritage_share,
        must_have=tuple(taste.must_have),
        standing={name: count for name, count in standing.items() if name in here},
        tree_cost=cost,
        few=tuple(
            row.name
            for row in rows
            if row.name in ill
            and row.name not in taste.must_have
            and held_few(ill[row.name], taste.disease_resistance)
        ),
        board=plan.kitchen.different_on_the_board,
        risk=plan.kitchen.risk,
        prime=plan.kitchen.in_its_prime,
        most_lost=taste.most_lost,
        press_week=plan.kitchen.press.a_week,
        cellar=plan.kitchen.cellar.capacity,
    )


def picking_of(plan: Plan, catalogue: Catalogue, rows: Sequence[CandidateCultivar]) -> Picking | None:
    """What may be picked in a week: a mass, or what the hands of the plan pick in their hours."""
    most = plan.taste.most_picked
    if most is None or isinstance(most, float):
        return None if most is None else Picking(most)
    rate = next(row.middle for row in catalogue.rows("labour", PickRate) if row.task == "picking")
    ease = picking_ease([(catalogue.cultivar[row.name].fruit_mass_g or USUAL_G) / G_KG for row in rows])
    hours = plan.money.hands * plan.money.hours_per_week
    return Picking(hours * rate, {row.name: float(one) for row, one in zip(rows, ease, strict=True)})


def _union(plan: Plan, cultivar: str, unions: Sequence[UnionRow]) -> UnionRisk | None:
    """What is known of the very pair. A weak stock is weak under all alike and decides nothing between cultivars."""
    stock = plan.trees.rootstock_for.get(cultivar, plan.trees.rootstock)
    risks = [row.risk for row in unions if row.rootstock == stock and row.cultivar == cultivar]
    return next((risk for risk in risks if risk is not UnionRisk.VIRUS), None)


def weekly_need(kitchen: KitchenSection, catalogue: Catalogue, need: Need) -> WeeklyNeed:
    """A need with its weeks and whole fruit. Closed weeks ask for nothing of the weekly needs."""
    assert need.start is not None
    assert need.end is not None
    closed = kitchen.closed_weeks
    weeks = span(int(week_of_day(need.start.day_of_year)), int(week_of_day(need.end.day_of_year)))
    if need.use in (Use.JUICE, Use.CIDER):
        weeks = press_runs(kitchen.press, weeks)
    weekly = whole_fruit_per_week(need.dishes, catalogue) if need.dishes is not None else None
    if need.amount is not None and need.amount.weekly:
        weekly = need.amount.kilograms
    if weekly is not None:
        weeks = tuple(week for week in weeks if week not in closed)
        total = weekly * len(weeks)
    else:
        assert need.amount is not None
        total = need.amount.kilograms
    used = _used(need, closed)
    return WeeklyNeed(
        use=need.use,
        weight=need.weight,
        weeks=weeks,
        weekly=weekly,
        total=total,
        start=float(need.start.day_of_year),
        end=float(need.end.day_of_year),
        used_from=float(need.used_from.day_of_year) if need.used_from else None,
        used_to=float(need.used_to.day_of_year) if need.used_to else None,
        cider_class=need.cider_class,
        blend=blend_of(need, catalogue),
        used=used,
        shelf_weeks=_keeps(need, catalogue) if used else float(WEEKS),
        weekly_capacity=need.weekly_capacity,
        picked_by_guests=need.picked_by_guests,
        plate=plate_test(need, catalogue),
        covers=covers_of(need, catalogue),
    )


def whole_fruit_per_week(dishes: Dishes, catalogue: Catalogue) -> float:
    """Dishes to whole fruit: what the guests' portions take from the crate in a week. [kg]

    Raises
    ------
    Faults
        When the kitchen table has no such dish.
    """
    table = {row.name: row for row in catalogue.rows("kitchen_dishes", Dish)}
    if dishes.dish not in table:
        near = get_close_matches(dishes.dish, table, n=1)
        remedy = f"Did you mean {near[0]}?" if near else f"There are {', '.join(table)}."
        raise Faults([fault("plan.yaml, kitchen.needs", f"there is no dish “{dishes.dish}”.", remedy)])
    return dishes.guests * dishes.share * table[dishes.dish].whole_fruit


def covers_of(need: Need, catalogue: Catalogue) -> Covers | None:
    """The other way of saying a weekly need: guests for what is said in mass, mass for what is said in guests."""
    table = {row.name: row for row in catalogue.rows("kitchen_dishes", Dish)}
    if need.dishes is not None:
        dishes = need.dishes
        return Covers(dishes.dish, table[dishes.dish].whole_fruit, dishes.guests, dishes.share)
    usual = next((row for row in table.values() if row.use == str(need.use)), None)
    if usual is None or need.amount is None or not need.amount.weekly:
        return None
    return Covers(usual.name, usual.whole_fruit)


def _used(need: Need, closed: Sequence[int]) -> tuple[int, ...]:
    """Weeks a product is eaten in, closed weeks left out; none where the plan states no period of use."""
    if need.used_from is None or need.used_to is None:
        return ()
    weeks = span(int(week_of_day(need.used_from.day_of_year)), int(week_of_day(need.used_to.day_of_year)))
    open_weeks = tuple(week for week in weeks if week not in closed)
    if not open_weeks:
        says = f"{need.use} is eaten from {need.used_from} to {need.used_to}, and the house is closed all that time."
        raise Faults(
            [fault("plan.yaml, kitchen.needs", says, "Move used_from or used_to, or open a week there.")]
        )
    return open_weeks


def _keeps(need: Need, catalogue: Catalogue) -> float:
    if need.keeps is not None:
        return need.keeps
    return {row.use: row.weeks for row in catalogue.rows("product_life", ProductLife)}[str(need.use)]
