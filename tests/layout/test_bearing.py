"""Which way the rows run: the wind's part in it."""

import pytest

from topwire.layout.bearing import weigh


def test_rows_along_the_storms_are_worth_a_little_more() -> None:
    common = {"beam": 0.7, "light": 0.7, "slope": 0.0, "slope_bearing": 0.0}
    along = weigh(90.0, 100, 1000.0, wind_from=270.0, **common)
    across = weigh(0.0, 100, 1000.0, wind_from=270.0, **common)
    unsaid = weigh(0.0, 100, 1000.0, **common)
    assert along.score == pytest.approx(unsaid.score)
    assert across.score == pytest.approx(0.97 * unsaid.score)
    assert across.broadside == pytest.approx(1.0)
    assert unsaid.broadside is None
