import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from topwire.checks.trellis_cases import EA, T0, plan_row, space_row
from topwire.trellis import wire
from topwire.trellis.frame import Frame, StiffBlock, at_temperature, solve, strung


def strand(spans: int, per_span: int = 1, *, length: float = 9.0, stiffness: float = EA) -> Frame:
    """One wire over supports that hold it."""
    count = spans * per_span
    nodes = np.zeros((count + 1, 3))
    nodes[:, 0] = np.arange(count + 1) * length / per_span
    fixed = np.zeros((count + 1, 3), dtype=bool)
    fixed[::per_span] = True
    bars = np.stack([np.arange(count), np.arange(1, count + 1)], axis=1)
    stiff = np.full(count, stiffness)
    return Frame(
        nodes,
        fixed,
        bars,
        strung(np.full(count, length / per_span), T0, stiff),
        stiff,
        np.ones(count, dtype=bool),
    )


def test_at_rest_a_wire_has_its_pretension_and_nothing_moves() -> None:
    found = solve(strand(3, 4), np.zeros((13, 3)))
    assert found.converged
    assert found.force == pytest.approx(np.full(12, T0))
    assert np.abs(found.moved).max() < 1e-12


@pytest.mark.parametrize("load", [20.0, 100.0, 250.0])
def test_one_bowed_bar_is_the_parabola(load: float) -> None:
    frame = strand(1)
    found = solve(frame, np.zeros((2, 3)), bow=np.array([load]))
    assert found.force[0] == pytest.approx(float(wire.loaded_tension(T0, load, 9.0, EA)), rel=1e-6)


def test_straight_bars_come_to_the_bowed_one_as_they_grow_many() -> None:
    load, off = 100.0, []
    exact = float(wire.loaded_tension(T0, load, 9.0, EA))
    for many in (4, 8, 16, 32):
        nodal = np.zeros((many + 1, 3))
        nodal[1:-1, 2] = -load * 9 / many
        off.append(abs(solve(strand(1, many), nodal).force.min() / exact - 1))
    assert off == sorted(off, reverse=True)
    assert off[-1] < 0.01


def test_bowed_bars_do_not_mind_the_mesh() -> None:
    load = 100.0
    tensions = []
    for many in (2, 4, 8):
        nodal = np.zeros((many + 1, 3))
        nodal[1:-1, 1] = load * 9 / many
        found = solve(strand(1, many), nodal, bow=np.full(many, load))
        tensions.append(float(found.force.mean()))
    assert tensions[1] == pytest.approx(tensions[0], rel=0.005)
    assert tensions[2] == pytest.approx(tensions[1], rel=0.005)


def test_temperature_acts_as_in_the_closed_form() -> None:
    frame = strand(1)
    colder = at_temperature(frame.free_length, -30.0, wire.STEEL_EXPANSION)
    found = solve(frame, np.zeros((2, 3)), free_length=colder, bow=np.array([100.0]))
    assert found.force[0] == pytest.approx(
        float(wire.loaded_tension(T0, 100.0, 9.0, EA, warmer=-30.0)), rel=2e-4
    )


@settings(max_examples=40, deadline=None)
@given(
    push=st.floats(-300, 300), down=st.floats(0, 200), posts=st.floats(500, 2e5), seed=st.integers(0, 1000)
)
def test_supports_balance_the_loads_and_mirrored_loads_mirror(
    push: float, down: float, posts: float, seed: int
) -> None:
    count = 12
    frame = strand(3, 4)
    loose = frame.fixed.copy()
    loose[4] = loose[8] = False
    blocks = tuple(StiffBlock(np.array([3 * at + 1, 3 * at + 2]), np.eye(2) * posts) for at in (4, 8))
    row = Frame(
        frame.nodes, loose, frame.bars, frame.free_length, frame.stiffness, frame.tension_only, blocks
    )
    load = np.zeros((count + 1, 3))
    uneven = np.random.default_rng(seed).uniform(0.5, 1.5, count - 1)
    load[1:-1, 1], load[1:-1, 2] = push * uneven, -down * uneven
    found, mirrored = solve(row, load), solve(row, load * np.array([1, -1, 1]))
    assert found.converged
    held = found.reactions.sum(axis=0)
    held[1:] -= sum(force for force in found.block_forces)
    scale = max(np.abs(load).sum(), T0)
    assert np.abs(held + load.sum(axis=0)).max() < 1e-7 * scale
    assert mirrored.moved * np.array([1, -1, 1]) == pytest.approx(found.moved, abs=1e-7)


def test_posts_without_end_are_rigid_supports() -> None:
    rigid = solve(strand(4), np.zeros((5, 3)), bow=np.full(4, 150.0)).force
    loose = strand(4)
    fixed = loose.fixed.copy()
    fixed[1:-1] = False
    blocks = tuple(
        StiffBlock(np.array([3 * at, 3 * at + 1, 3 * at + 2]), np.eye(3) * 1e11) for at in (1, 2, 3)
    )
    posts = Frame(
        loose.nodes, fixed, loose.bars, loose.free_length, loose.stiffness, loose.tension_only, blocks
    )
    load = np.zeros((5, 3))
    load[1:-1, 1] = 150 * 9
    assert solve(posts, load, bow=np.full(4, 150.0)).force == pytest.approx(rigid, rel=1e-4)


def test_a_slack_wire_carries_nothing() -> None:
    """A wire pushed together at one end and no load: zero force, not compression."""
    frame = strand(2)
    longer = frame.free_length * 1.05
    fixed = frame.fixed.copy()
    fixed[1] = [False, True, True]
    row = Frame(frame.nodes, fixed, frame.bars, longer, frame.stiffness, frame.tension_only)
    found = solve(row, np.zeros((3, 3)))
    assert found.converged
    assert found.force == pytest.approx(np.zeros(2))


def test_a_guy_works_in_one_direction_only() -> None:
    nodes = np.array([[0, 0, 3.0], [-3.0, 0, 0]])
    fixed = np.array([[False, True, True], [True, True, True]])
    guy = Frame(
        nodes, fixed, np.array([[0, 1]]), np.array([np.hypot(3, 3)]), np.array([2e6]), np.array([True]),
        (StiffBlock(np.array([0]), np.array([[1e4]])),),
    )  # fmt: skip
    away, back = np.zeros((2, 3)), np.zeros((2, 3))
    away[0, 0], back[0, 0] = 500.0, -500.0
    assert solve(guy, away).force[0] > 0
    pushed = solve(guy, back)
    assert pushed.force[0] == 0
    assert pushed.moved[0, 0] == pytest.approx(-0.05, rel=1e-3)


def test_an_unstable_frame_gives_no_number() -> None:
    nodes = np.array([[0, 0, 0.0], [1.0, 0, 0], [2.0, 0, 0]])
    fixed = np.array([[True] * 3, [False, False, True], [True] * 3])
    strut = Frame(
        nodes,
        fixed,
        np.array([[0, 1], [1, 2]]),
        np.array([1.02, 1.02]),
        np.full(2, 1e6),
        np.zeros(2, dtype=bool),
    )
    push = np.zeros((3, 3))
    push[1, 1] = 1.0
    assert not solve(strut, push).converged


def test_cuthill_mckee_serves_where_the_row_order_does_not() -> None:
    """A ring of bars numbered badly is solved all the same."""
    rng = np.random.default_rng(3)
    nodes = rng.uniform(0, 5, (60, 3))
    chain = np.stack([np.arange(59), np.arange(1, 60)], axis=1)
    long = np.linalg.norm(nodes[chain[:, 1]] - nodes[chain[:, 0]], axis=1)
    fixed = np.zeros((60, 3), dtype=bool)
    fixed[[0, 59]] = True
    springs = tuple(StiffBlock(np.arange(3 * i, 3 * i + 3), np.eye(3) * 1e3) for i in range(1, 59))
    found = solve(
        Frame(nodes, fixed, chain, long, np.full(59, 1e5), np.zeros(59, dtype=bool), springs),
        np.tile([0.0, 10.0, 0.0], (60, 1)),
    )
    assert found.converged


def test_residual_is_told_and_small() -> None:
    for found in (plan_row(), plan_row((2,)), space_row()):
        assert found.converged
        assert found.residual < 1e-4  # N, of loads of some hundred
        assert found.iterations < 15
