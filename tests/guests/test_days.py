"""Days on cards are the calendar's, until the season itself tells others."""

from types import SimpleNamespace
from typing import Any

import numpy as np

from topwire.guests.question import days_of
from topwire.season.findings import SeasonStage
from topwire.season.question import usual_days


def test_a_card_has_the_calendars_median_until_something_of_the_season_is_known() -> None:
    table = np.array([[110.0, 116.0, 122.0, 261.0, 271.0]] * 2 + [[112.0, 118.0, 124.0, 264.0, 274.0]] * 3)
    first, full, fall, ripe, over = (table[:, [at]] for at in range(5))
    place: Any = SimpleNamespace(
        cultivars=("Gala",),
        first_bloom=first,
        full_bloom=full,
        petal_fall=fall,
        harvest_first=ripe,
        harvest_last=over,
    )
    line: Any = SimpleNamespace(name="Gala", usual=usual_days(place, "Gala"))
    stages = dict.fromkeys(SeasonStage, 100.0) | {SeasonStage.RIPE: 263.0, SeasonStage.OVER: 273.0}
    dates = SimpleNamespace(names=("Gala",), middle=lambda stage, at: stages[stage])
    usual: Any = SimpleNamespace(usual=True, dates=dates)
    begun: Any = SimpleNamespace(usual=False, dates=dates)
    assert days_of(line, usual) == ((112.0, 118.0, 124.0), (264.0, 274.0))
    assert days_of(line, begun) == ((100.0, 100.0, 100.0), (263.0, 273.0))
