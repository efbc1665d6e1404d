"""Forecasts that newer ones replaced: kept byte for byte, so that a past day sees what was expected then.

weather/forecast/earlier/2026-05-03T091500Z.utc-5.nws_grid.json.gz: moment of its issue in universal time, the place's
standard time less universal time, and the file's name. What they told of each day stands in told.csv beside them, made
from them when it is asked for.
"""

import csv
import gzip
import io
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from topwire.files.safely import write_safely
from topwire.values.fault import Faults
from topwire.weather.forecast import WeatherForecast
from topwire.weather.forecast_files import read_forecast

EARLIER = "earlier"  # beside the forecasts that are kept
TOLD = "told.csv"
_NAME = re.compile(r"(\d{4}-\d\d-\d\dT\d{6})Z\.utc([+-]\d+)\.(.+)\.gz")
_COLUMNS = ("issued", "utc_offset", "file", "day", "tmin_c", "tmax_c", "rain_mm", "rain_chance")
_LARGEST = 20_000_000  # bytes of one, unpacked


@dataclass(frozen=True)
class EarlierForecast:
    """A forecast that was set aside; `issued` in universal time."""

    path: Path
    issued: np.datetime64
    utc_offset: int
    file: str

    def read(self) -> WeatherForecast:
        """What it told.

        Raises
        ------
        Faults
            It is no forecast any more.
        """
        try:
            with gzip.open(self.path) as packed:
                text = packed.read(_LARGEST).decode("utf-8")
        except (OSError, EOFError, UnicodeDecodeError):
            text = ""
        made = read_forecast(text, f"{EARLIER}/{self.path.name}", self.utc_offset)
        return replace(made, issued=self.issued)  # of a file that does not say, the moment it came


@dataclass(frozen=True)
class DayTold:
    """What a forecast told of one day; [deg C], [mm], NaN where it did not. `ahead`: days from its issue to the day."""

    issued: np.datetime64
    day: date
    ahead: int
    tmin: float
    tmax: float
    rain: float
    rain_chance: float


def set_aside(room: Path, file: str, made: WeatherForecast, body: bytes) -> Path:
    """The bytes of a forecast that is about to be replaced, packed; where they are set aside already, nothing is done.

    Parameters
    ----------
    room : weather/forecast
    made : what it says, with the moment of its issue

    Raises
    ------
    OSError
        The folder cannot be written.
    """
    moment = str(made.issued.astype("datetime64[s]")).replace(":", "")
    path = room / EARLIER / f"{moment}Z.utc{made.utc_offset:+d}.{file}.gz"
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        write_safely(path, gzip.compress(body, mtime=0))
    return path


def earlier(room: Path) -> list[EarlierForecast]:
    """All that were set aside, the newest first."""
    found = []
    for path in (room / EARLIER).glob("*.gz"):
        match = _NAME.fullmatch(path.name)
        if match:
            with suppress(ValueError):
                stamp = match[1]
                issued = np.datetime64(f"{stamp[:13]}:{stamp[13:15]}:{stamp[15:]}", "s")
                found.append(EarlierForecast(path, issued, int(match[2]), match[3]))
    return sorted(found, key=lambda one: one.issued, reverse=True)


def days_told(made: WeatherForecast) -> Iterator[DayTold]:
    """The whole days of a forecast, the first of them the day after its issue or, told before dawn, that day."""
    local = made.issued + np.timedelta64(made.utc_offset, "h")
    of_issue = local.astype("datetime64[D]")
    for at in np.flatnonzero(made.whole):
        ahead = int((made.day[at] - of_issue).astype(np.int64))
        if ahead >= 0:
            yield DayTold(
                made.issued,
                made.day[at].item(),
                ahead,
                float(made.tmin[at]),
                float(made.tmax[at]),
                float(made.day_rain[at]),
                float(made.day_rain_chance[at]),
            )


def all_told(room: Path) -> tuple[DayTold, ...]:
    """Every whole day that the forecasts set aside told, by day and issue; told.csv is brought up to date with them."""
    kept = _kept(room / EARLIER / TOLD)
    lines: dict[str, list[dict[str, str]]] = {}
    fresh = False
    for one in earlier(room):
        if one.path.name in kept:
            lines[one.path.name] = kept[one.path.name]
            continue
        fresh = True
        try:
            lines[one.path.name] = [_line(one, told) for told in days_told(one.read())]
        except Faults:
            lines[one.path.name] = []  # torn: it tells nothing
    if fresh:
        out = io.StringIO()
        writer = csv.DictWriter(out, _COLUMNS, lineterminator="\n")
        writer.writeheader()
        for name in sorted(lines):
            writer.writerows(lines[name])
        with suppress(OSError):
            write_safely(room / EARLIER / TOLD, out.getvalue().encode())
    found = [_told(line) for own in lines.values() for line in own]
    return tuple(sorted(found, key=lambda told: (told.day, told.issued)))


def _line(one: EarlierForecast, told: DayTold) -> dict[str, str]:
    def figure(value: float, digits: int = 1) -> str:
        return f"{value:.{digits}f}" if np.isfinite(value) else ""

    return {
        "issued": f"{told.issued.astype('datetime64[s]')}Z",
        "utc_offset": str(one.utc_offset),
        "file": one.path.name,
        "day": told.day.isoformat(),
        "tmin_c": figure(told.tmin),
        "tmax_c": figure(told.tmax),
        "rain_mm": figure(told.rain),
        "rain_chance": figure(told.rain_chance, 2),
    }


def _kept(path: Path) -> dict[str, list[dict[str, str]]]:
    """Lines of told.csv by file; none where it is not whole."""
    found: dict[str, list[dict[str, str]]] = {}
    try:
        for line in csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))):
            _told(line)
            found.setdefault(line["file"], []).append(line)
    except (OSError, UnicodeDecodeError, ValueError, KeyError, TypeError, csv.Error):
        return {}
    return found


def _told(line: dict[str, str]) -> DayTold:
    def figure(name: str) -> float:
        return float(line[name]) if line[name] else float("nan")

    issued, day = np.datetime64(line["issued"].removesuffix("Z"), "s"), date.fromisoformat(line["day"])
    of_issue = (issued + np.timedelta64(int(line["utc_offset"]), "h")).astype("datetime64[D]").item()
    return DayTold(
        issued,
        day,
        (day - of_issue).days,
        figure("tmin_c"),
        figure("tmax_c"),
        figure("rain_mm"),
        figure("rain_chance"),
    )
