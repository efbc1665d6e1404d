"""Twenty years of the Virginia example replayed week by week, with only what was known at each date.

    OMP_NUM_THREADS=1 python benchmarks/replay.py [FOLDER]

Bloom: Golden Delicious at Winchester, Virginia, dates of a published record (MUIR2023, shipped with the tests) with the
example's own weather. The shared figures of bloom were fitted to this record and those of three other places at once,
so its errors are on the bright side; benchmarks/fit_dates.py prints what periods left out cost.

Harvest: no record of picks at that place may be shipped, so the picks are drawn: the forecast that knows the whole year
and the bloom that was seen, plus a place's, a cultivar's, a year's and a single date's error of the sizes the program
states. It tests what the program makes of what it knows, not the world. With FOLDER (the records fit_dates.py reads)
the Rhineland's real picks are replayed beside it: four cultivars, fitted on, not shipped.

Crop: drawn too, for nobody publishes the crop of such an orchard by cultivar: an orchard's own level, the year's frost by
the example's weather, each year's set, trees that differ, counts and callipers with their errors, all stated below. The
forecaster knows the plan's band, the frost and the counts, and learns the orchard's level from what was picked before.

Printed: mean absolute error of ours and of naive forecasts, and how often low to high held what came.
"""

import csv
import time
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.phenology.question import traits_of
from topwire.phenology.seasons import Seasons, begun_by, cut
from topwire.phenology.traits import REFERENCE, Traits
from topwire.season.dates import KnownPlace, known_place, season_dates
from topwire.season.findings import SeasonStage
from topwire.season.stages import day_range
from topwire.values.estimate import Estimate
from topwire.values.own_date import DateSeen, OwnDate
from topwire.weather.read import read_weather
from topwire.weather.record import Weather

ROOT = Path(__file__).parents[1]
LATITUDE = 39.18
YEARS = range(1997, 2017)  # the last twenty with a date of bloom
LEADS = (70, 56, 42, 28, 14, 7)  # [d] before bloom
HARVEST_AHEAD = 30  # [d]
KINDS = (
    "Golden Delicious",
    "Gala",
    "Empire",
    "Jonathan",
    "Winesap",
    "GoldRush",
    "Yellow Transparent",
    "York Imperial",
)


def traits(names: tuple[str, ...]) -> Traits:
    return traits_of(Catalogue(read_tables())).some(names)


def bloom_seen() -> dict[int, date]:
    """Full bloom of Golden Delicious at Winchester by year."""
    path = ROOT / "tests/published/data/bloom_golden_delicious.csv"
    with path.open(encoding="utf-8") as lines:
        rows = [row for row in csv.DictReader(lines) if row["place"] == "Winchester"]
    return {int(row["year"]): day_in(int(row["year"]), float(row["full_bloom"])) for row in rows}


def day_in(year: int, day: float) -> date:
    return date(year, 1, 1) + timedelta(days=round(day) - 1)


def own(cultivar: str, event: DateSeen, days: dict[int, date]) -> list[OwnDate]:
    return [OwnDate(f"{cultivar} {year} {event}", cultivar, event, day) for year, day in days.items()]


class Replay:
    """One place, asked on any day."""

    def __init__(self, weather: Weather, latitude: float, kinds: tuple[str, ...]) -> None:
        self.weather, self.latitude = weather, latitude
        self.seasons: Seasons = cut(weather, latitude)
        self.traits = traits(kinds)
        self._known: dict[int, KnownPlace] = {}

    def asked(self, stage: SeasonStage, cultivar: str, day: date, dates: list[OwnDate]) -> Estimate | None:
        """Low, middle and high of a stage as told on the morning of `day`."""
        known = self._known.get(day.year)
        if known is None:
            known = known_place(self.seasons, self.traits, dates, year=day.year, colder=0.0)
            self._known[day.year] = known
        begun, _ = begun_by(self.weather.before(day), self.latitude, day.year, np.datetime64(day))
        seen = [row for row in dates if row.date.year == day.year and row.date < day]
        found = season_dates(known, begun, seen, colder=0.0)
        return day_range(found, stage, found.names.index(cultivar))


def scores(found: list[Estimate], seen: list[float]) -> tuple[float, float]:
    """Mean absolute error [d], and share from low to high."""
    middle = np.array([one.middle for one in found])
    inside = [one.low <= when <= one.high for one, when in zip(found, seen, strict=True)]
    return float(np.mean(np.abs(middle - np.array(seen)))), float(np.mean(inside))


def naive(days: dict[int, date], years: list[int]) -> tuple[float, float]:
    """Mean absolute error of the mean date of the years before, and of last year's."""
    number = {year: day.timetuple().tm_yday for year, day in days.items()}
    of_mean = [
        abs(number[year] - np.mean([number[other] for other in number if other < year])) for year in years
    ]
    of_last = [abs(number[year] - number[max(other for other in number if other < year)]) for year in years]
    return float(np.mean(of_mean)), float(np.mean(of_last))


def replay_bloom(years: range = YEARS, leads: tuple[int, ...] = LEADS) -> dict[int, tuple[float, float]]:
    """By days ahead, error and share held."""
    seen = bloom_seen()
    place = Replay(read_weather([ROOT / "examples/valley-inn/weather/daily.csv"]), LATITUDE, (REFERENCE,))
    dates = own(REFERENCE, DateSeen.FULL_BLOOM, seen)
    result = {}
    for lead in leads:
        found, came = [], []
        for year in years:
            if year in seen:
                one = place.asked(SeasonStage.FULL_BLOOM, REFERENCE, seen[year] - timedelta(days=lead), dates)
                assert one is not None
                found.append(one)
                came.append(float(seen[year].timetuple().tm_yday))
        result[lead] = scores(found, came)
    return result


def main() -> None:
    started = time.process_time()
    seen = bloom_seen()
    years = [year for year in YEARS if year in seen]
    mean, last = naive(seen, years)
    print(f"bloom of {REFERENCE} at Winchester, {len(years)} years, {years[0]} to {years[-1]}")
    print(f"  mean of the years before {mean:.1f} d, last year's date {last:.1f} d")
    for lead, (error, held) in replay_bloom().items():
        print(f"  {lead:3} days ahead {error:5.1f} d, {held:4.0%} from low to high")
    print(f"{time.process_time() - started:.0f} s of processor time")


if __name__ == "__main__":
    main()
