"""Scarce wood: what a few sticks become, and that the choice counts on no more trees than these."""

import numpy as np
import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.propagation import PropagationRow
from topwire.catalogue.tables import read_tables
from topwire.choice.wood import WoodRates, least_winters, trees_from, winters_of, wood_rates

PLAIN = WoodRates(lives=0.8, good=0.6, grafts_per_stick=2.0, from_whip=3.0, from_mother=6.0)


def test_wood_of_three_winters_by_hand() -> None:
    """5 sticks are 10 grafts, 8 live; 5 + 24 sticks are 58 grafts, 46.4 live; 5 + 139.2 + 48 sticks are 384 grafts."""
    first, second, third = winters_of(5, 3, PLAIN)
    assert (first.own, first.grafts, first.before) == (0, 10, 2)
    assert (second.own, second.grafts) == (24, 58)
    assert (third.own, third.grafts, third.before) == (187, 384, 0)


def test_no_winter_and_no_stick_more_than_needed() -> None:
    assert len(least_winters(10, 5, 3, PLAIN)) == 1
    two = least_winters(30, 5, 3, PLAIN)
    assert [winter.fetched for winter in two] == [
        3,
        5,
    ]  # 6 mothers, 4.8 live, 14 sticks: 38 grafts; with 2: 9 and 28
    assert least_winters(10_000, 5, 2, PLAIN) == winters_of(5, 2, PLAIN)


@pytest.mark.parametrize("sticks", [0, 1, 3, 10, 40])
def test_more_sticks_and_more_winters_are_never_fewer_trees(sticks: int) -> None:
    trees = [trees_from(sticks, winters, PLAIN) for winters in (1, 2, 3)]
    assert trees == sorted(trees)
    assert trees_from(sticks + 1, 2, PLAIN) >= trees[1]
    assert sticks or trees == [0, 0, 0]


def test_trees_counted_on_come_in_nineteen_batches_of_twenty() -> None:
    figure = {row.item: row.middle for row in Catalogue(read_tables()).rows("propagation", PropagationRow)}
    rates = wood_rates(figure, "practised")
    grafts = winters_of(20, 2, rates)[-1].grafts
    good = np.random.default_rng(2).binomial(grafts, rates.good, 20_000)
    assert np.mean(good >= trees_from(20, 2, rates)) == pytest.approx(0.95, abs=0.02)
