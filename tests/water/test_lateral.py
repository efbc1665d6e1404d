"""Single lines: marching and the network agree; longer lines are less even."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from topwire.water.emitter import Emitter
from topwire.water.friction import blasius, hazen_williams
from topwire.water.lateral import Line, longest_line, solve_line
from topwire.water.network import Tree, solve

PLAIN = Emitter(2.0 / 3.6e6 / 10**0.5, 0.5)
STEADY = Emitter(1.6 / 3.6e6 / 10**0.05, 0.05, regulates_from=5.0)


@settings(max_examples=25, deadline=None)
@given(
    count=some.integers(1, 120),
    spacing=some.floats(0.3, 1.2),
    inside=some.floats(0.012, 0.021),
    slope=some.floats(-0.05, 0.03),
    head=some.floats(9.0, 30.0),
    emitter=some.sampled_from([PLAIN, STEADY]),
)
def test_marching_and_network_agree(
    count: int, spacing: float, inside: float, slope: float, head: float, emitter: Emitter
) -> None:
    run = solve_line(Line(count, spacing, inside, slope), emitter, head)
    along = spacing * np.arange(count + 1)
    chain = Tree(
        np.arange(-1, count),
        np.full(count + 1, spacing),
        np.full(count + 1, inside),
        slope * along,
        np.concatenate([[0.0], np.ones(count)]),
    )
    found = solve(chain, emitter, head)
    assert found.head[1:] == pytest.approx(run.head, abs=2e-5)
    assert found.total == pytest.approx(run.total, rel=1e-6)


def test_first_emitter_may_stand_closer() -> None:
    far = solve_line(Line(50, 1.0, 0.0136), PLAIN, 12.0)
    near = solve_line(Line(50, 1.0, 0.0136, first=0.1), PLAIN, 12.0)
    assert near.head[0] > far.head[0]
    assert near.total > far.total


def test_longest_line_is_the_last_that_fits() -> None:
    mean, share = 2.0 / 3.6e6, 0.95
    least = 10.0 * share**2
    count = longest_line(
        Line(1, 0.9, 0.0136, slope=0.01), PLAIN, last_head=least, most_head=25.0, mean_flow=mean
    )
    assert count > 10

    def ratio(emitters: int) -> float:
        """Least over mean of a line fed so that its mean flow is the nominal one."""
        low, high = 9.0, 20.0
        for _ in range(40):
            head = (low + high) / 2
            run = solve_line(Line(emitters, 0.9, 0.0136, slope=0.01), PLAIN, head)
            low, high = (head, high) if run.flow.mean() < mean else (low, head)
        return run.least_over_mean

    assert ratio(count) >= share > ratio(count + 1)


def test_wider_tube_runs_further_and_compensating_furthest() -> None:
    def most(inside: float, emitter: Emitter, **bounds: float) -> int:
        return longest_line(Line(1, 0.5, inside), emitter, **bounds)

    even = {"last_head": 9.0, "most_head": 25.0, "mean_flow": 2.0 / 3.6e6}
    assert most(0.0136, PLAIN, **even) < most(0.0176, PLAIN, **even)
    assert most(0.0136, PLAIN, **even) < most(0.0136, STEADY, last_head=6.0, most_head=35.0)


def test_longest_line_refuses_a_falling_one() -> None:
    with pytest.raises(ValueError, match="level and rising"):
        longest_line(Line(1, 0.5, 0.0136, slope=-0.02), PLAIN, last_head=9.0, most_head=20.0)
    assert longest_line(Line(1, 1.0, 0.0136, slope=20.0), PLAIN, last_head=9.0, most_head=20.0) == 0


def test_a_line_that_climbs_out_of_reach_says_so() -> None:
    with pytest.raises(ValueError, match="higher than the head"):
        solve_line(Line(100, 1.0, 0.0136, slope=0.2), PLAIN, 10.0)


def test_laws_differ_as_known_for_small_tube() -> None:
    line = Line(100, 0.9, 0.0136)
    smooth = 12 - solve_line(line, PLAIN, 12.0, law=blasius).head[-1]
    tabled = 12 - solve_line(line, PLAIN, 12.0, law=hazen_williams(150)).head[-1]
    assert 1.15 < smooth / tabled < 1.35
