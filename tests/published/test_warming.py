"""The years ahead, on the climate model series for the east of England in the installed package aquacrop (AQUACROP).

Read there, never copied. Three models, two courses of emissions, twenty years each.
"""

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from phenology_support import catalogue, record

from topwire.phenology.bloom import WINTER_HOURS
from topwire.phenology.forecast import Forecast, forecast
from topwire.phenology.question import traits_of
from topwire.phenology.seasons import Seasons, cut

LATITUDE = 52.22
MODELS = ("CanESM5", "MIROC6", "NorESM2-LM")
GOLDEN = 0


@cache
def seasons(model: str, period: str) -> Seasons:
    import aquacrop

    folder = Path(aquacrop.__file__).parent / "data" / "cmip6_woolpit" / model
    (path,) = folder.glob(f"{model}_{period}_*.csv")
    with path.open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    found = np.array([row["Date"] for row in rows], dtype="datetime64[D]")
    day = np.arange(found[0], found[-1] + 1)  # some models have no 29 February: bridged
    known = (found - day[0]).astype(int)
    tmin, tmax = (
        np.interp(np.arange(day.size), known, [float(row[name]) for row in rows])
        for name in ("MinTemp", "MaxTemp")
    )
    return cut(record(day, tmin, tmax), LATITUDE)


@cache
def found(model: str, period: str) -> Forecast:
    return forecast(seasons(model, period), traits_of(catalogue()))


def warmth(model: str, period: str) -> float:
    part = seasons(model, period)
    return float((part.tmin[:, 92:] + part.tmax[:, 92:]).mean() / 2)


@pytest.mark.parametrize("model", MODELS)
def test_bloom_and_chill_move_with_the_warming(model: str) -> None:
    periods = ("historical_1995_2014", "ssp585_2040_2059", "ssp585_2080_2099")
    warm = [warmth(model, period) for period in periods]
    bloom = [np.nanmean(found(model, period).full_bloom[:, GOLDEN]) for period in periods]
    chill = [found(model, period).chill[:, WINTER_HOURS - 1].mean() for period in periods]
    assert warm[0] < warm[1] < warm[2]
    assert bloom[0] > bloom[1] > bloom[2]
    assert chill[0] > chill[2]


@pytest.mark.parametrize("model", MODELS)
def test_a_plain_step_does_nearly_what_the_model_series_does(model: str) -> None:
    """The warmer climate of the Place page is the record plus a step; here the step is the models' own mean warming."""
    then = "ssp585_2060_2079"
    step = warmth(model, then) - warmth(model, "historical_1995_2014")
    traits = traits_of(catalogue())
    stepped = forecast(seasons(model, "historical_1995_2014").warmed(step), traits)
    difference = np.nanmean(stepped.full_bloom[:, GOLDEN]) - np.nanmean(
        found(model, then).full_bloom[:, GOLDEN]
    )
    assert abs(difference) < 6.0


def test_the_advance_slows_as_chill_runs_short() -> None:
    """DREPPER2020, HOFFMANN2013 (abstracts read): later chill takes back part of what a warmer spring gives."""
    periods = ("historical_1995_2014", "ssp585_2040_2059", "ssp585_2080_2099")
    warm = [warmth("CanESM5", period) for period in periods]
    bloom = [np.nanmean(found("CanESM5", period).full_bloom[:, GOLDEN]) for period in periods]
    first, then = -np.diff(bloom) / np.diff(warm)
    assert first == pytest.approx(5.5, abs=1.5)
    assert then < 0.75 * first
