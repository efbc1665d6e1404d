"""Fitting a form to many places at once, and errors of what was left out of the fit."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from dates.forms import Form
from dates.records import GOLDEN, LATITUDES, PERIODS, Array, Dates
from scipy.optimize import minimize

from topwire.phenology.bloom import BloomNeed, bloom_hours, day_of_year

PLACE_SD, YEAR_SD = 3.0, 4.0  # [d]
# Cultivars of one year share its error: four of the Rhineland count as not quite two.
WEIGHT = {"Rhine": 0.45}
LATEST = 182.0  # day of the year put for a bloom that does not come


@dataclass(frozen=True)
class Held:
    """Dates that the fit had not seen, with forecast minus observed; `shift` had been taken off for the place."""

    dates: Dates
    error: Array
    shift: float


def predicted(heat: Array, need: float) -> Array:
    """Day of the year by running heat (years, hours) and need; a late day where it does not come."""
    hours = bloom_hours(heat, np.zeros_like(heat), BloomNeed(need, 0.0))[:, 0]
    return np.where(np.isfinite(hours), day_of_year(hours), LATEST)


def errors(heat: dict[str, Array], needs: dict[str, float], dates: Dates) -> Array:
    return predicted(heat[dates.place.name][dates.row], needs[dates.cultivar]) - dates.full


def heat_on(heat: dict[str, Array], dates: Dates, day: Array) -> Array:
    """Running heat of each year on a day of it; NaN where the day is."""
    total = heat[dates.place.name]
    known = np.isfinite(day)
    hour = np.rint((np.where(known, day, 100.0) + 91.5) * 24.0).astype(int) - 1
    return np.where(known, total[dates.row, np.clip(hour, 0, total.shape[1] - 1)], np.nan)


def needs_of(heat: dict[str, Array], records: Sequence[Dates]) -> dict[str, float]:
    """Need of every cultivar: the mean over its places of the mean error is zero."""
    found = {}
    for cultivar in {dates.cultivar for dates in records}:
        own = [dates for dates in records if dates.cultivar == cultivar]
        need = float(np.median(np.concatenate([heat_on(heat, dates, dates.full) for dates in own])))
        rate = np.mean([rate_of(heat, dates, 4.0) for dates in own])
        for _ in range(4):
            late = np.mean([np.mean(errors(heat, {cultivar: need}, dates)) for dates in own])
            need = max(need - float(late * rate), 1e-3)
        found[cultivar] = need
    return found


def rate_of(heat: dict[str, Array], dates: Dates, days: float) -> float:
    """Heat of a day about bloom, over so many days before and after."""
    gained = heat_on(heat, dates, dates.full + days) - heat_on(heat, dates, dates.full - days)
    return float(np.mean(gained)) / (2.0 * days)


def heats(form: Form, values: Sequence[float], records: Sequence[Dates]) -> dict[str, Array]:
    places = {dates.place.name: dates.place for dates in records}
    return {name: form.heat(place, values) for name, place in places.items()}


def squares(form: Form, values: Sequence[float], records: Sequence[Dates]) -> float:
    """Weighted sum of squared errors, each place's mean departure weighed as a draw with PLACE_SD."""
    heat = heats(form, values, records)
    needs = needs_of(heat, records)
    total = 0.0
    for dates in records:
        error = errors(heat, needs, dates)
        shared = error.size**2 * error.mean() ** 2 / (error.size + (YEAR_SD / PLACE_SD) ** 2)
        total += WEIGHT.get(dates.place.name, 1.0) * float((error**2).sum() - shared)
    return total


def fitted(form: Form, records: Sequence[Dates], start: Sequence[float], steps: int) -> list[float]:
    def within(values: Sequence[float]) -> list[float]:
        return [float(min(max(v, low), high)) for v, (low, high) in zip(values, form.bounds, strict=True)]

    def cost(values: Array) -> float:
        inside = within(values)
        return squares(form, inside, records) + 1e3 * float(np.sum((np.array(inside) - values) ** 2))

    options = {"xatol": 0.02, "fatol": 0.5, "maxiter": steps}
    best = minimize(cost, np.array(start), method="Nelder-Mead", options=options)
    return within(best.x)


def covariance(form: Form, values: Sequence[float], records: Sequence[Dates]) -> Array:
    """Of the shared figures, from the curvature of the squares about the fit.

    Directions the records do not bend along have no error of their own: their curvature is held at a small value.
    """
    at = np.array(values)
    step = np.maximum(0.03 * np.abs(at), 1e-3)
    size = at.size
    curve = np.empty((size, size))
    for i in range(size):
        for j in range(i + 1):
            a, b = np.eye(size)[i] * step, np.eye(size)[j] * step
            corners = [
                squares(form, (at + s * a + t * b).tolist(), records) for s in (1, -1) for t in (1, -1)
            ]
            bent = (corners[0] - corners[1] - corners[2] + corners[3]) / (4 * step[i] * step[j])
            curve[i, j] = curve[j, i] = bent
    scale, turn = np.linalg.eigh(curve * np.outer(step, step))
    inverse = (turn / np.maximum(scale, 0.02 * scale.max())) @ turn.T
    return np.asarray(2 * YEAR_SD**2 * inverse * np.outer(step, step))


def place_left_out(form: Form, start: Sequence[float], records: Sequence[Dates]) -> list[Held]:
    """Each place of a fit without it, less one shift for each of its cultivars."""
    found = []
    for name in LATITUDES:
        kept = [dates for dates in records if dates.place.name != name]
        held = [dates for dates in records if dates.place.name == name]
        values = fitted(form, kept, start, 80)
        print(f"  without {name}: " + " ".join(f"{value:.4g}" for value in values))
        heat = heats(form, values, records)
        golden = next(dates for dates in held if dates.cultivar == GOLDEN)
        shift = float(errors(heat, needs_of(heat, kept), golden).mean())
        for dates in held:
            error = errors(heat, needs_of(heat, [dates]), dates)
            found.append(Held(dates, error - error.mean(), shift))
    return found


def period_left_out(form: Form, start: Sequence[float], records: Sequence[Dates]) -> list[Held]:
    """Each period of a fit without it, shifted by what the place and cultivar's other years say."""
    found = []
    for first, last in PERIODS:
        within = [(dates.years >= first) & (dates.years <= last) for dates in records]
        kept = [d.only(~w) for d, w in zip(records, within, strict=True) if (~w).sum() > 3]
        held = [d.only(w) for d, w in zip(records, within, strict=True) if w.any() and (~w).sum() > 3]
        values = fitted(form, kept, start, 50)
        heat = heats(form, values, records)
        needs = needs_of(heat, kept)
        own = {(d.place.name, d.cultivar): float(errors(heat, needs, d).mean()) for d in kept}
        for dates in held:
            shift = own[dates.place.name, dates.cultivar]
            found.append(Held(dates, errors(heat, needs, dates) - shift, shift))
    return found


def mean_of(several: Sequence[list[Held]]) -> list[Held]:
    """The same dates held out of several forms, their forecasts averaged."""
    return [
        Held(
            line[0].dates,
            np.asarray(np.mean([one.error for one in line], axis=0)),
            float(np.mean([one.shift for one in line])),
        )
        for line in zip(*several, strict=True)
    ]
