"""A short replay of bloom, harvest and crop: the long one is benchmarks/replay.py, whose figures docs/season.md has."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))
import replay


def test_bloom_a_fortnight_ahead_beats_the_mean_and_last_years_date() -> None:
    """Full bloom of Golden Delicious at Winchester (MUIR2023), each year asked with what was known."""
    years = range(2001, 2011)
    error, held = replay.replay_bloom(years, (14,))[14]
    seen = replay.bloom_seen()
    mean, last = replay.naive(seen, [year for year in years if year in seen])
    assert error < 0.8 * min(mean, last)
    assert held >= 0.6


def test_picks_a_month_ahead_beat_the_mean() -> None:
    count, (error, held), (mean, last) = replay.replay_harvest(range(2001, 2016), 1, replay.KINDS[:6])
    assert count >= 24
    assert error < min(mean, last)
    assert 0.6 <= held <= 0.97


def test_crop_a_month_ahead_beats_the_mean_and_the_plan() -> None:
    count, error, mean, plan, held = replay.replay_crop(range(2005, 2012), 1, replay.KINDS[:4])
    assert count >= 24
    assert error < 0.8 * min(mean, plan)
    assert 0.6 <= held <= 0.97


def test_what_came_later_moves_no_forecast_of_an_earlier_day() -> None:
    from datetime import timedelta

    from topwire.season.findings import SeasonStage
    from topwire.values.own_date import DateSeen
    from topwire.weather.read import read_weather

    seen = replay.bloom_seen()
    record = read_weather([replay.ROOT / "examples/valley-inn/weather/daily.csv"])
    dates = replay.own(replay.REFERENCE, DateSeen.FULL_BLOOM, seen)
    day = seen[2005] - timedelta(days=20)
    then = replay.Replay(record.before(day), replay.LATITUDE, (replay.REFERENCE,))
    now = replay.Replay(record, replay.LATITUDE, (replay.REFERENCE,))
    found = [
        place.asked(SeasonStage.FULL_BLOOM, replay.REFERENCE, day, kept)
        for place, kept in ((then, [row for row in dates if row.date < day]), (now, dates))
    ]
    assert found[0] == found[1]
