"""Where no set of cultivars meets the plan: the least that must give, in the plan's own words.

Each condition is eased alone, as little as makes the plan possible, found by solving the planting without the kitchen.
Where no single one is enough, the fewest conditions together that are; of these each is eased as little as the ones
before it in the list allow.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from topwire.choice.planting import (
    Donors,
    Limits,
    Planting,
    enough_donors,
    heritage,
    none_or_enough,
    number_of_cultivars,
    plant,
    within_the_ground,
)
from topwire.choice.solver import Index, Model, Solution, solve
from topwire.choice.supply import Supply
from topwire.notices import Notice, fault

MOST_WAYS = 8  # combinations told
PERCENT = 100


@dataclass(frozen=True)
class State:
    """What is asked: limits, and for which cultivars pollen donors are not asked."""

    limits: Limits
    without_donors: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Condition:
    """A condition that can be eased: wholly, then as little as needed."""

    name: str  # of the plan's field
    wholly: Callable[[State], State]
    least: Callable[["_Question", State], State]  # eased wholly beforehand, and possible so
    says: Callable[[State], str]  # what it then has to be
    now: Callable[[State], bool]  # whether it asks for anything that could give


@dataclass(frozen=True)
class _Question:
    supply: Supply
    useful: Donors
    asked: Limits  # as the plan has it

    def solved(
        self, state: State, cost: Callable[[Planting], tuple[Index, float]] | None = None
    ) -> tuple[Solution, Planting, Index]:
        """The planting alone; gives also the columns of missing donors, which count 1 for each cultivar without."""
        model = Model()
        planting = plant(model, self.supply, state.limits)
        count = planting.trees.size
        model.cost[0] = np.zeros(count)
        within_the_ground(model, planting, state.limits)
        number_of_cultivars(model, planting, state.limits)
        none_or_enough(model, self.supply, planting, state.limits)
        heritage(model, self.supply, planting, state.limits)
        enough_donors(model, planting, self.useful)
        free = np.array([at in state.without_donors for at in range(count)], dtype=float)
        missing = model.add_columns(
            1 + 1e-5 * np.arange(count), high=free, whole=True
        )  # ties: first in order
        # Missing donors of a cultivar are forgiven together: no cultivar asks for more than the whole house has.
        model.put(np.arange(model.height - count, model.height), missing, float(count))
        if cost is not None:
            columns, each = cost(planting)
            for part, first in ((0, planting.trees), (1, planting.planted)):
                inside = np.isin(first, columns)
                model.cost[part] = np.where(inside, each, 0.0)
        return solve(model, gap=1e-6), planting, missing

    def possible(self, state: State) -> bool:
        return self.solved(state)[0].values is not None


def what_must_give(supply: Supply, limits: Limits, useful: Donors) -> list[Notice]:
    """Faults that name the least changes, each of which makes the plan possible."""
    asked = _Question(supply, useful, limits)
    here = {row.name for row in supply.cultivars}
    missing = [name for name in limits.must_have if name not in here]
    notices = []
    if missing:
        says = f"{', '.join(missing)} must be there but cannot be weighed at this place."
        notices.append(fault("choice, taste.must_have", says, "`topwire show place` says why."))
    ways = _ways(asked)
    if ways:
        single = len(ways[0][0]) == 1
        told = "; or ".join(words for _, words in ways)
        enough = (
            "one of these would be enough" if single else "the fewest changes that would be enough together"
        )
        names = ", ".join(dict.fromkeys(name for parts, _ in ways for name in parts))
        notices.append(
            fault("choice", f"no set of cultivars meets the plan; {enough}: {told}.", f"It hangs on {names}.")
        )
    elif not missing:
        says = "no set of cultivars meets the plan, even with every condition of taste and ground eased."
        notices.append(fault("choice", says, "The standing trees alone ask for more than there is."))
    return notices


def _ways(asked: _Question) -> list[tuple[tuple[str, ...], str]]:
    """The fewest conditions that have to give, each way with its names and words."""
    plan = State(asked.asked)
    conditions = [each for each in _conditions(asked) if each.now(plan)]
    for size in range(1, len(conditions) + 1):
        ways = []
        for some in combinations(conditions, size):
            state = plan
            for each in some:
                state = each.wholly(state)
            if not asked.possible(state):
                continue
            for each in some:
                state = each.least(asked, state)
            ways.append((tuple(each.name for each in some), " and ".join(each.says(state) for each in some)))
            if len(ways) == MOST_WAYS:
                break
        if ways:
            return ways
    return []


def _conditions(asked: _Question) -> Sequence[Condition]:
    limits, supply = asked.asked, asked.supply
    names = [row.name for row in supply.cultivars]
    count = len(names)
    share = int(np.ceil(limits.heritage_share * PERCENT - 1e-9))

    def number(
        name: str, field: str, far: int, says: Callable[[int], str], scale: float | None = None
    ) -> Condition:
        """A number of the plan, eased towards `far`."""

        def value(at: int) -> float | int:
            return at if scale is None else at / scale

        def least(question: _Question, state: State) -> State:
            near = share if scale is not None else int(getattr(limits, field))
            good = far  # possible; near is not
            while abs(good - near) > 1:
                middle = (good + near) // 2
                if question.possible(_with(state, field, value(middle))):
                    good = middle
                else:
                    near = middle
            return _with(state, field, value(good))

        def told(state: State) -> str:
            now = getattr(state.limits, field)
            return says(round(now * scale) if scale is not None else int(now))

        return Condition(
            name,
            lambda state: _with(state, field, value(far)),
            least,
            told,
            lambda state: bool(getattr(state.limits, field) != value(far)),
        )

    def drop(question: _Question, state: State) -> State:
        must = [at for at, name in enumerate(names) if name in limits.must_have]
        free = replace(state.limits, must_have=())
        found, planting, _ = question.solved(
            replace(state, limits=free), lambda planting: (planting.planted[must], -1.0)
        )
        assert found.values is not None
        kept = {names[at] for at in must if found.values[planting.planted[at]] > 0.5}
        stay = tuple(name for name in limits.must_have if name in kept)
        return replace(state, limits=replace(free, must_have=stay))

    def lonely(question: _Question, state: State) -> State:
        found, _, missing = question.solved(replace(state, without_donors=frozenset(range(count))))
        assert found.values is not None
        return replace(state, without_donors=frozenset(np.flatnonzero(found.values[missing] > 0.5).tolist()))

    def dropped(state: State) -> str:
        gone = [name for name in limits.must_have if name in names and name not in state.limits.must_have]
        return f"drop {' and '.join(gone)} from must_have"

    def unpollinated(state: State) -> str:
        who = " and ".join(names[at] for at in sorted(state.without_donors))
        return f"find pollen for {who} outside the orchard (its donors have no place in this plan)"

    most_places = int(limits.most(supply).sum()) + limits.places
    return (
        number(
            "taste.heritage_share",
            "heritage_share",
            0,
            lambda to: f"lower heritage_share from {limits.heritage_share:g} to {to / PERCENT:g}",
            PERCENT,
        ),
        number(
            "taste.fewest_cultivars",
            "fewest_cultivars",
            1,
            lambda to: f"lower fewest_cultivars from {limits.fewest_cultivars} to {to}",
        ),
        number(
            "taste.most_cultivars",
            "most_cultivars",
            max(count, limits.most_cultivars),
            lambda to: f"raise most_cultivars from {limits.most_cultivars} to {to}",
        ),
        number(
            "taste.fewest_trees",
            "fewest_trees",
            1,
            lambda to: (
                f"allow plantings of {to} {_trees(to)} instead of {limits.fewest_trees} (fewest_trees)"
            ),
        ),
        number(
            "taste.most_trees",
            "most_trees",
            max(limits.places, limits.most_trees),
            lambda to: f"allow {to} trees of a cultivar instead of {limits.most_trees} (most_trees)",
        ),
        number(
            "the ground",
            "places",
            most_places,
            lambda to: f"make room for {to - limits.places} more {_trees(to - limits.places)}",
        ),
        Condition(
            "taste.must_have",
            lambda state: replace(state, limits=replace(state.limits, must_have=())),
            drop,
            dropped,
            lambda state: any(name in names for name in state.limits.must_have),
        ),
        Condition(
            "pollination",
            lambda state: replace(state, without_donors=frozenset(range(count))),
            lonely,
            unpollinated,
            lambda state: True,
        ),
    )


def _with(state: State, field: str, value: float) -> State:
    return replace(state, limits=replace(state.limits, **{field: value}))  # type: ignore[arg-type]


def _trees(number: int) -> str:
    return "tree" if number == 1 else "trees"
