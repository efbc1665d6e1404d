"""A newcomer's cider half-hectare in a climate like Normandy's: weather, ground and wishes are invented; metric."""

from datetime import date, timedelta
from pathlib import Path

import numpy as np

PLAN = """\
name: Half a hectare for cider
units: metric
place:
  latitude: 49.1
  longitude: 0.2
  elevation: 90 m
  exposure: open country
  gust: 36 m/s
  soil: {texture: silt loam, depth: 1 m, fertility: medium}
weather: {files: [weather/daily.csv]}
ground:
  headland: 6 m
  margin: 2 m
  machine_width: 1.6 m
  blocks:
    - {name: Field, rectangle: {length: 90 m, width: 56 m}, row_bearing: 0}
kitchen:
  different_on_the_board: 0
  press: {days_a_week: 2, a_day: 700 kg, kind: water bladder, from: 15 Sep, to: 20 Dec}
  cider:
    - {style: still dry, amount: 1500 L}
    - {style: bottle conditioned, amount: 2000 L}
    - {style: keeved sweet, amount: 1000 L}
    - {style: vinegar, amount: 200 L, weight: 1}
  tanks:
    - {volume: 1000 L, number: 3}
    - {volume: 600 L, number: 3}
    - {volume: 225 L, number: 2, barrel: true}
taste: {fewest_cultivars: 5, most_cultivars: 9, fewest_trees: 20, most_trees: 200}
trees: {rootstock: G.41, tree_spacing: 1.5 m, row_spacing: 4 m}
years: {planting: 2028, horizon: 15}
trellis: {wire_heights: [0.9 m, 1.6 m, 2.3 m, 2.9 m]}
water: {source: well, flow: 3 m3/h, pressure: 250 kPa, distance: 40 m, hours_per_day: 10}
money: {currency: EUR, wage: 16}
"""
YEARS = 6


def make(folder: Path, plan: str = PLAN) -> Path:
    """The orchard's folder with `YEARS` years of mild, wet, invented weather."""
    (folder / "weather").mkdir(parents=True)
    (folder / "plan.yaml").write_text(plan, encoding="utf-8")
    draw = np.random.default_rng(20281101)
    day, last, lines, drift = date(2015, 10, 1), date(2015 + YEARS, 12, 31), [], 0.0
    while day <= last:
        season = np.cos(2 * np.pi * (day.timetuple().tm_yday - 205) / 365.25)
        drift = 0.75 * drift + draw.normal(0, 1.9)
        mean, half = 11.0 + 7.0 * season + drift, 3.6 + 1.8 * max(season, -0.6)
        rain = draw.gamma(0.8, 5.0) if draw.random() < 0.45 else 0.0
        lines.append(f"{day.isoformat()},{mean - half:.1f},{mean + half:.1f},{rain:.1f}")
        day += timedelta(days=1)
    (folder / "weather/daily.csv").write_text(
        "date,tmin_c,tmax_c,rain_mm\n" + "\n".join(lines) + "\n", encoding="utf-8"
    )
    return folder
