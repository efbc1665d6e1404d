"""What if on kept cuts: true gaps, conditions kept, and nothing moves without need."""

from dataclasses import replace

import numpy as np
import pytest
from choice.conftest import BY_LEAF, need
from choice.test_brute_force import kitchen

from topwire.choice.amounts import amounts_of
from topwire.choice.asked import ChoiceQuestion, PlantingTime
from topwire.choice.at_once import build, solve_whole
from topwire.choice.learnt import Learnt
from topwire.choice.nearest import GAP_TO_PLAY_WITH
from topwire.choice.search import Found, find
from topwire.choice.serving import serve
from topwire.choice.telling import choice_notices
from topwire.choice.what_if import changed, key_of_years

NEEDS = (
    need("fresh", 30, 8, weekly=30.0, weight=2.0),
    need("sauce", 28, 45, total=300.0),
    need("juice", 30, 50, total=400.0),
)


def asked(seed: int = 11) -> ChoiceQuestion:
    supply, limits, useful = kitchen(seed)
    limits = replace(limits, places=90, fewest_trees=9, most_trees=40, press_week=30.0, cellar=250.0)
    return ChoiceQuestion(
        supply, NEEDS, limits, useful, {}, {}, 90, PlantingTime(2027, 1, None, 20), BY_LEAF, 3.0, (1.5, 4.5), 2.0, None
    )  # fmt: skip


def learnt(question: ChoiceQuestion, found: Found) -> Learnt:
    amounts = amounts_of(question.needs, question.limits)
    return Learnt(amounts, found.cuts, np.array([found.trees, found.relaxed]))


@pytest.fixture(scope="module")
def own() -> tuple[ChoiceQuestion, Found, dict[str, int]]:
    question = asked()
    found = find(question.supply, NEEDS, question.limits, question.useful)
    names = [row.name for row in question.supply.cultivars]
    return question, found, {names[at]: int(found.trees[at]) for at in np.flatnonzero(found.trees)}


def test_no_change_moves_nothing(own: tuple[ChoiceQuestion, Found, dict[str, int]]) -> None:
    question, found, trees = own
    assert changed(question, question, trees, learnt(question, found)).trees == trees


def test_a_change_of_trees_taste_or_must_have_leaves_what_was_learnt_in_force() -> None:
    question = asked()
    other = replace(question, limits=replace(question.limits, places=70, must_have=("Gala",), fewest_trees=5))
    assert key_of_years(other) == key_of_years(question)
    heavier = (replace(NEEDS[0], weight=3.0), *NEEDS[1:])
    assert key_of_years(replace(question, needs=heavier)) != key_of_years(question)


def test_so_many_trees_are_so_many_and_the_gap_is_true(
    own: tuple[ChoiceQuestion, Found, dict[str, int]],
) -> None:
    question, found, trees = own
    limits = replace(question.limits, places=70, at_least=70)
    after = changed(question, replace(question, limits=limits), trees, learnt(question, found))
    assert sum(after.trees.values()) == 70
    programme = build(question.supply, NEEDS, limits, question.useful)
    best = solve_whole(programme, question.supply, limits, gap=1e-6).objective
    assert after.gap <= 2 * GAP_TO_PLAY_WITH
    assert best > found.objective - 1e-6 or limits.places >= question.limits.places


def test_another_kitchen_is_not_judged_by_what_was_learnt_of_this_one(
    own: tuple[ChoiceQuestion, Found, dict[str, int]],
) -> None:
    question, found, trees = own
    for other in (
        replace(
            question, needs=(replace(NEEDS[0], weekly=45.0, total=45.0 * len(NEEDS[0].weeks)), *NEEDS[1:])
        ),
        replace(question, limits=replace(question.limits, cellar=60.0)),
        replace(question, limits=replace(question.limits, press_week=8.0)),
    ):
        after = changed(question, other, trees, learnt(question, found), found.bound)
        programme = build(other.supply, other.needs, other.limits, other.useful)
        best = solve_whole(programme, other.supply, other.limits, gap=1e-6).objective
        names = [row.name for row in other.supply.cultivars]
        numbers = np.array([after.trees.get(name, 0) for name in names])
        cost, _ = serve(other.supply, other.needs, other.limits, numbers)
        assert best <= cost + 1e-6
        assert (cost - best) / cost <= after.gap + 1e-6


def test_what_only_takes_away_keeps_the_plans_own_bound(
    own: tuple[ChoiceQuestion, Found, dict[str, int]],
) -> None:
    question, found, trees = own
    fewer = replace(question, limits=replace(question.limits, places=80))
    after = changed(question, fewer, trees, learnt(question, found), found.bound)
    best = solve_whole(
        build(question.supply, NEEDS, fewer.limits, question.useful), question.supply, fewer.limits, gap=1e-6
    ).objective
    assert found.bound <= best + 1e-6
    assert sum(after.trees.values()) <= 80
    assert after.gap <= GAP_TO_PLAY_WITH + 1e-9


def test_a_cultivar_that_has_to_go_goes_and_one_that_has_to_come_comes(
    own: tuple[ChoiceQuestion, Found, dict[str, int]],
) -> None:
    question, found, trees = own
    names = [row.name for row in question.supply.cultivars]
    new = next(name for name in names if name not in trees)
    more = replace(question, limits=replace(question.limits, must_have=(new,), most_cultivars=5))
    assert changed(question, more, trees, learnt(question, found)).trees[new] >= question.limits.fewest_trees
    gone = next(iter(trees))
    keep = np.array([at for at, name in enumerate(names) if name != gone])
    fewer = replace(
        question,
        supply=question.supply.chosen(keep),
        limits=question.limits.some(keep),
        useful=question.useful[np.ix_(keep, keep)],
    )
    assert gone not in changed(question, fewer, trees, learnt(question, found)).trees


def test_more_trees_than_the_ground_has_places_for_are_told(
    own: tuple[ChoiceQuestion, Found, dict[str, int]],
) -> None:
    question, found, _ = own
    _, service = serve(question.supply, NEEDS, question.limits, found.trees)
    wanted = replace(question, to_plant=120)
    (said,) = [
        notice
        for notice in choice_notices(wanted, found.trees, service, None, ())
        if notice.code == "choice.ground_too_small"
    ]
    assert (said.facts["wanted"], said.facts["places"]) == (120, 90)
    kept = choice_notices(replace(question, to_plant=90), found.trees, service, None, ())
    assert all(notice.code != "choice.ground_too_small" for notice in kept)


def test_what_the_plan_warns_of_too_is_no_news(own: tuple[ChoiceQuestion, Found, dict[str, int]]) -> None:
    question, found, trees = own
    more = replace(question, to_plant=200)
    first = changed(question, more, trees, learnt(question, found))
    assert "choice.ground_too_small" in {notice.code for notice in first.warnings}
    again = changed(question, more, trees, learnt(question, found), told=first.warnings)
    assert again.warnings == ()
