"""Differences between cultivars in a collection grown in six countries: how far they hold elsewhere."""

from collections.abc import Callable, Mapping
from itertools import combinations

import numpy as np
from dates.records import Array, rms

Sites = Mapping[tuple[str, int], Mapping[str, float]]


def collection(sites: Sites, offsets: Mapping[str, float]) -> None:
    """Prints what two cultivars' difference in begin of bloom misses by, each country or year left out."""
    same = rms([_seen(year) for year in sites.values()])
    print(
        f"\ncollection of {len(sites)} countries and years, differences of two cultivars: same day {same:.2f}"
    )
    for what, key in (("country", 0), ("year", 1)):
        missed = []
        for out in sorted({site[key] for site in sites}, key=str):
            kept = {site: year for site, year in sites.items() if site[key] != out}
            effect = _effects(kept)
            missed += [_seen(year) - _said(year, effect) for site, year in sites.items() if site[key] == out]
        print(f"  a {what} left out: mean of the others {rms(missed):.2f}")
    ours = rms([_seen(year) - _said(year, offsets) for year in sites.values()])
    print(f"  the catalogue's offsets, shrunk from these among others: {ours:.2f}")


def _pairs(year: Mapping[str, float], value: Callable[[str], float]) -> Array:
    return np.array([value(one) - value(other) for one, other in combinations(sorted(year), 2)])


def _seen(year: Mapping[str, float]) -> Array:
    return _pairs(year, lambda name: year[name])


def _said(year: Mapping[str, float], offset: Mapping[str, float]) -> Array:
    return _pairs(year, lambda name: offset.get(name, 0.0))


def _effects(sites: Sites) -> dict[str, float]:
    """Cultivars' days, sites' means taken out, by least squares."""
    names = sorted({name for year in sites.values() for name in year})
    lines, days = [], []
    for number, year in enumerate(sites.values()):
        for name, day in year.items():
            line = np.zeros(len(names) + len(sites))
            line[names.index(name)] = line[len(names) + number] = 1.0
            lines.append(line)
            days.append(day)
    found = np.linalg.lstsq(np.array(lines), np.array(days), rcond=None)[0]
    return dict(zip(names, found[: len(names)].tolist(), strict=True))
