"""Frost: kill between the published points, and how long the stages last."""

import numpy as np
import pytest
from phenology_support import EXAMPLES, catalogue

from topwire.phenology import frost, stages
from topwire.phenology.forecast import forecast
from topwire.phenology.question import traits_of
from topwire.phenology.seasons import Seasons, cut
from topwire.weather.read import read_weather


@pytest.mark.parametrize(
    ("share", "air", "killed"),
    [
        (stages.FULL_BLOOM, -3.0, 0.4634),
        (stages.FULL_BLOOM, -4.5, 0.9783),
        (stages.TIGHT_CLUSTER, -4.0, 0.3576),
        (stages.GREEN_TIP, -9.0, 0.2712),
        (stages.SILVER_TIP, -12.0, 0.3447),
    ],
)
def test_between_the_points(share: float, air: float, killed: float) -> None:
    """Logistic through both points of EB0419 (PHENOCHECK)."""
    kill_10, kill_90 = frost.critical_temperatures(share)
    assert float(frost.kill_share(air, kill_10, kill_90)) == pytest.approx(killed, abs=1e-4)


def test_other_cultivars_are_hardier_by_one_and_two_fahrenheit() -> None:
    """EB0419: Golden Delicious and Winesap about 1 F, Rome Beauty 2 F; none after petal fall."""
    for name, fahrenheit in (("Golden Delicious", 1.0), ("Winesap", 1.0), ("Rome Beauty", 2.0)):
        kill_10, _ = frost.critical_temperatures(stages.FULL_BLOOM, frost.HARDIER[name])
        assert float(kill_10) * 1.8 + 32 == pytest.approx(28.0 - fahrenheit)
        kill_10, _ = frost.critical_temperatures(stages.PETAL_FALL, frost.HARDIER[name])
        assert float(kill_10) * 1.8 + 32 == pytest.approx(28.0)


@pytest.fixture(
    scope="module", params=[("valley-inn", 39.18), ("ridge-cider", 40.71)], ids=lambda item: item[0]
)
def seasons(request: pytest.FixtureRequest) -> Seasons:
    folder, latitude = request.param
    return cut(read_weather([EXAMPLES / folder / "weather" / "daily.csv"]), latitude)


def test_green_tip_to_full_bloom(seasons: Seasons) -> None:
    """McIntosh in Michigan, a record from 1976: mean 31 d, 17 to 50 (MSU-STAGES); Pennsylvania 2016: 27 to 36
    (PSU-2016)."""
    traits = traits_of(catalogue())
    found = forecast(seasons, traits)
    days = (found.full_bloom - found.green_tip)[:, traits.names.index("McIntosh")]
    assert days.mean() == pytest.approx(31, abs=5)
    assert days.min() > 12
    assert days.max() <= 51


def test_heat_at_full_bloom(seasons: Seasons) -> None:
    """UMASS-STAGES: full bloom between 316 and 439 F-days above 43 F, counted from 1 March."""
    traits = traits_of(catalogue())
    found = forecast(seasons, traits)
    running = stages.stage_heat(seasons.tmin, seasons.tmax)
    bloom = found.full_bloom[:, traits.reference]
    row = np.arange(bloom.size)
    at_bloom = running[row, np.rint(bloom + 91).astype(int)] - running[:, 92 + 58]
    assert 316 < at_bloom.mean() * 1.8 < 439


def test_petal_fall_follows_first_bloom_within_three_weeks(seasons: Seasons) -> None:
    """BELCHERTOWN2003: first blossom 6 May, last petal 27 May, the longest such span read."""
    traits = traits_of(catalogue())
    found = forecast(seasons, traits)
    days = (found.petal_fall - found.first_bloom)[:, traits.names.index("McIntosh")]
    assert days.max() <= 23
