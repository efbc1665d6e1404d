"""Single lines: how long they may be, by the network solved at that length."""

import pytest

from topwire.checks.pipes import chain, hazen_williams
from topwire.water.emitter import Emitter
from topwire.water.friction import blasius
from topwire.water.lateral import Line, longest_line
from topwire.water.network import solve

PLAIN = Emitter(2.0 / 3.6e6 / 10**0.5, 0.5)
STEADY = Emitter(1.6 / 3.6e6 / 10**0.05, 0.05, regulates_from=5.0)


def test_first_emitter_may_stand_closer() -> None:
    far, near = (solve(chain(50, 1.0, 0.0136, first=first), PLAIN, 12.0) for first in (1.0, 0.1))
    assert near.head[1] > far.head[1]
    assert near.total > far.total


def test_longest_line_is_the_last_that_fits() -> None:
    mean, share = 2.0 / 3.6e6, 0.95
    least = 10.0 * share**2
    count = longest_line(
        Line(0.9, 0.0136, slope=0.01), PLAIN, last_head=least, most_head=25.0, mean_flow=mean
    )
    assert count > 10

    def ratio(emitters: int) -> float:
        """Least over mean of a line fed so that its mean flow is the nominal one."""
        low, high = 9.0, 20.0
        for _ in range(40):
            head = (low + high) / 2
            flow = solve(chain(emitters, 0.9, 0.0136, slope=0.01), PLAIN, head).outlet[1:]
            low, high = (head, high) if flow.mean() < mean else (low, head)
        return float(flow.min() / flow.mean())

    assert ratio(count) >= share > ratio(count + 1)


def test_wider_tube_runs_further_and_compensating_furthest() -> None:
    def most(inside: float, emitter: Emitter, **bounds: float) -> int:
        return longest_line(Line(0.5, inside), emitter, **bounds)

    even = {"last_head": 9.0, "most_head": 25.0, "mean_flow": 2.0 / 3.6e6}
    assert most(0.0136, PLAIN, **even) < most(0.0176, PLAIN, **even)
    assert most(0.0136, PLAIN, **even) < most(0.0136, STEADY, last_head=6.0, most_head=35.0)


def test_longest_line_refuses_a_falling_one() -> None:
    with pytest.raises(ValueError, match="level and rising"):
        longest_line(Line(0.5, 0.0136, slope=-0.02), PLAIN, last_head=9.0, most_head=20.0)
    assert longest_line(Line(1.0, 0.0136, slope=20.0), PLAIN, last_head=9.0, most_head=20.0) == 0


def test_laws_differ_as_known_for_small_tube() -> None:
    line = chain(100, 0.9, 0.0136)
    smooth = 12 - solve(line, PLAIN, 12.0, law=blasius).head[-1]
    tabled = 12 - solve(line, PLAIN, 12.0, law=hazen_williams(150)).head[-1]
    assert 1.15 < smooth / tabled < 1.35
