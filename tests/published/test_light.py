"""Sun and light against pvlib, hour by hour, and against rays traced one by one."""

import warnings

import numpy as np
import pytest

from topwire.layout.light import LOWEST_SUN, Wall, beam_caught, season_caught, trace
from topwire.layout.sunpath import SEASON, path, season_sun
from topwire.weather.sun import declination

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import pandas as pd
    import pvlib

DATES = [f"2021-{month:02d}-21" for month in range(5, 10)]


def by_pvlib(latitude: float, dates: list[str], step: str = "10min") -> tuple[np.ndarray, np.ndarray]:
    times = pd.DatetimeIndex(
        np.concatenate([pd.date_range(day, periods=144, freq=step).values for day in dates]), tz="UTC"
    )
    found = pvlib.solarposition.get_solarposition(times, latitude, 0.0)
    return np.radians(found["elevation"].to_numpy()), np.radians(found["azimuth"].to_numpy())


@pytest.mark.parametrize("latitude", [34.0, 45.0, 51.3])
@pytest.mark.parametrize("day", ["2021-03-20", "2021-06-21", "2021-09-22", "2021-12-21"])
def test_the_suns_path_agrees_with_pvlib(latitude: float, day: str) -> None:
    """pvlib (solar position after Reda and Andreas 2004): within 0.6 degrees.

    Spencer's series knows no leap years and was fitted to the calendar of its time: about a day at the equinoxes.
    """
    date = pd.Timestamp(day)
    number = date.dayofyear
    elevation, azimuth = (np.degrees(found[0]) for found in path(latitude, declination([number])))
    # our moments are solar time; pvlib's equation of time turns them into universal time on the meridian
    minutes = pvlib.solarposition.equation_of_time_spencer71(number)
    hours = np.arange(0.125, 24, 0.25)
    times = pd.DatetimeIndex([date + pd.Timedelta(minutes=h * 60 - minutes) for h in hours], tz="UTC")
    theirs = pvlib.solarposition.get_solarposition(times, latitude, 0.0)
    up = theirs["elevation"].to_numpy() > 3
    np.testing.assert_allclose(elevation[up], theirs["elevation"].to_numpy()[up], atol=0.6)
    apart = (azimuth - theirs["azimuth"].to_numpy() + 180) % 360 - 180
    assert np.abs(apart[up] * np.cos(np.radians(elevation[up]))).max() < 0.8


@pytest.mark.parametrize("latitude", [34.0, 45.0, 51.3])
@pytest.mark.parametrize(
    ("height", "width", "pitch"), [(0.5, 1, 2), (1, 1, 2), (2, 1, 2), (2.9, 1, 3), (3.3, 1.2, 3.5)]
)
@pytest.mark.parametrize("bearing", [0.0, 90.0])
def test_season_interception_with_pvlibs_sun(
    latitude: float, height: float, width: float, pitch: float, bearing: float
) -> None:
    """The season's catch with our sun equals that with pvlib's, to half a point."""
    wall = Wall(0.0, height, width, pitch)
    ours = season_caught(wall, *season_sun(latitude), bearing)
    theirs = season_caught(wall, *by_pvlib(latitude, DATES), bearing)
    assert ours == pytest.approx(theirs, abs=0.005)


def test_hour_by_hour_the_opaque_wall_is_rays_counted() -> None:
    """An independent count: parallel rays onto many walls, each followed to the first wall or the ground."""
    wall = Wall(0.0, 2.9, 1.0, 3.5)
    elevation, azimuth = season_sun(45.0, (172,))
    for e, az in zip(elevation[0][::4], azimuth[0][::4], strict=True):
        if e < np.radians(5):
            continue
        drift = np.sin(az) / np.tan(e)  # sideways metres to the sun for each metre up
        starts = np.linspace(0, wall.pitch, 4001)[:-1] + 50 * wall.pitch
        heights = np.linspace(0, wall.height, 400)
        at = starts[:, None] + drift * heights[None]  # from the ground up toward the sun
        inside = (at % wall.pitch) < wall.width
        assert inside.any(axis=1).mean() == pytest.approx(float(beam_caught(wall, e, az, 0.0)), abs=0.01)


def test_leaves_fade_a_ray_by_the_foliage_it_crosses() -> None:
    """The transmitting wall against a step-by-step walk of every ray (Beer's law, 2 mm steps)."""
    wall = Wall(0.5, 3.4, 1.0, 3.5, leaf_area_index=1.4)
    for run, path_length in ((0.0, 1.0), (0.7, 1.3), (2.5, 2.9)):
        fine = np.linspace(0, wall.height, 1451)
        starts = (np.arange(480) + 0.5) / 480 * wall.pitch
        inside = ((starts[:, None] + run * fine[None]) % wall.pitch) < wall.width
        crossed = inside.mean(axis=1) * wall.height * path_length
        expected = float((1 - np.exp(-wall.fading * crossed)).mean())
        caught, _ = trace(wall, np.array([run]), np.array([path_length]))
        assert caught[0] == pytest.approx(expected, abs=0.01)


def test_the_season_is_the_growing_one() -> None:
    assert [pd.Timestamp(date).dayofyear for date in DATES] == list(SEASON)
    assert LOWEST_SUN > 0
