"""Where no set of cultivars meets the plan: the least that must give, by the plan's own settings.

Each condition is eased alone, as little as makes the plan possible, found by solving the planting without the kitchen.
Where no single one is enough, the fewest conditions together that are; of these each is eased as little as the ones
before it in the list allow.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from topwire.choice.model import Index, Model
from topwire.choice.planting import (
    Donors,
    FirstStage,
    Limits,
    add_planting,
    enough_donors,
    hands_are_enough,
    heritage,
    none_or_enough,
    number_of_cultivars,
    plant,
    within_the_ground,
)
from topwire.choice.solver import Optimum, solve
from topwire.choice.supply import Supply
from topwire.values.notice import Fact, Measured, Notice, Severity, refusal
from topwire.values.units import Kind

MOST_WAYS = 8  # combinations told
PERCENT = 100


@dataclass(frozen=True)
class State:
    """What is asked: limits, and for which cultivars pollen donors are not asked."""

    limits: Limits
    without_donors: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Give:
    """One condition eased: the plan's setting, its number now and then, or the cultivars it lets go."""

    setting: str
    now: int = 0
    to: int = 0
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class Condition:
    """A condition that can be eased: wholly, then as little as needed."""

    wholly: Callable[[State], State]
    least: Callable[["_Question", State], State]  # eased wholly beforehand, and possible so
    gives: Callable[[State], "Give"]  # what it then has to be
    now: Callable[[State], bool]  # whether it asks for anything that could give


@dataclass(frozen=True)
class _Question:
    supply: Supply
    useful: Donors
    asked: Limits  # as the plan has it

    def solved(
        self, state: State, cost: Callable[[FirstStage], tuple[Index, float]] | None = None
    ) -> tuple[Optimum, FirstStage, Index]:
        """The planting alone; gives also the columns of missing donors, which count 1 for each cultivar without."""
        model = Model()
        planting = plant(model, self.supply, state.limits)
        count = planting.trees.size
        model.cost[0] = np.zeros(count)
        within_the_ground(model, planting, state.limits)
        number_of_cultivars(model, planting, state.limits)
        none_or_enough(model, self.supply, planting, state.limits)
        heritage(model, self.supply, planting, state.limits)
        enough_donors(model, planting, self.useful, self.asked.most_cultivars)
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


def _too_few_hands(supply: Supply, limits: Limits, useful: Donors) -> Notice:
    """All can be met but what may be picked in a week: says the least that would do."""
    assert limits.picking is not None
    model = Model()
    planting = add_planting(model, supply, replace(limits, picking=None), useful)
    model.cost[0] = np.zeros(planting.trees.size)
    most = model.add_columns(1.0)
    model.put(
        hands_are_enough(model, supply, planting, replace(limits, picking=replace(limits.picking, most=0.0))),
        most,
        -1.0,
    )
    least = solve(model, gap=1e-3).objective
    return refusal(
        "choice.hands_too_few",
        setting="taste.most_picked",
        asked=Measured(limits.picking.most, Kind.MASS),
        least=Measured(least, Kind.MASS),
    )


def what_must_give(supply: Supply, limits: Limits, useful: Donors) -> list[Notice]:
    """Refusals that name the least changes, each of which makes the plan possible."""
    asked = _Question(supply, useful, limits)
    here = {row.name for row in supply.cultivars}
    missing = [name for name in limits.must_have if name not in here]
    if limits.picking is not None and asked.possible(State(limits)):
        return [_too_few_hands(supply, limits, useful)]
    notices = []
    if missing:
        notices.append(refusal("choice.must_have_barred", setting="taste.must_have", concerns=missing))
    ways = _ways(asked)
    if ways:
        notices.append(_told(ways))
    elif not missing:
        notices.append(refusal("choice.nothing_helps", setting="trees.standing"))
    return notices


def _told(ways: list[tuple[Give, ...]]) -> Notice:
    """All ways in one notice: of way 1 the settings stand under `way1`, numbers under `way1_now` and `way1_to`."""
    settings = tuple(dict.fromkeys(give.setting for way in ways for give in way))
    facts: dict[str, Fact] = {"ways": len(ways), "single": len(ways[0]) == 1, "settings": settings}
    for number, way in enumerate(ways, start=1):
        facts[f"way{number}"] = tuple(give.setting for give in way)
        facts[f"way{number}_now"] = tuple(give.now for give in way)
        facts[f"way{number}_to"] = tuple(give.to for give in way)
        for give in way:
            if give.names:
                facts[f"way{number}_{give.setting}"] = give.names
    return Notice("choice.no_set", Severity.FAULT, settings[0], facts=facts)


def _ways(asked: _Question) -> list[tuple[Give, ...]]:
    """The fewest conditions that have to give, each way by itself."""
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
            ways.append(tuple(each.gives(state) for each in some))
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

    def number(setting: str, field: str, far: int, scale: float | None = None) -> Condition:
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

        def gives(state: State) -> Give:
            now, to = (round(getattr(of, field) * (scale or 1)) for of in (limits, state.limits))
            return Give(setting, now, to)

        return Condition(
            lambda state: _with(state, field, value(far)),
            least,
            gives,
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

    def dropped(state: State) -> Give:
        gone = [name for name in limits.must_have if name in names and name not in state.limits.must_have]
        return Give("taste.must_have", names=tuple(gone))

    def unpollinated(state: State) -> Give:
        return Give("pollination", names=tuple(names[at] for at in sorted(state.without_donors)))

    most_places = int(limits.most(supply).sum()) + limits.places
    return (
        number("taste.heritage_share", "heritage_share", 0, PERCENT),
        number("taste.fewest_cultivars", "fewest_cultivars", 1),
        number("taste.most_cultivars", "most_cultivars", max(count, limits.most_cultivars)),
        number("taste.fewest_trees", "fewest_trees", 1),
        number("taste.most_trees", "most_trees", max(limits.places, limits.most_trees)),
        number("ground", "places", most_places),
        Condition(
            lambda state: replace(state, limits=replace(state.limits, must_have=())),
            drop,
            dropped,
            lambda state: any(name in names for name in state.limits.must_have),
        ),
        Condition(
            lambda state: replace(state, without_donors=frozenset(range(count))),
            lonely,
            unpollinated,
            lambda state: True,
        ),
    )


def _with(state: State, field: str, value: float) -> State:
    return replace(state, limits=replace(state.limits, **{field: value}))  # type: ignore[arg-type]
