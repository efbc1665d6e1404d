"""What is used of a product: beside the greatest flow from the weeks it is made to the weeks it is wanted in."""

import numpy as np
import pytest
from choice.conftest import loosened, need
from choice.test_brute_force import kitchen
from scipy.optimize import linprog

from topwire.choice.needs import WeeklyNeed
from topwire.choice.serving import serve
from topwire.values.calendar import WEEKS


def greatest_use(asked: WeeklyNeed, made: np.ndarray) -> float:
    """Most that can be used: a transport problem, one column for each week of making and of use (scipy.optimize)."""
    at = (np.arange(1, WEEKS + 1) - asked.weeks[0]) % WEEKS
    since = at[None, :] - at[:, None]
    pairs = np.argwhere((since >= 0) & (since <= asked.shelf_weeks) & (asked.by_week() > 0)[None, :])
    out, into = np.zeros((WEEKS, len(pairs))), np.zeros((WEEKS, len(pairs)))
    out[pairs[:, 0], np.arange(len(pairs))] = 1.0
    into[pairs[:, 1], np.arange(len(pairs))] = 1.0
    found = linprog(
        -np.ones(len(pairs)), A_ub=np.vstack([out, into]), b_ub=np.concatenate([made, asked.by_week()])
    )
    return float(-found.fun)


@pytest.mark.parametrize("keeps", [1.0, 3.0, 9.5, 30.0, 52.0])
@pytest.mark.parametrize("seed", range(4))
def test_as_much_is_used_as_can_be(keeps: float, seed: int) -> None:
    random = np.random.default_rng(seed)
    used = (*range(40, 53), *range(1, 25))
    asked = need("sauce", 30, 48, total=100.0, used=used, keeps=keeps)
    made = np.zeros((2, WEEKS))
    weeks = np.array(asked.weeks) - 1
    made[:, weeks] = random.exponential(6.0, (2, weeks.size)) * (random.random((2, weeks.size)) < 0.6)
    told = asked.used_by_week(made)
    assert (told <= asked.by_week() + 1e-12).all()
    for year in (0, 1):
        assert told[year].sum() == pytest.approx(greatest_use(asked, made[year]))
    none = ~np.isin(np.arange(1, WEEKS + 1), used)
    assert not told[:, none].any()


@pytest.mark.parametrize("seed", range(20, 26))
def test_what_keeps_to_its_last_use_costs_the_same_by_fewer_rows(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A row for each stretch of making, beside the long form with a row for each week."""
    supply, limits, _ = kitchen(seed)
    limits = loosened(limits, press_week=20.0, cellar=60.0)
    used = (*range(40, 53), *range(1, 25))
    needs = (
        need("fresh", 30, 8, weekly=8.0),
        need("sauce", 30, 48, total=90.0, used=used, more={"weekly_capacity": "9 kg"}),
        need("juice", 35, 50, total=110.0, used=used),
    )
    trees = np.full(len(supply.cultivars), 3)
    short, service = serve(supply, needs, limits, trees)
    monkeypatch.setattr(WeeklyNeed, "keeps_throughout", False)
    long, week_by_week = serve(supply, needs, limits, trees)
    assert short == pytest.approx(long, rel=1e-9)
    assert service.short.max() > 0  # where nothing is short there is nothing to compare
    assert service.short == pytest.approx(week_by_week.short, abs=1e-6)
    assert service.served.sum() == pytest.approx(week_by_week.served.sum(), rel=1e-6)
