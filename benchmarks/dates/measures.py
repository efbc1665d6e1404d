"""What is printed of the forecasts: errors by place, how often the range holds, differences of two cultivars."""

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from dates.fitting import Held, errors, heat_on, needs_of, predicted, rate_of
from dates.records import GOLDEN, LATITUDES, Array, Dates, rms

from topwire.phenology.bloom import WINTER_HOURS
from topwire.phenology.calibration import bloom_spread

TENTH = 1.2816  # standard deviations from the middle to the tenth


def by_place(what: str, held: Sequence[Held]) -> None:
    parts = {name: [one.error for one in held if one.dates.place.name == name] for name in LATITUDES}
    cells = " ".join(f"{rms(part):6.2f}" for part in parts.values())
    cold = rms([one.error for one in held if one.dates.place.name != "Meknes"])
    every = rms([one.error for one in held])
    print(f"  {what:<16}{cells}   all {every:.2f}, without Meknes {cold:.2f}", flush=True)


def coverage(what: str, held: Sequence[Held]) -> None:
    """Share of dates within the low and high of their year: the place's shift known, and before any own date."""
    for says, known in (("shift known", True), ("no own date", False)):
        if not known and what != "place left out":
            continue
        inside: dict[str, list[Array]] = {name: [] for name in LATITUDES}
        for one in held:
            if known or one.dates.cultivar == GOLDEN:
                spread = bloom_spread(float(np.median(one.dates.place.chill[:, WINTER_HOURS - 1])))
                half = TENTH * float(
                    np.sqrt(spread.year**2 + spread.single**2 + (not known) * spread.place**2)
                )
                off = one.error if known else one.error + one.shift
                inside[one.dates.place.name].append(np.abs(off) <= half)
        cells = " ".join(f"{np.concatenate(part).mean():6.0%}" for part in inside.values())
        every = np.concatenate([part for parts in inside.values() for part in parts]).mean()
        print(f"  {what:<16}{cells}   all {every:.0%} from low to high, {says}")


def pairs(what: str, held: Sequence[Held]) -> None:
    """Differences of two cultivars of one place in one year: “both on the same day”, and ours."""
    same, ours = [], []
    for one, other in combinations(held, 2):
        if one.dates.place is other.dates.place and one.dates.cultivar != other.dates.cultivar:
            _, a, b = np.intersect1d(one.dates.row, other.dates.row, return_indices=True)
            same.append(one.dates.full[a] - other.dates.full[b])
            ours.append(one.error[a] - other.error[b])
    if same:
        print(f"  {what:<16}pairs in one year: same day {rms(same):.2f}, ours {rms(ours):.2f}")


def shared_year(held: Sequence[Held]) -> None:
    """How much of the error all cultivars of a year share, where several were seen."""
    several = [one for one in held if one.dates.place.name == "Rhine"]
    by_year: dict[int, list[float]] = {}
    for one in several:
        for year, error in zip(one.dates.years.tolist(), one.error, strict=True):
            by_year.setdefault(year, []).append(float(error))
    full = [np.array(found) for found in by_year.values() if len(found) > 1]
    within = np.sqrt(np.mean(np.concatenate([f - f.mean() for f in full]) ** 2) * 4 / 3)
    between = np.std([f.mean() for f in full])
    print(f"  of the Rhineland's error a year shares {between:.1f} d, a single cultivar has {within:.1f} d")


def of_figures(heat: dict[str, Array], records: Sequence[Dates]) -> dict[str, float]:
    """Needs; prints that of Golden Delicious, each place's mean, spread and trend, and the stages' shares."""
    needs = needs_of(heat, records)
    golden = [dates for dates in records if dates.cultivar == GOLDEN]
    rate = float(np.mean([rate_of(heat, dates, 5.0) for dates in golden]))
    shift = float(np.median([errors(heat, needs, dates).mean() for dates in golden]))
    print(
        f"need of {GOLDEN} (median of the places) {needs[GOLDEN] - shift * rate:.1f} h, of a day {rate:.2f} h"
    )
    for dates in records:
        error = errors(heat, needs, dates)
        trend = np.polyfit(dates.years, error, 1)[0] * 10
        print(
            f"  {dates.place.name:<13}{dates.cultivar:<17} mean {error.mean() - shift:+5.1f}  about it "
            f"{error.std():4.2f}  trend {trend:+.2f} d a decade"
        )
    return needs


def stages(heat: dict[str, Array], records: Sequence[Dates]) -> None:
    """Begin and end of bloom as shares of the heat to full bloom, with what the shares miss by and their trend."""
    for what in ("begin", "end"):
        parts, trends, years = [], [], []
        share = np.concatenate(
            [
                heat_on(heat, dates, getattr(dates, what)) / heat_on(heat, dates, dates.full)
                for dates in records
            ]
        )
        middle = float(np.nanmedian(share))
        for dates in records:
            seen = getattr(dates, what)
            known = np.isfinite(seen)
            if known.sum() > 9:
                need = float(np.median(heat_on(heat, dates, dates.full))) * middle
                error = predicted(heat[dates.place.name][dates.row], need)[known] - seen[known]
                parts.append(error - error.mean())
                trends.append(np.polyfit(dates.years[known], error, 1)[0] * 10)
                years.append(dates.years[known] - dates.years[known].mean())
        year, off = np.concatenate(years), np.concatenate(parts)
        print(
            f"  {what} of bloom at {middle:.2f} of the heat to full bloom ({int(np.isfinite(share).sum())} dates): "
            f"error after a shift {rms(parts):.2f} d, trends a decade {', '.join(f'{t:+.1f}' for t in trends)}, "
            f"over all {10 * float(year @ off / (year @ year)):+.2f}"
        )
