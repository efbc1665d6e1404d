"""A record held against the place and the plan: seasons of this half of the earth, days that follow on one another,
years that end before the planting, rain, and no years out of line.
"""

import numpy as np

from topwire.values.arrays import Floats
from topwire.values.fault import FileNotice, fault, warning
from topwire.weather.reading import degrees
from topwire.weather.record import Weather

MUCH_FILLED = 0.10  # share of days from which the record is more rule than measurement
LONGEST_AFTER = 15  # [a] a record may go on after the planting; beyond it one of the two years is a slip
STALE = 25  # [a] from the record's end to the planting
LEAST_SEASON = 3.0  # [K] July over January, beyond the tropics
LEAST_FOLLOWING = 0.25  # correlation of one day's departure with the next; measured records have 0.5 to 0.8
FAR = 1.5  # [deg] from the place to a station
LEAST_RAIN = 50.0  # [mm/a] less falls on no ground that is planted with apples
BREAK_YEARS = 3  # either side of a step of level
WHOLE = 0.97  # share of whole degrees from which a year counts as rounded
BREAK_AT_LEAST, BREAK_SPREADS = 1.8, 4.0  # [K], and in standard deviations of such a difference


def held_against(record: Weather, *, latitude: float, longitude: float, planting: int) -> list[FileNotice]:
    """What in the record cannot be at this place (faults), and what is odd (warnings).

    Parameters
    ----------
    latitude, longitude : of the place [deg north, deg east]
    planting : year of the planting
    """
    label = " + ".join(sorted(record.files))
    mean = (record.tmin + record.tmax) / 2
    return [
        *_stations(record, latitude, longitude),
        *_years(record, planting, label),
        *_seasons(record, mean, latitude, label),
        *_following(record, mean, label),
        *_filled(record, label),
        *_rain(record, label),
        *_breaks(record, mean, label),
        *_rounding(record, label),
    ]


def _stations(record: Weather, latitude: float, longitude: float) -> list[FileNotice]:
    """Files that say where they were measured, held against the place; a sign the wrong way round is a fault."""
    found = []
    for label, north, east in record.stations:
        if max(abs(north - latitude), abs(east - longitude)) <= FAR:
            continue
        says = f"was measured at latitude {north:g}, longitude {east:g}; the place is {latitude:g}, {longitude:g}."
        turned = abs(abs(north) - latitude) <= FAR and abs(abs(east) - abs(longitude)) <= FAR
        made, remedy = (
            (fault, "West of Greenwich longitude is negative, south of the equator latitude is.")
            if turned
            else (warning, "A station this far off has other frosts: bring a nearer one, or mend the place.")
        )
        found.append(made(label, says, remedy))
    return found


def _years(record: Weather, planting: int, label: str) -> list[FileNotice]:
    last = int(str(record.day[-1])[:4])
    if record.typical:
        return []
    if last - planting > LONGEST_AFTER:
        says = f"ends in {last}, {last - planting} years after the planting in {planting}."
        return [fault(label, says, "One of the two years is wrong: look at years.planting and at the dates.")]
    if last > planting:
        says = f"goes on to {last}, beyond the planting in {planting}."
        return [warning(label, says, "Is years.planting the autumn meant?")]
    if planting - last > STALE:
        says = (
            f"ends in {last}, {planting - last} years before the planting: winters have become milder since."
        )
        return [warning(label, says, "Bring newer years if there are any.")]
    return []


def _seasons(record: Weather, mean: Floats, latitude: float, label: str) -> list[FileNotice]:
    month = record.day.astype("datetime64[M]").astype(np.int64) % 12
    known = np.isfinite(mean)
    winter, summer = mean[known & (month == 0)], mean[known & (month == 6)]
    if not winter.size or not summer.size:
        return []
    step = float(summer.mean() - winter.mean())
    if step < -LEAST_SEASON:
        says = f"July is colder than January ({degrees(step)}): these are seasons of the southern half."
        return [fault(label, says, "Bring the weather of this place, which lies north of the equator.")]
    if step < LEAST_SEASON and latitude > 25:
        says = f"July is hardly warmer than January ({degrees(step)})."
        return [fault(label, says, "Look whether the dates belong to the values.")]
    return []


def _following(record: Weather, mean: Floats, label: str) -> list[FileNotice]:
    """Weather goes on from day to day; a column sorted or shuffled does not."""
    of_year = (record.day - record.day.astype("datetime64[Y]")).astype(np.int64)
    known = np.isfinite(mean)
    if record.temperature_filled is not None:
        known &= ~record.temperature_filled
    if known.sum() < 300:
        return []
    angle = 2 * np.pi * of_year / 365.25
    waves = [wave(order * angle) for order in (1, 2) for wave in (np.sin, np.cos)]
    table = np.column_stack([np.ones(mean.size), *waves])
    fitted, *_ = np.linalg.lstsq(table[known], mean[known], rcond=None)
    departure = mean - table @ fitted
    pairs = known[1:] & known[:-1]
    one, other = departure[:-1][pairs], departure[1:][pairs]
    if one.size < 200 or one.std() < 0.1 or other.std() < 0.1:
        return []
    following = float(np.corrcoef(one, other)[0, 1])
    if following >= LEAST_FOLLOWING:
        return []
    says = f"one day's temperature says nothing of the next (correlation {following:.2f})."
    return [fault(label, says, "The lines or columns have come out of order; fetch the file again.")]


def _filled(record: Weather, label: str) -> list[FileNotice]:
    filled = record.filled if record.temperature_filled is None else record.temperature_filled
    share = float(filled.mean())
    if share <= MUCH_FILLED:
        return []
    says = f"temperatures of {share:.0%} of its days are filled in by rule, not measured."
    return [warning(label, says, "A second station's file fills them better.")]


def _rain(record: Weather, label: str) -> list[FileNotice]:
    known = record.rain[np.isfinite(record.rain)]
    if not known.size:
        return []
    yearly = float(known.mean() * 365.25)
    if yearly >= LEAST_RAIN:
        return []
    says = (
        "no rain falls in all its years." if yearly == 0 else f"only {yearly:.0f} mm of rain fall in a year."
    )
    return [warning(label, says, "Look whether the rain column is the right one, and its unit.")]


def _breaks(record: Weather, mean: Floats, label: str) -> list[FileNotice]:
    """Years at which the mean, or the range from night to day, steps to another level."""
    year = record.day.astype("datetime64[Y]").astype(np.int64) + 1970
    found: list[FileNotice] = []
    for values, said in ((record.tmax - record.tmin, "range from night to day"), (mean, "mean temperature")):
        kept, level = [], []
        for one in np.unique(year):
            of = values[(year == one) & np.isfinite(values)]
            if of.size >= 300:
                kept.append(int(one))
                level.append(float(of.mean()))
        steps = [f"{degrees(step)} in {kept[at]}" for at, step in _steps(np.array(level))]
        if steps:
            says = f"the year's {said} steps by {' and by '.join(steps[:4])}."
            remedy = (
                "An instrument moved or changed? It moves bloom, chill and frost of all the years after. Leave the odd "
                "years out."
            )
            found.append(warning(label, says, remedy))
    return found


def _rounding(record: Weather, label: str) -> list[FileNotice]:
    """Spells of years read to whole degrees in a record that is finer elsewhere."""
    year = record.day.astype("datetime64[Y]").astype(np.int64) + 1970
    measured = ~(record.filled if record.temperature_filled is None else record.temperature_filled)
    coarse: dict[int, bool] = {}
    for one in np.unique(year):
        of = np.concatenate([ends[(year == one) & measured] for ends in (record.tmin, record.tmax)])
        of = of[np.isfinite(of)]
        if of.size >= 400:
            coarse[int(one)] = max(_whole(of), _whole(of * 1.8 + 32.0)) >= WHOLE
    years = [one for one, whole in coarse.items() if whole]
    if len(years) < BREAK_YEARS or len(coarse) - len(years) < BREAK_YEARS:
        return []
    spell = f"{len(years)} years from {years[0]} to {years[-1]}"
    says = f"temperatures are read to whole degrees in {spell}, finer in others."
    return [warning(label, says, "Frost nights of those years may be half a degree off; dates hardly are.")]


def _whole(values: Floats) -> float:
    """Share of whole numbers, as far as tenths of the other scale can show."""
    return float(np.mean(np.abs(values - np.rint(values)) < 0.095))


def _steps(level: Floats) -> list[tuple[int, float]]:
    """Where three years stand apart from the three before, and by how much; the greatest of neighbouring ones."""
    if level.size < 2 * BREAK_YEARS:
        return []
    spread = 1.4826 * float(np.median(np.abs(np.diff(level)))) / np.sqrt(2.0)
    least = max(BREAK_AT_LEAST, BREAK_SPREADS * spread * np.sqrt(2.0 / BREAK_YEARS))
    places = range(BREAK_YEARS, level.size - BREAK_YEARS + 1)
    step = {
        at: float(level[at : at + BREAK_YEARS].mean() - level[at - BREAK_YEARS : at].mean()) for at in places
    }
    return [
        (at, size)
        for at, size in step.items()
        if abs(size) > least
        and all(
            abs(size) >= abs(step.get(other, 0.0))
            for other in range(at - 2, at + 3)
            if size * step.get(other, 0.0) > 0
        )
    ]
