import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.ledger.graph import Circle, Wait, Wish, worked_out


def never(day: int) -> bool:
    return False


def test_what_waits_goes_later_and_what_may_move_earlier() -> None:
    build = Wish("build", 100, 20, moves=True)
    found = worked_out([build, Wish("plant", 110, 5, (Wait("build"),))], never)
    assert (found["build"].start, found["build"].end) == (89, 109)
    assert (found["plant"].start, found["plant"].slipped) == (110, 0)
    fixed = worked_out([Wish("build", 100, 20), Wish("plant", 110, 5, (Wait("build"),))], never)
    assert (fixed["plant"].start, fixed["plant"].slipped) == (121, 11)
    assert fixed["build"].latest == 120


def test_with_another_it_needs_only_its_beginning() -> None:
    found = worked_out([Wish("plant", 10, 20), Wish("stake", 5, 20, (Wait("plant", begun=True),))], never)
    assert found["stake"].start == 10


def test_frozen_ground_is_waited_for() -> None:
    found = worked_out([Wish("dig", 100, 10, ground=True)], lambda day: 105 <= day < 150)
    assert found["dig"].start == 150
    early = worked_out(
        [Wish("dig", 100, 10, moves=True, ground=True), Wish("plant", 160, 1, (Wait("dig"),))],
        lambda day: 105 <= day < 155,
    )
    assert early["dig"].end < 160


def test_a_ring_is_told() -> None:
    with pytest.raises(Circle) as told:
        worked_out(
            [Wish("a", 0, 1, (Wait("b"),)), Wish("b", 0, 1, (Wait("c"),)), Wish("c", 0, 1, (Wait("a"),))],
            never,
        )
    assert set(told.value.ring) == {"a", "b", "c"}


@given(st.data())
@settings(deadline=None)
def test_any_graph_without_a_ring_is_kept_in_order(data: st.DataObject) -> None:
    count = data.draw(st.integers(1, 12))
    wishes = []
    for number in range(count):
        waits = data.draw(st.lists(st.integers(0, number - 1), unique=True, max_size=3)) if number else []
        wishes.append(
            Wish(
                str(number),
                data.draw(st.integers(0, 300)),
                data.draw(st.integers(0, 40)),
                tuple(Wait(str(other), data.draw(st.booleans())) for other in waits),
                data.draw(st.booleans()),
            )
        )
    found = worked_out(data.draw(st.permutations(wishes)), never)
    for wish in wishes:
        for wait in wish.waits:
            before, after = found[wait.task], found[wish.key]
            assert after.start >= (before.start if wait.begun else before.end + 1)
            assert wait.begun or before.latest < after.start
