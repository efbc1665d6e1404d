"""The forecasts an orchard's folder keeps, apart from its record: weather/forecast."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from topwire.files.own_file import own_bytes
from topwire.values.fault import Faults, fault
from topwire.weather.fetched import SIDECAR, Fetched, keep_fetched, read_fetched
from topwire.weather.forecast import WeatherForecast
from topwire.weather.forecast_files import read_forecast, standard_offset
from topwire.weather.forecast_history import DayTold, all_told, days_told, earlier, set_aside
from topwire.weather.text import LARGEST, read_text

FOLDER = Path("weather") / "forecast"
FAR = 0.5  # [deg] from the place to the cell a forecast is for
_KINDS = (".json", ".csv", ".txt")


def kept_forecast(folder: Path, at: np.datetime64 | None = None) -> WeatherForecast | None:
    """The newest forecast in the orchard's `folder` that says something of what is ahead; None where there is none.

    Parameters
    ----------
    at : moment [universal time] at which it is asked: what was issued later, and what ends earlier, is left out, and
        those that newer ones replaced since are looked through. All that is kept is taken when not given.

    Raises
    ------
    Faults
        A file of weather/forecast cannot be read as a forecast.
    """
    found = [made for _, made in _kept(folder / FOLDER)]
    usable = [one for one in found if at is None or _known_at(one, at)]
    newest = max(usable, key=_newest, default=None)
    if at is None:
        return newest
    for one in earlier(folder / FOLDER):
        if newest is not None and one.issued <= _newest(newest):
            break
        if one.issued <= at:
            made = one.read()
            return made if _known_at(made, at) else newest
    return newest


def keep_history(folder: Path) -> None:
    """The forecasts kept now into the history, before a newer one replaces them.

    Raises
    ------
    OSError
        The folder cannot be written.
    """
    try:
        kept = _kept(folder / FOLDER)
    except Faults:
        return  # what cannot be read as a forecast was never told
    for path, made in kept:
        if not np.isnat(made.issued):
            set_aside(folder / FOLDER, path.name, made, path.read_bytes())


def told_so_far(folder: Path) -> tuple[DayTold, ...]:
    """What every forecast told of its whole days, those kept now and those replaced since, by day and issue.

    Raises
    ------
    Faults
        A forecast that is kept cannot be read.
    """
    before = all_told(folder / FOLDER)
    seen = {one.issued for one in before}
    now = [told for _, made in _kept(folder / FOLDER) if made.issued not in seen for told in days_told(made)]
    return tuple(sorted((*before, *now), key=lambda told: (told.day, told.issued)))


def _kept(room: Path) -> list[tuple[Path, WeatherForecast]]:
    """The forecast files of the folder, each with the moment it was issued or came."""
    came = {entry.file: entry for entry in read_fetched(room)}
    return [
        (path, _with_origin(path, came.get(path.name)))
        for path in sorted(room.glob("*"))
        if path.suffix.lower() in _KINDS and path.name != SIDECAR
    ]


def read_forecast_file(path: Path, utc_offset: int | None = None) -> WeatherForecast:
    """A file as a forecast, whoever gave it. Raises Faults as `read_forecast`, and where it cannot be opened."""
    return read_forecast(read_text(path, path.name), path.name, utc_offset)


def keep_own(folder: Path, path: Path, latitude: float, longitude: float, at: str) -> WeatherForecast:
    """A forecast file of the grower's into weather/forecast, in place of the one before, and what it says.

    Parameters
    ----------
    latitude, longitude : of the place [deg]; the longitude tells its standard time
    at : moment, ISO 8601 in universal time

    Raises
    ------
    Faults
        It is no forecast, or one for another place; the one before stays.
    OSError
        The folder cannot be written.
    """
    offset = standard_offset(longitude)
    made = read_forecast_file(path, offset)
    if (
        made.station is not None
        and max(abs(made.station[0] - latitude), abs(made.station[1] - longitude)) > FAR
    ):
        north, east = made.station
        says = (
            f"is for latitude {north:g}, longitude {east:g}; the orchard lies at {latitude:g}, {longitude:g}."
        )
        raise Faults([fault(path.name, says, "Bring the forecast of this place.")])
    body = own_bytes(path, path.name, path.name, LARGEST)
    keep_history(folder)
    suffix = ".json" if body.lstrip().startswith(b"{") else ".csv"
    for other in _KINDS:
        if other != suffix:
            (folder / FOLDER / f"own{other}").unlink(missing_ok=True)
    entry = Fetched(f"own{suffix}", "own", made.source, "", made.credit, path.name, at, "", utc_offset=offset)
    keep_fetched(folder / FOLDER, entry, body)
    return made


def _with_origin(path: Path, entry: Fetched | None) -> WeatherForecast:
    made = read_forecast_file(path, None if entry is None else entry.utc_offset)
    if entry is None or not np.isnat(made.issued):
        return made
    return replace(made, issued=np.datetime64(entry.at.removesuffix("Z"), "s"))


def _known_at(one: WeatherForecast, at: np.datetime64) -> bool:
    ends = (one.day[-1] + 1).astype("datetime64[s]") - np.timedelta64(one.utc_offset, "h")
    return bool(ends > at and not _newest(one) > at)


def _newest(one: WeatherForecast) -> np.datetime64:
    """When it was issued; where it does not say, the begin of its first day."""
    if np.isnat(one.issued):
        begins: np.datetime64 = one.day[0].astype("datetime64[s]") - np.timedelta64(one.utc_offset, "h")
        return begins
    return one.issued
