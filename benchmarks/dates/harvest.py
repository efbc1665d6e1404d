"""Harvest: how far it follows bloom and the warmth after it, and what the form misses by in years left out."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from dates.fitting import Held
from dates.measures import TENTH
from dates.records import PERIODS, Array, Dates, Mask, rms

from topwire.phenology.calibration import HARVEST_SPREAD, DateSpread, Departures, learn_shift
from topwire.phenology.ripening import (
    DAYS_FROM_BLOOM,
    WARM_DAYS,
    UsualSeason,
    first_pick,
    mean_after,
)

# Days from Golden Delicious of the Rhineland's four, in alphabetical order: the catalogue's; Berlepsch is not in it.
OFFSETS = np.array([0.0, -12.0, 0.0, -28.0])


@dataclass(frozen=True)
class Picks:
    """All dates with bloom and harvest: cultivar by number, year, bloom seen, bloom forecast, warmth after either."""

    cultivar: Array
    year: Array
    harvest: Array
    seen: Array
    forecast: Array
    warmth_seen: Array
    warmth_forecast: Array

    def usual(self) -> UsualSeason:
        """Of each date's cultivar: means over its years, the rule's of Golden Delicious."""
        own = [self.cultivar == number for number in self.cultivar]
        bloom, warmth = (
            np.array([values[line].mean() for line in own]) for values in (self.seen, self.warmth_seen)
        )
        golden = self.seen[self.cultivar == 2].mean() + DAYS_FROM_BLOOM
        return UsualSeason(np.full(bloom.size, golden), bloom, warmth)


def picks(held: Sequence[Held]) -> Picks:
    """From dates whose bloom was forecast with their period left out."""
    lines = [
        _line(number, one)
        for number, name in enumerate(sorted({one.dates.cultivar for one in held}))
        for one in held
        if one.dates.cultivar == name and np.isfinite(one.dates.harvest).any()
    ]
    return Picks(*np.concatenate(lines, axis=1))


def _line(number: int, one: Held) -> Array:
    dates: Dates = one.dates
    known = np.isfinite(dates.harvest)
    forecast = dates.full + one.error
    warmth = [_warmth(dates, bloom) for bloom in (dates.full, forecast)]
    lines = np.array(
        [np.full(known.size, number), dates.years, dates.harvest, dates.full, forecast, *warmth], dtype=float
    )
    return lines[:, known]


def _warmth(dates: Dates, bloom: Array) -> Array:
    seasons = dates.place.seasons
    mean = (seasons.tmin + seasons.tmax)[dates.row] / 2.0
    return mean_after(mean, bloom[:, np.newaxis], WARM_DAYS)[:, 0]


def harvest(held: Sequence[Held]) -> None:
    """Prints the errors of every form, years or periods left out, after one shift a cultivar."""
    found = picks(held)
    forms: dict[str, tuple[list[Array], list[Array]]] = {
        "the mean date": ([], []),
        "bloom": ([found.seen], [found.forecast]),
        f"bloom, warmth of {WARM_DAYS} days": (
            [found.seen, found.warmth_seen],
            [found.forecast, found.warmth_forecast],
        ),
    }
    years = [(int(year), int(year)) for year in np.unique(found.year)]
    for out, spans in (("year", years), ("period", PERIODS)):
        print(
            f"\nharvest, {found.year.size} dates of the Rhineland, a {out} left out: bloom forecast / bloom seen"
        )
        for name, (seen, forecast) in forms.items():
            known, factor = _left_out(found, seen, seen, spans)
            before, _ = _left_out(found, seen, forecast, spans)
            says = ", ".join(f"{value:+.2f}" for value in factor)
            print(f"  {name:<28}{rms([before]):5.2f} / {rms([known]):5.2f}   {says}")
        fixed, _ = _left_out(found, [], [], spans, target=found.harvest - found.seen)
        print(f"  {'fixed days after bloom':<28}{rms([fixed]):13.2f}")
    for drift in sorted({0.0, HARVEST_SPREAD.drift / 2, HARVEST_SPREAD.drift, HARVEST_SPREAD.drift * 2}):
        spread = replace(HARVEST_SPREAD, drift=drift)
        print(
            f"\nas own dates teach it, a cultivar drifting by {drift:g} d a year's root: bloom forecast / seen"
        )
        for what, earlier in (("each year from earlier ones", True), ("each year from all others", False)):
            print("  " + f"{what:<28}" + _as_taught(found, spread, earlier=earlier))


def _as_taught(found: Picks, spread: DateSpread, *, earlier: bool) -> str:
    """Errors of the shipped form with the shipped learning, of dates with three others of their cultivar to learn from.

    Before the first date it says what the tool says of a place without own dates, with the catalogue's offsets.
    """
    cultivar = found.cultivar.astype(np.int64)
    usual = found.usual()
    moved = [
        first_pick(usual, OFFSETS[cultivar], bloom, warmth)
        for bloom, warmth in ((found.forecast, found.warmth_forecast), (found.seen, found.warmth_seen))
    ]
    departure = found.harvest - moved[1]
    rest: tuple[list[float], list[float]] = ([], [])
    inside = []
    for year in np.unique(found.year):
        known = found.year < year if earlier else found.year != year
        own, flat = cultivar[known], np.ones(int(known.sum()))
        dates = Departures(departure[known], own, found.year[known].astype(np.int64), flat, 0 * flat)
        shift = learn_shift(dates, cultivars=OFFSETS.size, spread=spread, at=int(year))
        for at in np.flatnonzero(found.year == year):
            if np.sum(own == cultivar[at]) < 3:
                continue
            expected = shift.place + shift.cultivar[cultivar[at]]
            for errors, told in zip(rest, moved, strict=True):
                errors.append(float(found.harvest[at] - told[at] - expected))
            spread_then = np.sqrt(shift.together_sd[cultivar[at]] ** 2 + spread.year**2 + spread.single**2)
            inside.append([abs(errors[-1]) <= TENTH * spread_then for errors in rest])
    before, known_bloom = (rms([np.array(errors)]) for errors in rest)
    held = np.mean(inside, axis=0)
    return f"{before:5.2f} / {known_bloom:5.2f}   {held[0]:.0%} / {held[1]:.0%} from low to high, {len(inside)} dates"


def _left_out(
    found: Picks,
    taught: list[Array],
    told: list[Array],
    spans: Sequence[tuple[int, int]],
    target: Array | None = None,
) -> tuple[Array, Array]:
    """Errors of years left out of the fit, and the mean of the factors fitted."""
    wanted = found.harvest if target is None else target
    none = [0.0 * found.year]
    parts, factors = [], []
    for first, last in spans:
        out = (found.year >= first) & (found.year <= last)
        if not out.any():
            continue
        kept = ~out
        lines = np.column_stack([_about(found, column, column, kept) for column in taught] or none)
        factor = np.linalg.lstsq(lines[kept], _about(found, wanted, wanted, kept)[kept], rcond=None)[0]
        pairs = zip(taught, told, strict=True)
        then = np.column_stack([_about(found, known, said, kept) for known, said in pairs] or none)
        parts.append((_about(found, wanted, wanted, kept) - then @ factor)[out])
        factors.append(factor)
    return np.concatenate(parts), np.asarray(np.mean(factors, axis=0))


def _about(found: Picks, taught: Array, told: Array, kept: Mask) -> Array:
    """`told` less each cultivar's mean of `taught` over the years kept."""
    less = told.copy()
    for number in np.unique(found.cultivar):
        own = found.cultivar == number
        less[own] -= taught[own & kept].mean()
    return less
