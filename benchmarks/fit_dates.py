"""How the figures of catalogue/data/bloom_shape.csv were got, and how far they can be trusted.

    OMP_NUM_THREADS=1 python benchmarks/fit_dates.py FOLDER [FORM ...]

FOLDER holds records of full bloom and the weather before them: Golden Delicious at Winchester and Rock Springs
(MUIR2023), at Meknes, and four cultivars of the Rhineland (published with Luedeling E. and others 2024,
10.60507/FK2/MZIELI). The last two may be fitted on and are not shipped; only figures are.

Every form shares its shape over all places and cultivars. The need of a cultivar is free; a place's departure from it
is taken as normal with 3 days, a year's with 4. Each form is fitted to all, then with a place left out (its dates then
shifted by one number, as a grower's own dates would) and with a period left out. Errors are root mean squares in days.
About six minutes on one core for all forms.
"""

import csv
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize

from topwire.phenology.bloom import (
    BloomNeed,
    BloomShape,
    bloom_hours,
    day_of_year,
    heat_after_chill,
    warmth,
)
from topwire.phenology.chill import portions
from topwire.phenology.heat import growing_degree_hours
from topwire.phenology.seasons import cut
from topwire.weather.record import Weather

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.int64]

LATITUDES = {"Winchester": 39.18, "Rock Springs": 40.71, "Meknes": 33.9, "Rhine": 50.61}
PLACE_SD, YEAR_SD = 3.0, 4.0  # [d]
# Cultivars of one year share its error: four of the Rhineland count as not quite two.
WEIGHT = {"Rhine": 0.45}
PERIODS = ((1950, 1970), (1971, 1980), (1981, 1990), (1991, 2000), (2001, 2010), (2011, 2030))
LATEST = 182.0  # day of the year put for a bloom that does not come
GOLDEN = "Golden Delicious"


@dataclass(frozen=True)
class Place:
    name: str
    years: Index
    temperature: Array
    chill: Array


@dataclass(frozen=True)
class Dates:
    """Dates of one cultivar at one place: full bloom, and where it is recorded begin of bloom and end."""

    place: Place
    cultivar: str
    row: Index  # of the year among the place's
    full: Array

    def only(self, keep: npt.NDArray[np.bool_]) -> "Dates":
        return Dates(self.place, self.cultivar, self.row[keep], self.full[keep])

    @property
    def years(self) -> Index:
        return self.place.years[self.row]


@dataclass(frozen=True)
class Form:
    """A form of the model: running heat of a place's years from its parameters, and where the search begins."""

    name: str
    heat: Callable[[Place, Sequence[float]], Array]
    start: tuple[float, ...]
    bounds: tuple[tuple[float, float], ...]


def _shape(values: Sequence[float]) -> BloomShape:
    midpoint, width, gate_day, gate_width, extra, fading = values
    return BloomShape(midpoint, width, gate_day, gate_width, extra, fading)


def _in_sequence(place: Place, values: Sequence[float]) -> Array:
    """Growing degree hours from 60 portions on, need falling with chill: the form shipped before."""
    (extra,) = values
    heat = np.cumsum(np.where(place.chill >= 60.0, growing_degree_hours(place.temperature), 0.0), axis=1)
    return heat / (1.0 + extra * np.exp(-0.04 * np.maximum(place.chill - 60.0, 0.0)))


def _degree_days(place: Place, values: Sequence[float]) -> Array:
    """Degree hours above a base from 1 January: with the need two parameters."""
    (base,) = values
    heat = np.maximum(place.temperature - base, 0.0)
    heat[:, : 92 * 24] = 0.0
    return np.cumsum(heat, axis=1)


def _late_degree_days(place: Place, values: Sequence[float]) -> Array:
    """Degree hours above 4.5 deg C from a day on: with the need two parameters."""
    (first,) = values
    heat = np.maximum(place.temperature - 4.5, 0.0)
    heat[:, : round((first + 91) * 24)] = 0.0
    return np.cumsum(heat, axis=1)


def _gated_degree_hours(place: Place, values: Sequence[float]) -> Array:
    """The asymmetric curve behind a gate of the day, need falling with chill."""
    gate_day, gate_width, extra, fading = values
    open_ = warmth(
        np.full_like(place.temperature[:1], 100.0), BloomShape(0, 1, gate_day, gate_width, 0.0, 1.0)
    )
    heat = np.cumsum(open_ * growing_degree_hours(place.temperature), axis=1)
    return heat / (1.0 + extra * np.exp(-fading * np.maximum(place.chill - 40.0, 0.0)))


def _chill_gate(place: Place, values: Sequence[float]) -> Array:
    """Sigmoid warmth behind a gate of chill in place of the day."""
    midpoint, width, gate, gate_width = values
    h = 1.0 / (1.0 + np.exp(-np.clip((place.temperature - midpoint) / width, -60, 60)))
    return np.cumsum(h / (1.0 + np.exp(-np.clip((place.chill - gate) / gate_width, -60, 60))), axis=1)


SHAPED = Form(
    "sigmoid warmth, gate of the day, chill overlap",
    lambda place, values: heat_after_chill(place.temperature, place.chill, _shape(values)),
    (19.0, 5.5, 45.0, 4.0, 1.4, 0.02),
    ((5, 20), (1, 8), (0, 60), (3, 20), (0, 8), (0.01, 0.15)),
)
FORMS = (
    SHAPED,
    Form(
        "sigmoid warmth, gate of the day",
        lambda place, values: heat_after_chill(place.temperature, place.chill, _shape([*values, 0.0, 1.0])),
        (15.0, 7.0, 49.0, 3.0),
        ((5, 20), (1, 8), (0, 60), (3, 20)),
    ),
    Form("sigmoid warmth, gate of chill", _chill_gate, (13.0, 2.2, 52.0, 25.0), ((5, 20), (1, 8), (20, 95), (1, 30))),
    Form(
        "degree hours, gate of the day, chill overlap",
        _gated_degree_hours,
        (54.0, 9.0, 1.8, 0.03),
        ((0, 60), (3, 20), (0, 8), (0.01, 0.15)),
    ),
    Form("degree hours from 60 portions, chill overlap", _in_sequence, (2.0,), ((0, 10),)),
    Form("degree-days from 1 January, base and need", _degree_days, (4.5,), ((-5, 12),)),
    Form("degree-days above 4.5 deg C, start and need", _late_degree_days, (30.0,), ((1, 80),)),
)  # fmt: skip


def records(folder: Path) -> list[Dates]:
    """All dates with weather before them."""

    def rows(name: str) -> list[dict[str, str]]:
        with (folder / name).open(encoding="utf-8") as lines:
            return list(csv.DictReader(lines))

    american = rows("climate_weather_us_daily.csv")
    weather = {
        "Winchester": [row for row in american if row["location"] == "Winchester"],
        "Rock Springs": [row for row in american if row["location"] == "Rock Springs"],
        "Meknes": rows("climate_weather_meknes_daily.csv"),
        "Rhine": rows("dates_rhine_weather.csv"),
    }
    places = {name: _place(name, daily) for name, daily in weather.items()}
    seen = [
        (row["location"], row["cultivar"], int(row["year_used"]), float(row["full_bloom_doy"]))
        for row in rows("climate_bloom_us_golden_delicious.csv")
    ]
    for name, table in (
        ("Meknes", "climate_bloom_meknes_golden_delicious.csv"),
        ("Rhine", "dates_rhine_bloom.csv"),
    ):
        for row in rows(table):
            if row["full_bloom_50pct"]:
                day = date.fromisoformat(row["full_bloom_50pct"]).timetuple().tm_yday
                seen.append((name, row["cultivar"], int(row["year"]), float(day)))
    found = []
    for name, cultivar in sorted({(row[0], row[1]) for row in seen}):
        at = {int(year): index for index, year in enumerate(places[name].years)}
        own = [row for row in seen if row[:2] == (name, cultivar) and row[2] in at]
        found.append(
            Dates(
                places[name],
                cultivar,
                np.array([at[row[2]] for row in own]),
                np.array([row[3] for row in own]),
            )
        )
    return found


def _place(name: str, daily: list[dict[str, str]]) -> Place:
    day = np.array([row["date"] for row in daily], dtype="datetime64[D]")
    every = np.arange(day[0], day[-1] + 1)
    at = (day - day[0]).astype(np.int64)
    low, high = (_bridged(every.size, at, [row[key] for row in daily]) for key in ("tmin_c", "tmax_c"))
    record = Weather(
        every, np.minimum(low, high), np.maximum(low, high), np.zeros(every.size), None, None, None, None,
        np.zeros(every.size, dtype=bool), np.zeros(every.size, dtype=np.int64), (), False, (),
    )  # fmt: skip
    seasons = cut(record, LATITUDES[name])
    chill = np.cumsum(portions(seasons.temperature), axis=1)
    return Place(name, seasons.years, seasons.temperature, chill)


def _bridged(days: int, at: Index, written: list[str]) -> Array:
    known = np.array([text != "" for text in written])
    values = np.array([float(text or "nan") for text in written])
    return np.interp(np.arange(days), at[known], values[known])


def predicted(heat: Array, need: float) -> Array:
    """Day of the year by running heat (years, hours) and need; a late day where it does not come."""
    hours = bloom_hours(heat, np.zeros_like(heat), BloomNeed(need, 0.0))[:, 0]
    return np.where(np.isfinite(hours), day_of_year(hours), LATEST)


def errors(heat: dict[str, Array], needs: dict[str, float], dates: Dates) -> Array:
    return predicted(heat[dates.place.name][dates.row], needs[dates.cultivar]) - dates.full


def needs_of(heat: dict[str, Array], records: Sequence[Dates]) -> dict[str, float]:
    """Need of every cultivar: the mean over its places of the mean error is zero."""
    found = {}
    for cultivar in {dates.cultivar for dates in records}:
        own = [dates for dates in records if dates.cultivar == cultivar]
        need = float(np.median(np.concatenate([_on(heat, dates, 0.0) for dates in own])))
        rate = np.mean([np.mean(_on(heat, dates, 4.0) - _on(heat, dates, -4.0)) / 8.0 for dates in own])
        for _ in range(4):
            late = np.mean([np.mean(errors(heat, {cultivar: need}, dates)) for dates in own])
            need = max(need - float(late * rate), 1e-3)
        found[cultivar] = need
    return found


def _on(heat: dict[str, Array], dates: Dates, later: float) -> Array:
    total = heat[dates.place.name]
    hour = np.clip(np.rint((dates.full + later + 91.5) * 24.0).astype(int) - 1, 0, total.shape[1] - 1)
    return total[dates.row, hour]


def heats(form: Form, values: Sequence[float], records: Sequence[Dates]) -> dict[str, Array]:
    return {
        place.name: form.heat(place, values) for place in {id(d.place): d.place for d in records}.values()
    }


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
            curve[i, j] = curve[j, i] = (corners[0] - corners[1] - corners[2] + corners[3]) / (
                4 * step[i] * step[j]
            )
    scale, turn = np.linalg.eigh(curve * np.outer(step, step))
    inverse = (turn / np.maximum(scale, 0.02 * scale.max())) @ turn.T
    return 2 * YEAR_SD**2 * inverse * np.outer(step, step)


def rms(values: Sequence[Array]) -> float:
    return float(np.sqrt(np.mean(np.concatenate(values) ** 2)))


def place_left_out(form: Form, start: Sequence[float], records: Sequence[Dates]) -> dict[str, list[Array]]:
    """Errors at each place of a fit without it, less one number a place and cultivar."""
    found: dict[str, list[Array]] = {}
    for name in LATITUDES:
        kept = [dates for dates in records if dates.place.name != name]
        held = [dates for dates in records if dates.place.name == name]
        values = fitted(form, kept, start, 80)
        heat = heats(form, values, held)
        for dates in held:
            error = errors(heat, needs_of(heat, [dates]), dates)
            found.setdefault(name, []).append(error - error.mean())
    return found


def period_left_out(form: Form, start: Sequence[float], records: Sequence[Dates]) -> dict[str, list[Array]]:
    found: dict[str, list[Array]] = {}
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
            found.setdefault(dates.place.name, []).append(errors(heat, needs, dates) - shift)
    return found


def told(records: Sequence[Dates], values: Sequence[float]) -> None:
    """Of the chosen form: figures with errors, needs, what is left, differences of pairs, coverage."""
    heat = heats(SHAPED, values, records)
    needs = needs_of(heat, records)
    shifts = [float(errors(heat, needs, d).mean()) for d in records if d.cultivar == GOLDEN]
    golden = [d for d in records if d.cultivar == GOLDEN]
    rate = float(np.mean([np.mean(_on(heat, d, 5.0) - _on(heat, d, -5.0)) / 10.0 for d in golden]))
    needs[GOLDEN] -= float(np.median(shifts)) * rate
    spread = covariance(SHAPED, values, records)
    print("\nfigure        value     error   covariance")
    for index, name in enumerate(("midpoint", "width", "gate_day", "gate_width", "extra", "fading")):
        row = " ".join(f"{cell:9.2g}" for cell in spread[index])
        print(f"{name:<11}{values[index]:8.4g}{np.sqrt(spread[index, index]):10.2g}   {row}")
    print(
        f"need of Golden Delicious (median of the places) {needs[GOLDEN]:.1f} h, heat of a day {rate:.2f} h"
    )
    for dates in records:
        error = errors(heat, needs, dates)
        trend = np.polyfit(dates.years, error, 1)[0] * 10
        print(
            f"  {dates.place.name:<13}{dates.cultivar:<17} mean {error.mean():+5.1f}  about it {error.std():4.2f}"
            f"  trend {trend:+.2f} d a decade"
        )
    rhine = [d for d in records if d.place.name == "Rhine"]
    same, mean, ours = [], [], []
    for number, one in enumerate(rhine):
        for other in rhine[:number]:
            _, a, b = np.intersect1d(one.row, other.row, return_indices=True)
            seen = one.full[a] - other.full[b]
            said = predicted(heat["Rhine"][one.row[a]], needs[one.cultivar])
            said = said - predicted(heat["Rhine"][other.row[b]], needs[other.cultivar])
            same.append(seen)
            mean.append(seen - seen.mean())
            ours.append(seen - said)
    print(
        f"pairs in one year: same day {rms(same):.2f}, their mean difference {rms(mean):.2f}, model {rms(ours):.2f}"
    )


def main() -> None:
    folder, *wanted = sys.argv[1:]
    dates = records(Path(folder))
    forms = [form for form in FORMS if not wanted or any(part in form.name for part in wanted)]
    print(f"{len(forms)} forms; root-mean-square errors [d]: " + ", ".join(LATITUDES))
    for form in forms:
        started = time.perf_counter()
        values = fitted(form, dates, form.start, 300)
        print(f"\n{form.name}: " + " ".join(f"{value:.4g}" for value in values), flush=True)
        if form is SHAPED:
            told(dates, values)
        for said, held in (
            ("place left out", place_left_out(form, values, dates)),
            ("period left out", period_left_out(form, values, dates)),
        ):
            by_place = " ".join(f"{rms(held[name]):6.2f}" for name in LATITUDES)
            cold = rms([e for name, found in held.items() if name != "Meknes" for e in found])
            every = rms([e for found in held.values() for e in found])
            print(f"  {said:<16}{by_place}   all {every:.2f}, without Meknes {cold:.2f}", flush=True)
        print(f"  {time.perf_counter() - started:.0f} s", flush=True)


if __name__ == "__main__":
    main()
