"""Tables of the Place department: climate, bloom and harvest calendar, frost, the warmer climate, what does not fit."""

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.phenology.result import OwnDatesUsed, PlaceSeasons
from topwire.show.reader import Reader, day, percent
from topwire.show.table import UNKNOWN, Cell, Table, figure
from topwire.values.estimate import estimate
from topwire.values.units import Kind

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def tables(orchard: Orchard) -> list[Table]:
    place = orchard.place
    if place is None:
        return []
    reader = Reader(orchard.origin.units)
    names = cultivars_of_interest(orchard)
    found = [
        climate(place, reader),
        normals(place, reader),
        calendar(place, names),
        frost(place, names, reader),
    ]
    if place.warmer:
        found.append(warmer(place, names, reader))
    if place.unfit:
        found.append(unfit(place))
    if place.learned:
        found.append(learned(place.learned))
    return found


def cultivars_of_interest(orchard: Orchard) -> list[str]:
    """The chosen ones where a choice is there, else all that fit; in order of bloom."""
    place = orchard.place
    assert place is not None
    chosen = {line.name for line in orchard.choice.chosen} if orchard.choice else set()
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


def climate(place: PlaceSeasons, reader: Reader) -> Table:
    def row(what: str, values: np.ndarray, cell: object) -> tuple[Cell, ...] | None:
        found = estimate(values) if values.size else None
        if found is None:
            return None
        assert callable(cell)
        return (what, cell(found.low), cell(found.middle), cell(found.high))

    def temperature(value: float) -> Cell:
        return reader.text(value, Kind.TEMPERATURE)

    def count(value: float) -> Cell:
        return figure(value)

    def heat(value: float) -> Cell:
        return figure(reader.heat(value))

    rows = [
        row("last frost of spring", place.last_frost, day),
        row("first frost of autumn", place.first_frost, day),
        row("days without frost", place.frost_free_days, count),
        row("green tip of the earliest buds", place.green_tip, day),
        row("winter chill, portions", place.chill_portions, count),
        row("winter chill, hours at 32 to 45 °F" if reader.us else "winter chill, hours at 0 to 7.2 °C",
            place.chill_hours, count),
        row("winter chill, Utah units", place.utah_units, count),
        row(f"summer heat, {reader.degree_days} above {reader.text(10, Kind.TEMPERATURE)}, April to October",
            place.heat_degree_days, heat),
        row("coldest night of the winter", place.coldest, temperature),
        row("hottest day", place.hottest, temperature),
        row("days that brown fruit in full sun", place.sunburn_days, count),
    ]  # fmt: skip
    zone = f"Winter hardiness zone {place.hardiness_zone}." if place.hardiness_zone else ""
    return Table(
        "The climate in one table",
        ("what", "low year", "middle year", "high year"),
        tuple(line for line in rows if line is not None),
        f"{over_years(place)} Low, middle and high: one year in ten lies below, half, one in ten above.",
        (zone,) if zone else (),
        (2.6, 1, 1, 1),
    )


def normals(place: PlaceSeasons, reader: Reader) -> Table:
    temperature, rain = reader.unit(Kind.TEMPERATURE), reader.unit(Kind.RAIN)
    rows = tuple(
        (
            month,
            reader.figure(float(low), Kind.TEMPERATURE, 0 if reader.us else 1),
            reader.figure(float(high), Kind.TEMPERATURE, 0 if reader.us else 1),
            reader.figure(float(wet), Kind.RAIN, 1 if reader.us else 0),
        )
        for month, (low, high, wet) in zip(_MONTHS, place.normals, strict=True)
    )
    return Table(
        "Month by month",
        ("month", f"mean night low, {temperature}", f"mean day high, {temperature}", f"rain, {rain}"),
        rows,
        over_years(place),
        charts=("climate",),
    )


def calendar(place: PlaceSeasons, names: list[str]) -> Table:
    rows = []
    for name in names:
        index = place.cultivars.index(name)
        bloom, pick = estimate(place.full_bloom[:, index]), estimate(place.harvest_first[:, index])
        last = estimate(place.harvest_last[:, index])
        rows.append(
            (
                name,
                *((day(bloom.low), day(bloom.middle), day(bloom.high)) if bloom else (UNKNOWN,) * 3),
                *((day(pick.low), day(pick.middle), day(pick.high)) if pick else (UNKNOWN,) * 3),
                day(last.middle) if last else UNKNOWN,
            )
        )
    return Table(
        "Bloom and harvest",
        (
            "cultivar", "full bloom, early year", "middle", "late year",
            "first pick, early year", "middle", "late year", "last pick, middle",
        ),
        tuple(rows),
        f"{over_years(place)} A bloom date is right to about {place.bloom_error_days:.0f} days, a harvest date to "
        f"about {place.harvest_error_days:.0f} (root mean square).",
        widths=(2.1, 1, 1, 1, 1, 1, 1, 1),
        charts=("bloom", "harvest",),
    )  # fmt: skip


def frost(place: PlaceSeasons, names: list[str], reader: Reader) -> Table:
    columns = [
        "cultivar",
        "flower buds killed, mean, %",
        "crop left by frost, mean, %",
        "crop left, worst year in ten, %",
    ]
    if place.frost_chance.size:
        columns += ["years that lose 10 % of the bloom, %", "half, %", "nine tenths, %"]
    step = reader.text(1.0, Kind.TEMPERATURE_STEP, 1)
    columns.append(f"crop gained by {step} on frost nights, %")
    if place.winter_injury.size:
        columns.append("winters that hurt its wood, %")
    rows = []
    for name in names:
        index = place.cultivars.index(name)
        left = estimate(place.crop_after_frost[:, index])
        cells: list[Cell] = [
            name,
            percent(_mean(place.bloom_kill[:, index])),
            percent(_mean(place.crop_after_frost[:, index])),
            percent(left.low if left else None),
        ]
        if place.frost_chance.size:
            cells += [percent(float(chance)) for chance in place.frost_chance[index]]
        cells.append(percent(float(place.worth_of_a_degree[index]), 1))
        if place.winter_injury.size:
            cells.append(percent(float(place.winter_injury[index])))
        rows.append(tuple(cells))
    return Table(
        "Frost",
        tuple(columns),
        tuple(rows),
        f"{over_years(place)} A tree needs only a small part of its flowers, so crop falls later than bloom.",
        widths=(1.8, *(1.0,) * (len(columns) - 1)),
        charts=("frost",),
    )


def _mean(values: np.ndarray) -> float | None:
    finite = values[np.isfinite(values)]
    return float(finite.mean()) if finite.size else None


def warmer(place: PlaceSeasons, names: list[str], reader: Reader) -> Table:
    """Today beside every warmer climate: bloom, then harvest, then what comes into doubt."""
    steps = place.warmer
    called = [step.label or f"+{reader.text(step.step, Kind.TEMPERATURE_STEP, 1)}" for step in steps]
    rows: list[tuple[Cell, ...]] = []
    for name in names:
        index = place.cultivars.index(name)
        bloom, pick = place.full_bloom_of(name), place.harvest_of(name)
        doubts = [label for label, step in zip(called, steps, strict=True) if name in step.in_doubt]
        rows.append(
            (
                name,
                day(bloom.middle) if bloom else UNKNOWN,
                *(
                    day(float(step.full_bloom[index]))
                    if np.isfinite(step.full_bloom[index])
                    else "chill not met"
                    for step in steps
                ),
                day(pick.middle) if pick else UNKNOWN,
                *(day(float(step.harvest[index])) for step in steps),
                f"in doubt: {', '.join(doubts)}" if doubts else "",
            )
        )
    chill = estimate(place.chill_portions)
    notes = [
        f"{label}: winter chill {step.chill_portions:.0f} portions"
        + (f" ({chill.middle:.0f} today)" if chill else "")
        + f"; frost kills more than half the bloom in {step.frost_years:.0%} of years."
        for label, step in zip(called, steps, strict=True)
    ]
    return Table(
        "The same orchard in a warmer climate",
        (
            "cultivar", "full bloom today", *called, "first pick today", *called, "remark",
        ),
        tuple(rows),
        f"{over_years(place)} Every day made warmer; middle years.",
        tuple(notes),
        (1.8, *(1.0,) * (2 + 2 * len(steps)), 1.4),
    )  # fmt: skip


def unfit(place: PlaceSeasons) -> Table:
    return Table(
        "What does not fit this place, and why",
        ("cultivar", "why"),
        tuple(sorted(place.unfit.items())),
        over_years(place),
        widths=(1, 3),
    )


def learned(used: tuple[OwnDatesUsed, ...]) -> Table:
    return Table(
        "What your own dates taught",
        ("event", "dates", "years", "shift here, days", "± days"),
        tuple(
            (line.event, line.dates, line.years, figure(line.place_shift, 1), figure(line.place_shift_sd, 1))
            for line in used
        ),
        "Your dates, weighed against what the catalogue expects.",
    )
