"""The kitchen's week."""

import numpy as np

from topwire.values.calendar import day_label, week_label, week_of_day


def test_weeks_of_the_year() -> None:
    assert week_of_day([1, 7, 8, 358, 365, 366, 372, 373]).tolist() == [1, 1, 2, 52, 52, 1, 1, 2]
    assert set(week_of_day(np.arange(1, 366)).tolist()) == set(range(1, 53))


def test_labels() -> None:
    assert week_label(35) == "27 Aug"
    assert day_label(132) == "12 May"
    assert day_label(366) == "1 Jan"
