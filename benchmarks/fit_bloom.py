"""How the bloom figures of catalogue/data/bloom_groups.csv were got, and how far they can be trusted.

    python benchmarks/fit_bloom.py

Golden Delicious at Winchester, Virginia, and Rock Springs, Pennsylvania (dates in
checks/data/bloom_golden_delicious.csv, weather of the two examples). Two heat figures are fitted to both places at
once; chill figures come from published lists, day length power and fading are fixed round figures. The table sets the
error beside that of the naive forecast, the mean date. The years of Rock Springs were shifted by one against their
labels, since only then do they agree with the weather: its errors are therefore on the bright side.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np

from topwire.checks.phenology import GROUP_STARTS, MEDIUM_START, bloom_records
from topwire.phenology.bloom import BloomNeed, hours_from_october
from topwire.phenology.calibration import (
    BloomRecord,
    fit_need,
    leave_one_out_mean,
    leave_one_year_out,
    root_mean_square,
)

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"


def heat_per_day(records: dict[str, BloomRecord]) -> float:
    """Weighted heat of a day [K h] in the eleven days about bloom, mean over the places' means."""
    means = []
    for record in records.values():
        middle = np.rint(hours_from_october(record.observed)).astype(int)
        row = np.arange(record.years.size)
        means.append(np.mean((record.heat[row, middle + 132] - record.heat[row, middle - 132]) / 11.0))
    return float(np.mean(means))


def main() -> None:
    records = bloom_records(EXAMPLES)
    places = list(records)
    need = fit_need(list(records.values()), MEDIUM_START)
    print(f"both places: least {need.least:.0f}, extra {need.extra:.0f} K h")
    print(f"heat of a day about bloom: {heat_per_day(records):.0f} K h")

    neutral = {place: np.nanmean(record.forecast(need)) for place, record in records.items()}
    for group, start in GROUP_STARTS.items():
        scale = _neutral_scale(records, replace(start, least=need.least, extra=need.extra), neutral)
        print(f"group {group}: least {scale * need.least:.0f}, extra {scale * need.extra:.0f}")

    held = leave_one_year_out(list(records.values()), MEDIUM_START)
    print("\nroot-mean-square error [d]            " + "".join(f"{place:>14}" for place in places))
    _row("naive: mean date of the other years", [leave_one_out_mean(r.observed) for r in records.values()])
    _row("in the fit of both", [r.forecast(need) - r.observed for r in records.values()])
    _row("a year left out, both places fitted", held)
    _row(
        "a year left out, this place alone",
        [leave_one_year_out([r], MEDIUM_START)[0] for r in records.values()],
    )
    across, naive = [], []
    for place, record in records.items():
        others = [records[name] for name in places if name != place]
        across.append(record.forecast(fit_need(others, MEDIUM_START)) - record.observed)
        naive.append(np.mean(np.concatenate([o.observed for o in others])) - record.observed)
    _row("this place left out", across)
    _row("naive: mean date of the other place", naive)
    _sensitivity()


def _sensitivity() -> None:
    """How much the fixed figures matter: errors with others in their place."""
    print("\nroot-mean-square error [d] with other fixed figures; a year left out, then a place left out")
    for power in (0.0, 1.0, 1.5, 2.0, 2.5):
        records = list(bloom_records(EXAMPLES, power=power).values())
        for begin, fading in ((50.0, 0.04), (60.0, 0.03), (60.0, 0.04), (60.0, 0.06), (70.0, 0.04)):
            start = replace(MEDIUM_START, begin=begin, required=max(begin, 70.0), fading=fading)
            year = [root_mean_square(error) for error in leave_one_year_out(records, start)]
            place = [
                root_mean_square(one.forecast(fit_need([other], start)) - one.observed)
                for one, other in (records, records[::-1])
            ]
            cells = "".join(f"{value:8.2f}" for value in (*year, *place))
            print(f"day length power {power:3.1f}, begin {begin:.0f}, fading {fading:.2f}" + cells)


def _row(label: str, errors: list[np.ndarray]) -> None:
    cells = (f"{root_mean_square(e):7.2f} ({np.nanmean(e):+.1f})" for e in errors)
    print(f"{label:<38}" + "".join(f"{cell:>14}" for cell in cells))


def _neutral_scale(records: dict[str, BloomRecord], need: BloomNeed, neutral: dict[str, float]) -> float:
    """Factor on the heat that makes a group's mean date over both places that of Golden Delicious."""
    from scipy.optimize import brentq

    def late(scale: float) -> float:
        scaled = replace(need, least=scale * need.least, extra=scale * need.extra)
        return float(
            np.mean([np.nanmean(r.forecast(scaled)) - neutral[place] for place, r in records.items()])
        )

    return float(brentq(late, 0.5, 2.5, xtol=1e-3))


if __name__ == "__main__":
    main()
