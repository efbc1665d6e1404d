"""Chill and heat against published printouts, tables, and independent implementations.

Sources are keys of the bibliography. PHENOCHECK marks figures of an independent implementation written from the
published equations by other hands; CHILLCOURSE is a printout of third-party software, read hour by hour.
"""

import csv

import numpy as np
import pytest
from phenology_support import DATA, seasons_of

from topwire.phenology import chill, heat, injury

NEW_YEAR = 92 * 24


def table(name: str) -> dict[str, np.ndarray]:
    with (DATA / name).open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    return {key: np.array([float(row[key]) for row in rows]) for key in rows[0]}


@pytest.fixture(scope="module")
def winters() -> dict[str, np.ndarray]:
    return table("winters_100_hours.csv")


def test_chilling_hours_hour_by_hour(winters: dict[str, np.ndarray]) -> None:
    """CHILLCOURSE: 100 printed values."""
    np.testing.assert_array_equal(
        np.cumsum(chill.chilling_hours(winters["temperature"])), winters["chilling_hours"]
    )


def test_utah_units_hour_by_hour(winters: dict[str, np.ndarray]) -> None:
    """CHILLCOURSE: 100 printed values."""
    np.testing.assert_array_equal(np.cumsum(chill.utah_units(winters["temperature"])), winters["utah_units"])


def test_portions_hour_by_hour(winters: dict[str, np.ndarray]) -> None:
    """PHENOCHECK: 100 values to the printed digits."""
    np.testing.assert_allclose(
        np.cumsum(chill.portions(winters["temperature"])), winters["portions"], atol=2e-6
    )


def test_growing_degree_hours_hour_by_hour(winters: dict[str, np.ndarray]) -> None:
    """PHENOCHECK: 100 values to the printed digits."""
    ours = np.cumsum(heat.growing_degree_hours(winters["temperature"]))
    np.testing.assert_allclose(ours, winters["growing_degree_hours"], atol=1e-3)


@pytest.mark.parametrize(
    ("air", "portions", "hours", "utah"),
    [
        (-2, (0.00597, 0.09751, 0.24174), 0, 0),
        (0, (0.16772, 2.13316, 4.85193), 1000, 0),
        (2, (1.86353, 12.73846, 26.33217), 1000, 500),
        (4, (2.53566, 14.67509, 29.84935), 1000, 1000),
        (6, (2.93492, 16.61524, 34.20422), 1000, 1000),
        (8, (3.04947, 17.28384, 34.56844), 0, 1000),
        (10, (3.04081, 16.21775, 32.43553), 0, 500),
        (12, (2.00012, 12.00074, 25.00154), 0, 500),
        (14, (0, 0, 0), 0, 0),
    ],
)
def test_constant_temperature(
    air: float, portions: tuple[float, float, float], hours: float, utah: float
) -> None:
    """PHENOCHECK: portions after 100, 500, 1000 hours; the Kelvin offset of 273 decides the third digit."""
    constant = np.full(1000, float(air))
    running = np.cumsum(chill.portions(constant))
    np.testing.assert_allclose(running[[99, 499, 999]], portions, atol=1e-4)
    assert chill.chilling_hours(constant).sum() == hours
    assert chill.utah_units(constant).sum() == utah


def test_hours_at_which_portions_fall_at_six_degrees() -> None:
    """PHENOCHECK."""
    added = chill.portions(np.full(145, 6.0))
    np.testing.assert_array_equal(np.flatnonzero(added) + 1, [30, 58, 86, 114, 142])
    assert added[29] == pytest.approx(0.980512, abs=1e-6)


@pytest.mark.parametrize(
    ("air", "expected"),
    [
        (4, 0),
        (5, 0.117276),
        (7, 1.039827),
        (10, 3.953357),
        (14.5, 10.5),
        (15, 11.284666),
        (20, 18.197045),
        (25, 21),
        (26, 18.011388),
        (30, 7.247925),
        (32, 3.333676),
        (36, 0),
    ],
)
def test_asymmetric_curve(air: float, expected: float) -> None:
    """GDH1986 with base 4, optimum 25, critical 36 deg C; values PHENOCHECK."""
    assert heat.growing_degree_hours([air])[0] == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize(
    ("low", "high", "base", "upper", "mean", "sine"),
    [
        (2, 14, 4.5, None, 3.5, 3.9951),
        (0, 8, 4.5, None, 0, 1.0332),
        (10, 30, 10, None, 10, 10.0),
        (5, 12, 10, None, 0, 0.4681),
        (10, 36, 10, 31, None, 12.0503),
        (12, 38, 10, 30, None, 13.0520),
        (40, 80, 50, None, 10, 12.17996),
    ],
)
def test_degree_days(
    low: float, high: float, base: float, upper: float | None, mean: float | None, sine: float
) -> None:
    """SINE1969; values PHENOCHECK."""
    if mean is not None:
        assert float(heat.mean_above(low, high, base)) == pytest.approx(mean)
    ours = heat.sine_above(low, high, base)
    if upper is not None:  # horizontal cut-off
        ours = ours - heat.sine_above(low, high, upper)
    assert float(ours) == pytest.approx(sine, abs=1e-4)


def test_grid_of_the_codling_moth_table() -> None:
    """Single sine between 50 and 88 F, horizontal cut-off (PHENOCHECK after ZALOM1983): 165 cells to 0.005 F-days."""
    with (DATA / "degree_day_grid_50_88F.csv").open(encoding="utf-8") as stream:
        rows = list(csv.reader(stream))
    compared = 0
    for row in rows[1:]:
        for high, cell in zip(rows[0][1:], row[1:], strict=True):
            if cell:
                night, day = float(row[0]), float(high)
                ours = heat.sine_above(night, day, 50.0) - heat.sine_above(night, day, 88.0)
                assert float(ours) == pytest.approx(float(cell), abs=0.0051), (row[0], high)
                compared += 1
    assert compared > 150


@pytest.mark.parametrize(
    ("year", "portions", "hours", "utah", "degree_hours", "mean", "sine"),
    [
        (1977, 125.49, 2082, 2573.5, 5100, 280.7, 305.3),
        (1985, 113.50, 1773, 2251.5, 4179, 198.8, 227.0),
        (1990, 118.27, 1917, 2467.0, 8750, 426.2, 455.1),
        (1996, 103.81, 1908, 1769.5, 5728, 250.2, 278.1),
        (2005, 120.29, 2165, 2351.5, 8030, 375.7, 394.0),
    ],
)
def test_brussels(
    year: int,
    portions: float,
    hours: float,
    utah: float,
    degree_hours: float,
    mean: float,
    sine: float,
) -> None:
    """Chill from 1 October to 31 March, heat from 1 January to 30 April (PHENOCHECK, weather AQUACROP), to 1 %."""
    seasons = seasons_of("brussels")
    row = int(np.flatnonzero(seasons.years == year)[0])
    leap = int(year % 4 == 0)
    winter = seasons.temperature[row, : (92 + 90 + leap) * 24]
    spring = seasons.temperature[row, NEW_YEAR : NEW_YEAR + (120 + leap) * 24]
    tmin, tmax = (values[row, 92 : 92 + 120 + leap] for values in (seasons.tmin, seasons.tmax))
    assert chill.portions(winter).sum() == pytest.approx(portions, rel=0.01)
    assert chill.chilling_hours(winter).sum() == pytest.approx(hours, rel=0.01)
    assert chill.utah_units(winter).sum() == pytest.approx(utah, rel=0.01)
    assert heat.growing_degree_hours(spring).sum() == pytest.approx(degree_hours, rel=0.01)
    assert heat.mean_above(tmin, tmax, 4.5).sum() == pytest.approx(mean, rel=0.01)
    assert heat.sine_above(tmin, tmax, 4.5).sum() == pytest.approx(sine, rel=0.01)


@pytest.mark.parametrize(("name", "zone"), [("brussels", "8b"), ("champion", "5a"), ("cambridge", "9a")])
def test_hardiness_zones(name: str, zone: str) -> None:
    """USDA-ZONES with the yearly minima of AQUACROP files."""
    assert injury.hardiness_zone(seasons_of(name).tmin[:, 92:].min(axis=1)) == zone
