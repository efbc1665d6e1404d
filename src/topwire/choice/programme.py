"""The choice as a two-stage programme: trees now, then picking, keeping and serving, knowing the year.

First stage: trees of each cultivar, whole numbers, none or between the fewest and the most. Second stage, for each
weather year: fruit of a cultivar given to a need in a week. Least mean weighted shortfall, joined with the mean of
the worst fifth of years (ROCKAFELLAR2000), plus a little for every tree and for waste.

One function per family of constraints, named in the trade's words.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from topwire.choice.needs import Blend, WeeklyNeed
from topwire.choice.pollination import donors_wanted
from topwire.choice.solver import Model
from topwire.choice.supply import TABLE_GRADE, Supply

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

WORST_SHARE = 0.2  # the worst fifth of years
WORST_WEIGHT = 0.3  # what it counts beside the mean
TREE_COST = (
    1.0  # [weighted kg a year] what a tree has to bring to be worth its place and care: planning figure
)
WASTE_COST = 0.02  # [weighted kg] of a kilogram picked that never reaches the kitchen
SAMENESS_COST = (
    0.3  # share of a need's weight by which fruit beyond a cultivar's part of the board falls short
)
CLEAN_LOSS = 0.03  # trimmings and rot of fruit processed within its life: planning figure, no source


@dataclass(frozen=True)
class Limits:
    """What the plan says of numbers."""

    places: int  # trees there is room for, standing ones included
    fewest_trees: int
    most_trees: int
    fewest_cultivars: int
    most_cultivars: int
    heritage_share: float
    must_have: tuple[str, ...]
    standing: dict[str, int]  # trees already there
    tree_cost: Array  # (cultivars,) times TREE_COST
    board: int  # different table cultivars wanted
    press_week: float | None  # [kg]
    cellar: float | None  # [kg]


@dataclass(frozen=True)
class Programme:
    """The model with the numbers of its first-stage columns."""

    model: Model
    trees: Index
    planted: Index
    enough: Index  # rows “at least the fewest”


def build(
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    useful: npt.NDArray[np.bool_],
    *,
    weeks_together: int = 1,
) -> Programme:
    """The whole programme.

    Parameters
    ----------
    useful : (donors, parents) dependable pollen donors
    weeks_together : weeks served as one; 1 is the full problem, more a smaller one near it
    """
    model = Model()
    trees, planted = plant(model, supply, limits)
    within_the_ground(model, trees, limits)
    number_of_cultivars(model, planted, limits)
    enough = none_or_enough(model, supply, trees, planted, limits)
    heritage(model, supply, trees, limits)
    enough_donors(model, planted, useful)
    add_years(model, supply, needs, limits, trees=trees, weeks_together=weeks_together)
    return Programme(model, trees, planted, enough)


def plant(model: Model, supply: Supply, limits: Limits) -> tuple[Index, Index]:
    """Trees of each cultivar, and whether it is planted at all. Standing trees are there already."""
    count = len(supply.cultivars)
    standing = np.array([limits.standing.get(row.name, 0) for row in supply.cultivars], dtype=float)
    must = np.array([row.name in limits.must_have for row in supply.cultivars])
    most = np.maximum(limits.most_trees, standing)
    trees = model.add_columns(TREE_COST * limits.tree_cost, low=standing, high=most, whole=True)
    planted = model.add_columns(
        np.zeros(count), low=(must | (standing > 0)).astype(float), high=1.0, whole=True
    )
    return trees, planted


def within_the_ground(model: Model, trees: Index, limits: Limits) -> None:
    """No more trees than places."""
    model.put(model.add_rows(-np.inf, float(limits.places)), trees, 1.0)


def number_of_cultivars(model: Model, planted: Index, limits: Limits) -> None:
    model.put(model.add_rows(float(limits.fewest_cultivars), float(limits.most_cultivars)), planted, 1.0)


def none_or_enough(model: Model, supply: Supply, trees: Index, planted: Index, limits: Limits) -> Index:
    """A cultivar has no tree, or at least the fewest and at most the most. Standing trees count to the fewest."""
    standing = np.array([limits.standing.get(row.name, 0) for row in supply.cultivars], dtype=float)
    fewest = np.where(standing > 0, np.minimum(standing, limits.fewest_trees), limits.fewest_trees)
    at_most = model.add_rows(np.full(trees.size, -np.inf), 0.0)
    model.put(at_most, trees, 1.0)
    model.put(at_most, planted, -np.maximum(limits.most_trees, standing))
    at_least = model.add_rows(np.zeros(trees.size), np.inf)
    model.put(at_least, trees, 1.0)
    model.put(at_least, planted, -fewest)
    return at_least


def heritage(model: Model, supply: Supply, trees: Index, limits: Limits) -> None:
    """The least share of trees of cultivars known before 1900."""
    if limits.heritage_share > 0:
        old = np.array([float(row.heritage) for row in supply.cultivars])
        model.put(model.add_rows(0.0, np.inf), trees, old - limits.heritage_share)


def enough_donors(model: Model, planted: Index, useful: npt.NDArray[np.bool_]) -> None:
    """Every planted cultivar has its useful donors among the planted, two at the least."""
    rows = model.add_rows(np.zeros(planted.size), np.inf)
    donor, parent = np.nonzero(useful)
    model.put(rows[parent], planted[donor], 1.0)
    model.put(rows, planted, -donors_wanted(useful).astype(float))


def add_years(
    model: Model,
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    *,
    trees: Index | None = None,
    fixed: Array | None = None,
    weeks_together: int = 1,
) -> list["Year"]:
    """Serving in every weather year, and what it counts. Trees are columns, or `fixed` numbers."""
    years = supply.years.size
    level = model.add_columns(WORST_WEIGHT, low=-np.inf)
    over = model.add_columns(np.full(years, WORST_WEIGHT / (WORST_SHARE * years)))
    kept = {eating: supply.kept(eating=eating) for eating in (True, False)}
    fit = np.array([[need.served_by(row) for row in supply.cultivars] for need in needs])
    found = []
    for year in range(years):
        short = model.add_columns((1 - WORST_WEIGHT) / years, low=-np.inf)
        made = serve_year(
            model,
            supply,
            needs,
            limits,
            kept,
            fit,
            year,
            short=short,
            trees=trees,
            fixed=fixed,
            together=weeks_together,
        )
        row = model.add_rows(0.0, np.inf)  # over + level >= short
        model.put(row, over[year : year + 1], 1.0)
        model.put(row, level, 1.0)
        model.put(row, short, -1.0)
        found.append(made)
    return found


@dataclass(frozen=True)
class Year:
    """Columns of one weather year. `given` [kg as picked] has cultivar, need and week of each."""

    short: Index
    given: Index
    cultivar: Index
    need: Index
    week: Index  # 1 to 52; 0 = any week of the season
    kept: Array  # share that reaches the kitchen
    missing: Index
    missing_need: Index
    missing_week: Index
    fruit_rows: Index  # (cultivars,)
    table_rows: Index  # (cultivars,)


def serve_year(
    model: Model,
    supply: Supply,
    needs: Sequence[WeeklyNeed],
    limits: Limits,
    kept: dict[bool, Array],
    fit_for: npt.NDArray[np.bool_],
    year: int,
    *,
    short: Index,
    trees: Index | None,
    fixed: Array | None,
    together: int,
) -> Year:
    """One weather year: fruit to needs, what is missing, what is wasted, counted together in `short`."""
    count = len(supply.cultivars)
    crop = supply.crop[year]
    fruit = model.add_rows(
        np.zeros(count) if fixed is None else -np.asarray(crop * fixed), np.inf
    )  # crop - given >= 0
    if trees is not None:
        model.put(fruit, trees, crop)
    counted = model.add_rows(0.0, np.inf)  # short - weighted parts >= 0
    model.put(counted, short, 1.0)
    table = model.add_rows(
        np.zeros(count) if fixed is None else -np.asarray(TABLE_GRADE * crop * fixed), np.inf
    )  # only table grade is eaten fresh
    if trees is not None:
        model.put(table, trees, TABLE_GRADE * crop)
    parts: list[tuple[Index, Index, Index, Index, Array]] = []
    gaps: list[tuple[Index, Index, Index]] = []
    pressed: list[Index] = []
    for number, need in enumerate(needs):
        fit = fit_for[number]
        if need.weekly is not None:
            groups = [need.weeks[start : start + together] for start in range(0, len(need.weeks), together)]
            middle = np.array([group[len(group) // 2] for group in groups])
            wanted = need.weekly * np.array([len(group) for group in groups], dtype=float)
            share = kept[need.eaten_fresh][year][:, middle - 1] * fit[:, None]
            if need.need.picked_by_guests:
                share = share * on_the_tree(supply, year, middle)
            rows = model.add_rows(wanted, wanted)
            missing = model.add_columns(np.zeros(len(groups)))
            model.put(rows, missing, 1.0)
            model.put(counted, missing, -(need.weight + WASTE_COST))
            gaps.append((missing, np.full(len(groups), number), middle))
            which, when = np.nonzero(share)
            pieces = [(wanted[when], 0.0)]
            if need.eaten_fresh and limits.board > 1:
                pieces = [(wanted[when] / limits.board, 0.0), (wanted[when], SAMENESS_COST * need.weight)]
            for most, extra in pieces:
                given = model.add_columns(np.zeros(which.size), high=most / share[which, when])
                model.put(rows[when], given, share[which, when])
                model.put(fruit[which], given, -1.0)
                if need.eaten_fresh:
                    model.put(table[which], given, -1.0)
                if extra:
                    model.put(counted, given, -extra * share[which, when])
                parts.append((given, which, np.full(which.size, number), middle[when], share[which, when]))
        else:
            weeks = np.array(need.weeks) - 1
            best = kept[False][year][:, weeks].max(axis=1) * fit * (1 - CLEAN_LOSS)
            which = np.flatnonzero(best)
            row = model.add_rows(need.total, need.total)
            missing = model.add_columns(0.0)
            model.put(row, missing, 1.0)
            model.put(counted, missing, -(need.weight + WASTE_COST))
            gaps.append((missing, np.array([number]), np.array([0])))
            most = np.minimum(need.total / best[which], _in_its_weeks(need, limits, kept[False][year][which]))
            given = model.add_columns(np.zeros(which.size), high=most)
            model.put(row, given, best[which])
            if need.blend is not None:
                blend(model, need.blend, supply, given=given, which=which, share=best[which])
            if need.need.weekly_capacity is not None:
                whole = need.need.weekly_capacity * len(need.weeks)
                model.put(model.add_rows(-np.inf, whole), given, 1.0)
            model.put(fruit[which], given, -1.0)
            parts.append(
                (given, which, np.full(which.size, number), np.zeros(which.size, dtype=np.int64), best[which])
            )
            if need.pressed:
                pressed.append(given)
    if limits.press_week is not None and pressed:
        weeks_open = max(len(need.weeks) for need in needs if need.pressed and need.weekly is None)
        model.put(model.add_rows(-np.inf, limits.press_week * weeks_open), np.concatenate(pressed), 1.0)
    given, which, need_of, week_of, share = (np.concatenate([part[at] for part in parts]) for at in range(5))
    missing, missing_need, missing_week = (np.concatenate([gap[at] for gap in gaps]) for at in range(3))
    if limits.cellar is not None:
        cellar_holds(model, supply, year, limits.cellar, given=given, which=which, week=week_of)
    # what does not reach the kitchen is picked - (wanted - missing): short >= weighted parts + WASTE_COST times that
    all_wanted = sum(need.total for need in needs)
    if trees is not None:
        model.put(counted, trees, -WASTE_COST * crop)
    picked = 0.0 if fixed is None else float(crop @ fixed)
    model.row_low[_part_of(model, counted)] = np.array([WASTE_COST * (picked - all_wanted)])
    return Year(
        short, given, which, need_of, week_of, share, missing, missing_need, missing_week, fruit, table
    )


def on_the_tree(supply: Supply, year: int, weeks: Index) -> npt.NDArray[np.bool_]:
    """Guests pick from the tree: weeks in which each cultivar is picked, (cultivars, weeks)."""
    since_first = (weeks[None, :] - supply.first[year][:, None]) % 52
    return np.asarray(since_first < supply.picking_weeks[year][:, None])


def blend(model: Model, mixed: Blend, supply: Supply, *, given: Index, which: Index, share: Array) -> None:
    """Acid and tannin of what is pressed for a need, mixed by mass, stay within its bounds."""
    for of_fruit, low, high in mixed.sides(supply.cultivars):
        value = of_fruit[which]
        if low is not None:
            model.put(model.add_rows(0.0, np.inf), given, share * (value - low))
        if high is not None:
            model.put(model.add_rows(-np.inf, 0.0), given, share * (value - high))


def _in_its_weeks(need: WeeklyNeed, limits: Limits, kept: Array) -> Array:
    """[kg] of each cultivar that press or kitchen can take while its fruit lasts, (cultivars,)."""
    weekly = [need.need.weekly_capacity, limits.press_week if need.pressed else None]
    most = min((value for value in weekly if value is not None), default=np.inf)
    weeks = (kept[:, np.array(need.weeks) - 1] > 0).sum(axis=1)
    return np.asarray(np.where(weeks > 0, most * np.maximum(weeks, 1), 0.0))


CELLAR_CHECKS = (42, 46, 50, 2, 8)  # weeks in which the cellar is fullest


def cellar_holds(
    model: Model, supply: Supply, year: int, capacity: float, *, given: Index, which: Index, week: Index
) -> None:
    """Fruit picked before a week and served after it is in the cellar then; no more than it holds."""
    served = (week - supply.first[year, which]) % 52
    for check in CELLAR_CHECKS:
        since = (check - supply.first[year, which]) % 52
        inside = (week > 0) & (since < served) & (since >= supply.picking_weeks[year, which] - 1)
        if inside.any():
            model.put(model.add_rows(-np.inf, capacity), given[inside], 1.0)


def _part_of(model: Model, row: Index) -> int:
    """Position in `row_low` of the block that begins with `row`."""
    seen = 0
    for at, block in enumerate(model.row_low):
        if seen == row[0]:
            return at
        seen += block.size
    raise ValueError("no such row")
