"""Sheets of the Place department: climate, bloom and harvest, frost, the warmer climate, what does not fit."""

from collections.abc import Sequence

import numpy as np

from topwire.choice.findings import Choice
from topwire.phenology.findings import PlaceSeasons, WarmerClimate
from topwire.phenology.spring import HARDER_FROST
from topwire.show.sheet import Column, Link, LinkKind, Sheet, Value, cultivar, setting, sheet_of, table
from topwire.tell.place import misfit_words
from topwire.tell.reader import Reader
from topwire.values.arrays import Floats
from topwire.values.calendar import MONTHS
from topwire.values.estimate import estimate
from topwire.values.notice import Measured
from topwire.values.quantities import Plain, Quantity
from topwire.values.units import Kind
from topwire.weather.cell import CELL_MATTERS
from topwire.weather.coverage import YearOfRecord

_WEATHER = setting("weather.files")
_LISTS = table("cultivars", "harvest_lists")
_COLDER = (Link(LinkKind.SETTING, "place.colder_than_station"), *_WEATHER)


def sheets(place: PlaceSeasons, choice: Choice | None, reader: Reader) -> list[Sheet]:
    names = cultivars_of_interest(place, choice)
    made = [climate(place, reader), normals(place), calendar(place, names), frost(place, names, reader)]
    if place.warmer:
        made.append(warmer(place, names, reader))
    if place.unfit:
        made.append(unfit(place))
    if place.learned:
        made.append(learned(place))
    return made


def cultivars_of_interest(place: PlaceSeasons, choice: Choice | None) -> list[str]:
    """The chosen ones where a choice is there, else all that fit; in order of bloom."""
    chosen = {line.name for line in choice.chosen} if choice else set()
    names = [name for name in place.cultivars if (name in chosen if chosen else name not in place.unfit)]

    def middle_bloom(name: str) -> float:
        found = place.full_bloom_of(name)
        return found.middle if found else np.inf

    return sorted(names, key=middle_bloom)


def over_years(place: PlaceSeasons) -> str:
    """What every figure of the place rests on."""
    first, last = int(place.years[0]), int(place.years[-1])
    count = len(place.unusable_years)
    left_out = f", without {count} year{'s' if count > 1 else ''} of too little weather" if count else ""
    return f"Over {len(place.years)} weather years, {first} to {last}{left_out}."


def of_today(place: PlaceSeasons) -> str:
    """What ranges of dates and the steps of warming rest on."""
    count = int(place.of_today.sum())
    return f"Today's climate: the last {count} weather years, {place.today_from} to {int(place.years[-1])}."


def climate(place: PlaceSeasons, reader: Reader) -> Sheet:
    base = reader.text(10, Kind.TEMPERATURE)
    figures: tuple[tuple[str, Floats, Quantity], ...] = (
        ("last frost of spring", place.last_frost, Plain.DAY_OF_YEAR),
        ("first frost of autumn", place.first_frost, Plain.DAY_OF_YEAR),
        ("days without frost", place.frost_free_days, Plain.DAYS),
        ("green tip of the earliest buds", place.green_tip, Plain.DAY_OF_YEAR),
        ("winter chill, portions", place.chill_portions, Plain.COUNT),
        (
            f"winter chill, hours at {'32 to 45 °F' if reader.us else '0 to 7.2 °C'}",
            place.chill_hours,
            Plain.COUNT,
        ),
        ("winter chill, Utah units", place.utah_units, Plain.COUNT),
        (f"summer heat above {base}, April to October", place.heat_degree_days, Kind.HEAT),
        ("coldest night of the winter", place.coldest, Kind.TEMPERATURE),
        ("hottest day", place.hottest, Kind.TEMPERATURE),
        ("days that brown fruit in full sun", place.sunburn_days, Plain.DAYS),
    )
    rows: list[tuple[Value, ...]] = []
    for what, values, quantity in figures:
        found = estimate(values) if values.size else None
        if found is not None:
            rows.append(
                (what, *(Measured(value, quantity) for value in (found.low, found.middle, found.high)))
            )
    return Sheet(
        "place.climate",
        "The climate in one table",
        (
            Column("what", "what", width=2.6),
            Column("low", "low year", width=1, links=_COLDER),
            Column("middle", "middle year", width=1, links=_COLDER),
            Column("high", "high year", width=1, links=_COLDER),
        ),
        tuple(rows),
        f"{over_years(place)} Low, middle and high: one year in ten lies below, half, one in ten above.",
        (f"Winter hardiness zone {place.hardiness_zone}.",) if place.hardiness_zone else (),
    )


def normals(place: PlaceSeasons) -> Sheet:
    return Sheet(
        "place.months",
        "Month by month",
        (
            Column("month", "month"),
            Column("night_low", "mean night low", Kind.TEMPERATURE, (0, 1), links=_WEATHER),
            Column("day_high", "mean day high", Kind.TEMPERATURE, (0, 1), links=_WEATHER),
            Column("rain", "rain", Kind.RAIN, (1, 0), links=_WEATHER),
        ),
        tuple(
            (month, float(low), float(high), float(wet))
            for month, (low, high, wet) in zip(MONTHS, place.normals, strict=True)
        ),
        over_years(place),
        charts=("climate",),
    )


def record(years: Sequence[YearOfRecord]) -> Sheet:
    """How well each year of the weather record is covered, for the check of a folder."""
    return sheet_of(
        "weather.record",
        "The weather record, year by year",
        (
            Column("year", "year", Plain.YEAR, links=_WEATHER),
            Column("days", "days in it"),
            Column("measured", "measured"),
            Column("filled", "filled by rule"),
            Column("missing", "missing"),
            Column("rain_missing", "without rain"),
            Column("files", "from", of=lambda line: ", ".join(line.files)),
        ),
        years,
    )


def calendar(place: PlaceSeasons, names: list[str]) -> Sheet:
    rows: list[tuple[Value, ...]] = []
    for name in names:
        index = place.cultivars.index(name)
        bloom, pick = place.full_bloom_of(name), place.harvest_of(name)
        last = estimate(place.harvest_last[place.of_today, index])
        dated = name not in place.by_season
        rows.append(
            (
                cultivar(name),
                *((bloom.low, bloom.middle, bloom.high) if bloom else (None,) * 3),
                *((pick.low, pick.middle if dated else None, pick.high) if pick else (None,) * 3),
                last.middle if last and dated else None,
            )
        )
    day = Plain.DAY_OF_YEAR
    return Sheet(
        "place.calendar",
        "Bloom and harvest",
        (
            Column("cultivar", "cultivar", width=2.1),
            Column("bloom_low", "full bloom, early year", day, width=1, links=_LISTS),
            Column("bloom_middle", "middle", day, width=1, links=_LISTS),
            Column("bloom_high", "late year", day, width=1, links=_LISTS),
            Column("pick_low", "first pick, early year", day, width=1, links=_LISTS),
            Column("pick_middle", "middle", day, width=1, links=_LISTS),
            Column("pick_high", "late year", day, width=1, links=_LISTS),
            Column("last_pick", "last pick, middle", day, width=1, links=_LISTS),
        ),
        tuple(rows),
        f"{of_today(place)} Early and late: one in ten lies before, one in ten after, with the model's own error in "
        f"it: about {place.bloom_error_days:.0f} days in bloom and {place.harvest_error_days:.0f} in harvest.",
        ("A dash between two dates of picking: an apple known by its season only.",)
        if set(names) & set(place.by_season)
        else (),
        charts=("bloom", "harvest"),
    )


def frost(place: PlaceSeasons, names: list[str], reader: Reader) -> Sheet:
    rows: list[tuple[Value, ...]] = []
    for name in names:
        index = place.cultivars.index(name)
        left = estimate(place.crop_after_frost[:, index])
        rows.append(
            (
                cultivar(name),
                _mean(place.bloom_kill[:, index]),
                _mean(place.crop_after_frost[:, index]),
                left.low if left else None,
                *(float(chance) for chance in place.frost_chance[index]),
                float(place.worth_of_a_degree[index]),
                float(place.winter_injury[index]),
            )
        )
    share = Plain.SHARE
    step = reader.text(1.0, Kind.TEMPERATURE_STEP, 1)
    from_cell = place.cell_nights >= CELL_MATTERS
    if from_cell:
        rows = [
            (*row, _mean(place.crop_after_harder_frost[:, place.cultivars.index(name)]))
            for row, name in zip(rows, names, strict=True)
        ]
    harder = reader.text(HARDER_FROST, Kind.TEMPERATURE_STEP, 1)
    return Sheet(
        "place.frost",
        "Frost",
        (
            Column("cultivar", "cultivar", width=1.8),
            Column("buds_killed", "flower buds killed, mean", share, width=1, links=_COLDER),
            Column("crop_left", "crop left by frost, mean", share, width=1, links=_COLDER),
            Column("crop_left_low", "crop left, worst year in ten", share, width=1, links=_COLDER),
            Column("loses_tenth", "years that lose a tenth of the bloom", share, width=1, links=_COLDER),
            Column("loses_half", "half", share, width=1, links=_COLDER),
            Column("loses_nine_tenths", "nine tenths", share, width=1, links=_COLDER),
            Column("worth_of_a_degree", f"crop gained by {step} on frost nights", share, 1, 1, links=_COLDER),
            Column("wood_hurt", "winters that hurt its wood", share, width=1, links=_COLDER),
            *(
                (Column("crop_left_colder", f"crop left, were nights {harder} colder", share, width=1),)
                if from_cell
                else ()
            ),
        ),
        tuple(rows),
        f"{over_years(place)} A tree needs only a small part of its flowers, so crop falls later than bloom.",
        (
            f"{place.cell_nights:.0%} of the nights of April and May are of a grid cell, which has no hollows: read "
            "the crop left as a range, from what it is by these nights to what it were by colder ones.",
        )
        if from_cell
        else (),
        charts=("frost",),
    )


def _mean(values: Floats) -> float | None:
    finite = values[np.isfinite(values)]
    return float(finite.mean()) if finite.size else None


def climate_name(step: WarmerClimate, reader: Reader) -> str:
    return step.label or f"+{reader.text(step.step, Kind.TEMPERATURE_STEP, 1)}"


def warmer(place: PlaceSeasons, names: list[str], reader: Reader) -> Sheet:
    """Today beside every warmer climate: bloom, then harvest, then what comes into doubt."""
    steps = place.warmer
    called = [climate_name(step, reader) for step in steps]
    rows: list[tuple[Value, ...]] = []
    for name in names:
        index = place.cultivars.index(name)
        bloom, pick = place.full_bloom_of(name), place.harvest_of(name)
        doubts = [label for label, step in zip(called, steps, strict=True) if name in step.in_doubt]
        rows.append(
            (
                cultivar(name),
                bloom.middle if bloom else None,
                *(_day(step.full_bloom[index]) or "chill not met" for step in steps),
                *(
                    (pick.middle if pick else None, *(_day(step.harvest[index]) for step in steps))
                    if name not in place.by_season
                    else (None,) * (1 + len(steps))
                ),
                f"in doubt: {', '.join(doubts)}" if doubts else "",
            )
        )
    chill = estimate(place.chill_portions[place.of_today])
    links = setting("weather.warming", "weather.scenarios")
    day = Plain.DAY_OF_YEAR
    return Sheet(
        "place.warmer",
        "The same orchard in a warmer climate",
        (
            Column("cultivar", "cultivar", width=1.8),
            Column("bloom_today", "full bloom now", day, width=1),
            *(
                Column(f"bloom_{n}", label, day, width=1, links=links)
                for n, label in enumerate(called, start=1)
            ),
            Column("pick_today", "first pick now", day, width=1),
            *(
                Column(f"pick_{n}", label, day, width=1, links=links)
                for n, label in enumerate(called, start=1)
            ),
            Column("remark", "remark", width=1.4),
        ),
        tuple(rows),
        f"{of_today(place)} Every hour made warmer; middle years. Frost as days and nights warm alike or apart.",
        tuple(
            f"{label}: winter chill {step.chill_portions:.0f} portions"
            + (f" ({chill.middle:.0f} today)" if chill else "")
            + f"; frost kills more than half the bloom in {_frost(step)} of years "
            f"({place.frost_years_today:.0%} today)."
            for label, step in zip(called, steps, strict=True)
        ),
    )


def _frost(step: WarmerClimate) -> str:
    low, high = f"{step.frost_low:.0%}", f"{step.frost_high:.0%}"
    return low if low == high else f"{low} to {high}"


def _day(day: float) -> float | None:
    return float(day) if np.isfinite(day) else None


def unfit(place: PlaceSeasons) -> Sheet:
    return Sheet(
        "place.unfit",
        "What does not fit this place, and why",
        (Column("cultivar", "cultivar", width=1), Column("why", "why", width=3)),
        tuple((cultivar(name), misfit_words(why)) for name, why in sorted(place.unfit.items())),
        over_years(place),
    )


def learned(place: PlaceSeasons) -> Sheet:
    return sheet_of(
        "place.learned",
        "What your own dates taught",
        (
            Column("event", "event"),
            Column("dates", "dates"),
            Column("years", "years"),
            Column("shift", "shift here, days", Plain.DAYS, 1, of="place_shift"),
            Column("sure_to", "± days", Plain.DAYS, 1, of="place_shift_sd"),
        ),
        place.learned,
        "Your dates, weighed against what the catalogue expects.",
    )
