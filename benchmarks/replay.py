"""Twenty years of the Virginia example replayed week by week, with only what was known at each date.

    OMP_NUM_THREADS=1 python benchmarks/replay.py [FOLDER]

Bloom: Golden Delicious at Winchester, Virginia, dates of a published record (MUIR2023, shipped with the tests) with the
example's own weather. The shared figures of bloom were fitted to this record and those of three other places at once,
so its errors are on the bright side; benchmarks/fit_dates.py prints what periods left out cost.

Harvest: no record of picks at that place may be shipped, so the picks are drawn: the forecast that knows the whole year
and the bloom that was seen, plus a place's, a cultivar's, a year's and a single date's error of the sizes the program
states. It tests what the program makes of what it knows, not the world. With FOLDER (the records fit_dates.py reads)
the Rhineland's real picks are replayed beside it: four cultivars, fitted on, not shipped.

Crop: drawn too, for nobody publishes the crop of such an orchard by cultivar: an orchard's own level, the year's
frost by the example's weather, each year's set, trees that differ, counts and callipers with their errors, all stated
below. The forecaster knows the plan's band, the frost and the counts, and learns the orchard's level from what was
picked before.

Printed: mean absolute error of ours and of naive forecasts, and how often low to high held what came.
"""

import csv
import sys
import time
from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.growth.load import MASS_PER_CUBE
from topwire.phenology.calibration import HARVEST_SPREAD
from topwire.phenology.forecast import forecast
from topwire.phenology.question import traits_of
from topwire.phenology.seasons import Seasons, begun_by, cut
from topwire.phenology.traits import REFERENCE, Traits
from topwire.season.asked import GrownCultivar, WeekBasis
from topwire.season.crop import HANGS_ON, STRAIGHT_FROM, crops_of, frost_shares, levels, ratios_of
from topwire.season.dates import KnownPlace, SeasonDates, known_place, season_dates
from topwire.season.findings import SeasonStage
from topwire.season.seen import Seen, SizeSample, TreeCount
from topwire.season.stages import day_range
from topwire.values.estimate import Estimate
from topwire.values.own_date import DateSeen, OwnDate
from topwire.values.traits import Grade
from topwire.weather.read import read_weather
from topwire.weather.record import Weather

ROOT = Path(__file__).parents[1]
LATITUDE = 39.18
YEARS = range(1997, 2017)  # the last twenty with a date of bloom
LEADS = (70, 56, 42, 28, 14, 7)  # [d] before bloom
HARVEST_AHEAD = 30  # [d]
BEFORE = 5  # years of picks before the first replayed
WORLDS, SEED = 3, 7
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


def weekly_coverage(years: range = YEARS) -> tuple[int, float]:
    """Share of all weekly forecasts of the ten weeks before bloom that held the date."""
    seen = bloom_seen()
    place = Replay(read_weather([ROOT / "examples/valley-inn/weather/daily.csv"]), LATITUDE, (REFERENCE,))
    dates = own(REFERENCE, DateSeen.FULL_BLOOM, seen)
    held = []
    for year in years:
        if year not in seen:
            continue
        came = seen[year].timetuple().tm_yday
        for weeks in range(1, 11):
            one = place.asked(SeasonStage.FULL_BLOOM, REFERENCE, seen[year] - timedelta(weeks=weeks), dates)
            assert one is not None
            held.append(one.low <= came <= one.high)
    return len(held), float(np.mean(held))


def drawn_picks(
    place: Replay, dates: list[OwnDate], years: range, random: np.random.Generator
) -> dict[str, dict[int, date]]:
    """First picks that could have been: the whole year known, bloom seen, errors of the sizes the program states."""
    known = known_place(place.seasons, place.traits, [], year=max(years) + 1, colder=0.0)
    shared = random.normal(0.0, HARVEST_SPREAD.place)
    offsets = random.normal(0.0, 1.0, len(place.traits.names)) * place.traits.harvest_error
    picks: dict[str, dict[int, date]] = {name: {} for name in place.traits.names}
    for year in range(min(years) - BEFORE, max(years) + 1):
        if year not in place.seasons.years:
            continue
        begun, _ = begun_by(place.weather, place.latitude, year, np.datetime64(f"{year}-12-31"))
        found = season_dates(known, begun, [row for row in dates if row.date.year == year], colder=0.0)
        late = shared + random.normal(0.0, HARVEST_SPREAD.year)
        offsets += random.normal(0.0, HARVEST_SPREAD.drift, offsets.size)
        for at, name in enumerate(found.names):
            day = float(np.nanmedian(found.reached[SeasonStage.RIPE][:, at]))
            day += late + offsets[at] + random.normal(0.0, HARVEST_SPREAD.single)
            if np.isfinite(day):
                picks[name][year] = day_in(year, min(day, 360.0))
    return picks


def replay_harvest(
    years: range = YEARS, worlds: int = WORLDS, kinds: tuple[str, ...] = KINDS
) -> tuple[int, tuple[float, float], tuple[float, float]]:
    """Dates, error and share held thirty days ahead, and the naive errors: the mean before, and last year's."""
    record = read_weather([ROOT / "examples/valley-inn/weather/daily.csv"])
    random = np.random.default_rng(SEED)
    found, came = [], []
    of_mean, of_last = [], []
    for _ in range(worlds):
        place = Replay(record, LATITUDE, kinds)
        bloom = own(REFERENCE, DateSeen.FULL_BLOOM, bloom_seen())
        picks = drawn_picks(place, bloom, years, random)
        dates = [
            *bloom,
            *(row for name, days in picks.items() for row in own(name, DateSeen.FIRST_PICK, days)),
        ]
        for name, days in picks.items():
            asked = [year for year in years if year in days]
            for year in asked:
                one = place.asked(SeasonStage.RIPE, name, days[year] - timedelta(days=HARVEST_AHEAD), dates)
                assert one is not None
                found.append(one)
                came.append(float(days[year].timetuple().tm_yday))
            mean, last = naive(days, asked)
            of_mean += [mean] * len(asked)
            of_last += [last] * len(asked)
    return len(came), scores(found, came), (float(np.mean(of_mean)), float(np.mean(of_last)))


def replay_rhine(folder: Path) -> None:
    """The Rhineland's own picks, which may be fitted on and not shipped."""
    from dates.records import CATALOGUE
    from dates.records import read as rhine_records

    known = {row.name for row in Catalogue(read_tables()).cultivars}
    lines = [
        one
        for one in rhine_records(folder)
        if one.place.name == "Rhine" and CATALOGUE.get(one.cultivar, one.cultivar) in known
    ]
    kinds = tuple(dict.fromkeys((REFERENCE, *(CATALOGUE.get(one.cultivar, one.cultivar) for one in lines))))
    place = Replay(lines[0].place.record, 50.61, kinds)
    dates, picks = [], {}
    for one in lines:
        name = CATALOGUE.get(one.cultivar, one.cultivar)
        years = one.years.tolist()
        bloom = {year: day_in(year, day) for year, day in zip(years, one.full, strict=True)}
        days = {
            year: day_in(year, day) for year, day in zip(years, one.harvest, strict=True) if np.isfinite(day)
        }
        picks[name] = days
        dates += own(name, DateSeen.FULL_BLOOM, bloom) + own(name, DateSeen.FIRST_PICK, days)
    found, came, of_mean, of_last = [], [], [], []
    for name, days in picks.items():
        asked = [year for year in sorted(days)[5:] if year in place.seasons.years]
        for year in asked:
            one_range = place.asked(SeasonStage.RIPE, name, days[year] - timedelta(days=HARVEST_AHEAD), dates)
            if one_range is not None:
                found.append(one_range)
                came.append(float(days[year].timetuple().tm_yday))
        mean, last = naive(days, asked)
        of_mean += [mean] * len(asked)
        of_last += [last] * len(asked)
    error, held = scores(found, came)
    print(f"harvest in the Rhineland, {len(came)} real dates, {HARVEST_AHEAD} days ahead")
    print(f"  mean of the years before {np.mean(of_mean):.1f} d, last year's date {np.mean(of_last):.1f} d")
    print(f"  ours {error:.1f} d, {held:.0%} from low to high")


def grown(name: str, trees: int) -> GrownCultivar:
    """Full-grown trees of an invented orchard: 14 kg a tree, half of it to 1.6 times over the weather years."""
    leaves = 15
    return GrownCultivar(
        name=name,
        rows=(),
        planted=((1970, trees),),
        kg_per_tree=np.tile([7.0, 14.0, 22.0], (leaves, 1)),
        trunk_area=np.full(leaves, 20.0),
        fruit_target=np.full(leaves, 100.0),
        standing=0,
        standing_kg=0.0,
        fruit_mass=0.165,
        load=6.0,
        biennial=Grade.LOW,
        maturity=None,
        best_weeks=20.0,
        mellow_weeks=0.0,
        pressed_only=False,
    )


def replay_crop(
    years: range = YEARS, worlds: int = WORLDS, kinds: tuple[str, ...] = KINDS[:6]
) -> tuple[int, float, float, float, float]:
    """Crops, mean absolute error thirty days ahead of harvest as a share of the mean crop: ours, of the mean of the
    years before, of the plan's middle; and the share held.

    Every crop is the plan's middle times an orchard's level (0.25, of the logarithm), a cultivar's (0.25), frost, the
    year's fruits (0.30) and their mass (0.12). Forty-five days before harvest five trees are counted (trees differ by
    0.4, the eye by 0.1) and twenty fruits measured (8 % apart).
    """
    record = read_weather([ROOT / "examples/valley-inn/weather/daily.csv"])
    random = np.random.default_rng(SEED)
    place = Replay(record, LATITUDE, kinds)
    lines = tuple(grown(name, 40) for name in place.traits.names)
    share = forecast(place.seasons, place.traits).crop
    usual = share.mean(axis=0)
    basis = cast(WeekBasis, SimpleNamespace(cultivars=lines, crop_share=usual))
    rows = {int(year): at for at, year in enumerate(place.seasons.years)}
    middle_crop = 40 * 14.0
    ours, of_mean, of_plan, held, every = [], [], [], [], []
    for _ in range(worlds):
        orchard, own_level = random.normal(0, 0.25), random.normal(0, 0.25, len(lines))
        crops: dict[tuple[int, str], float] = {}
        for year in range(min(years) - BEFORE, max(years) + 1):
            if year not in rows:
                continue
            fruits = np.exp(random.normal(0, 0.30, len(lines))) * np.exp(orchard + own_level)
            fruits = fruits * np.maximum(share[rows[year]] / usual, 0.02)
            mass = np.exp(random.normal(0, 0.12, len(lines)))
            for at, line in enumerate(lines):
                crops[year, line.name] = middle_crop * fruits[at] * mass[at]
            if year not in years:
                continue
            known = known_place(place.seasons, place.traits, [], year=year, colder=0.0)
            harvest = float(np.nanmedian(known.harvest))
            day = day_in(year, harvest - HARVEST_AHEAD)
            begun, _ = begun_by(record.before(day), LATITUDE, year, np.datetime64(day))
            dates = season_dates(known, begun, [], colder=0.0)
            seen = Seen(
                day,
                picked_before={key: kg for key, kg in crops.items() if key[0] < year},
                counts=tuple(_count(line.name, day, fruits[at], random) for at, line in enumerate(lines)),
                sizes=tuple(
                    _size(line.name, day, mass[at], dates, at, random) for at, line in enumerate(lines)
                ),
            )
            learnt = levels(ratios_of(basis, frost_shares(known), seen))
            found = crops_of(basis, dates, year, seen, learnt)
            for line in lines:
                true, said = crops[year, line.name], found[line.name].crop
                before = [kg for (other, name), kg in crops.items() if name == line.name and other < year]
                every.append(true)
                ours.append(abs(said.middle - true))
                of_mean.append(abs(float(np.mean(before)) - true))
                of_plan.append(abs(middle_crop - true))
                held.append(said.low <= true <= said.high)
    whole = float(np.mean(every))
    errors = (float(np.mean(one)) / whole for one in (ours, of_mean, of_plan))
    return len(ours), *errors, float(np.mean(held))


def _count(name: str, day: date, fruits: float, random: np.random.Generator) -> TreeCount:
    a_tree = 14.0 / 0.165 * fruits * np.exp(random.normal(0, 0.4, 5)) * np.exp(random.normal(0, 0.1))
    return TreeCount(name, day - timedelta(days=15), False, float(a_tree.mean()) / HANGS_ON, 5)


def _size(
    name: str, day: date, mass: float, dates: SeasonDates, at: int, random: np.random.Generator
) -> SizeSample:
    when = day - timedelta(days=15)
    bloom, ripe = (dates.middle(stage, at) for stage in (SeasonStage.FULL_BLOOM, SeasonStage.RIPE))
    grown_by = (when.timetuple().tm_yday - bloom - STRAIGHT_FROM) / (ripe - bloom - STRAIGHT_FROM)
    grown_by = min(grown_by, 1.0) * np.exp(random.normal(0, 0.25 * max(1 - grown_by, 0.0)))
    across = np.cbrt(165.0 * mass * max(grown_by, 0.05) / MASS_PER_CUBE) / 1e3
    sample = across * (1 + 0.08 * random.normal(size=20))
    return SizeSample(name, when, float(sample.mean()), float(sample.std()), 20)


def main() -> None:
    started = time.process_time()
    seen = bloom_seen()
    years = [year for year in YEARS if year in seen]
    mean, last = naive(seen, years)
    print(f"bloom of {REFERENCE} at Winchester, {len(years)} years, {years[0]} to {years[-1]}")
    print(f"  mean of the years before {mean:.1f} d, last year's date {last:.1f} d")
    for lead, (error, held) in replay_bloom().items():
        print(f"  {lead:3} days ahead {error:5.1f} d, {held:4.0%} from low to high")
    asked, held = weekly_coverage()
    print(f"  all {asked} weekly forecasts of the ten weeks before bloom: {held:.0%} from low to high")
    count, (error, held), (mean, last) = replay_harvest()
    print(f"harvest of {len(KINDS)} cultivars at Winchester, {count} drawn dates, {HARVEST_AHEAD} days ahead")
    print(f"  mean of the years before {mean:.1f} d, last year's date {last:.1f} d")
    print(f"  ours {error:.1f} d, {held:.0%} from low to high")
    count, error, mean, plan, held = replay_crop()
    print(
        f"crop of 6 cultivars, {count} drawn, {HARVEST_AHEAD} days ahead, error as a share of the mean crop"
    )
    print(f"  mean of the years before {mean:.0%}, the plan's middle {plan:.0%}")
    print(f"  ours {error:.0%}, {held:.0%} from low to high")
    if len(sys.argv) > 1:
        replay_rhine(Path(sys.argv[1]))
    print(f"{time.process_time() - started:.0f} s of processor time")


if __name__ == "__main__":
    main()
