"""The years ahead, on the climate model series for the east of England in the installed package aquacrop (AQUACROP).

Read there, never copied. Three models, two courses of emissions, twenty years each.
"""

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from phenology_support import EXAMPLES, catalogue, record

from topwire.phenology.bloom import WINTER_HOURS
from topwire.phenology.forecast import Forecast, forecast
from topwire.phenology.question import traits_of
from topwire.phenology.seasons import Seasons, cut
from topwire.phenology.warming import TODAY, frost_years, today_from, trend
from topwire.weather.climate_change import change_between, changed
from topwire.weather.read import read_weather
from topwire.weather.record import Weather

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
    stepped = forecast(seasons(model, "historical_1995_2014").warmed(step, step), traits)
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


def halves(folder: str) -> tuple[Weather, Weather]:
    """A station's record (GHCN-Daily) in two halves of whole seasons."""
    whole = read_weather([EXAMPLES / folder / "weather" / "daily.csv"])
    middle = np.datetime64(f"{int(str(whole.day[whole.day.size // 2])[:4])}-10-01")
    parts = []
    for keep in (whole.day < middle + 92, whole.day >= middle):
        parts.append(record(whole.day[keep], whole.tmin[keep], whole.tmax[keep]))
    return parts[0], parts[1]


@pytest.mark.parametrize(("folder", "latitude"), [("valley-inn", 39.18), ("ridge-cider", 40.71)])
def test_early_decades_warmed_by_month_bloom_as_the_late_ones_did(folder: str, latitude: float) -> None:
    """A hindcast: the shift of days and nights by month brings bloom within two days of the later weather's."""
    early, late = halves(folder)
    traits = traits_of(catalogue())
    shifted = changed(early, change_between("later", early, late))
    bloom = {
        name: float(np.nanmean(forecast(cut(weather, latitude), traits).full_bloom[:, GOLDEN]))
        for name, weather in (("early", early), ("late", late), ("shifted", shifted))
    }
    assert abs(bloom["shifted"] - bloom["late"]) < 2.0
    assert abs(bloom["early"] - bloom["late"]) > abs(bloom["shifted"] - bloom["late"])


def test_warm_days_without_warm_nights_bring_more_frost_loss_than_warmth_all_round() -> None:
    """Bloom follows the days, frost the nights (the sign on which KUNZ2022 and ECCEL2009 differ)."""
    base = cut(read_weather([EXAMPLES / "valley-inn" / "weather" / "daily.csv"]), 39.18)
    traits = traits_of(catalogue())
    lost = [
        float(np.nanmean(forecast(base.warmed(nights, days), traits).kill[:, GOLDEN]))
        for nights, days in ((2.0, 2.0), (0.5, 3.5))
    ]
    assert lost[1] > lost[0]


def test_today_is_the_last_twenty_five_years() -> None:
    assert today_from(np.arange(1960, 2021)) == 2020 - TODAY + 1
    assert today_from(np.arange(2010, 2021)) == 2010
    assert trend(np.arange(1960, 2021), 120 - 0.2 * np.arange(61)) == pytest.approx(-2.0)
    assert frost_years(np.array([0.4, 0.6, np.nan, 0.1])) == 0.25
