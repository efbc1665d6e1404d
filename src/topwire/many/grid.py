"""Daily weather on a grid: a NetCDF file by the CF conventions, of which only the cells asked for are read."""

import os
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from topwire.values.arrays import Days, Floats
from topwire.values.fault import Faults, fault
from topwire.weather.reading import Reading

# Names under which grids keep what is wanted, and standard names of the CF conventions.
_LOWEST = ("tmin", "tasmin", "tn", "mn2t")
_HIGHEST = ("tmax", "tasmax", "tx", "mx2t")
_RAIN = ("rain", "pr", "precip", "precipitation", "rr", "tp")
_LATITUDE, _LONGITUDE = ("latitude", "lat"), ("longitude", "lon")
FARTHEST = 1.0  # [deg] from a place to the middle of its cell: beyond it the grid does not hold the place
_TO_CELSIUS = {"k": -273.15, "kelvin": -273.15}
_TO_MM = {"kg m-2 s-1": 86_400.0, "m": 1000.0, "cm": 10.0}


@dataclass(frozen=True)
class GridAxes:
    """A grid's days and cells; a list of cells where it is no rectangle.

    Attributes
    ----------
    latitude, longitude : [deg] of rows and columns, or of each cell of a list
    listed : cells stand in a list
    """

    day: Days
    latitude: Floats
    longitude: Floats
    listed: bool


class WeatherGrid:
    """An open grid. Nothing but its axes is read until a cell is asked for."""

    def __init__(self, path: Path) -> None:
        """Raises Faults when the file is none, or lacks what is needed."""
        try:
            import netCDF4
        except ImportError:
            says = "reading NetCDF needs the extra “many”."
            raise Faults([fault(path.name, says, "pip install 'topwire[many]'")]) from None
        self.name = path.name
        try:
            self._file: Any = netCDF4.Dataset(str(path))
        except OSError as error:
            raise Faults(
                [fault(path.name, f"this cannot be read as NetCDF: {error.strerror or error}.")]
            ) from None
        try:
            self._read_axes()
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Close the file; nothing more can be read then."""
        self._file.close()

    def _read_axes(self) -> None:
        self._lowest = self._named(_LOWEST, "the day's lowest temperature")
        self._highest = self._named(_HIGHEST, "the day's highest temperature")
        self._rain = self._found(_RAIN)
        latitude, longitude = (self._named(names, names[0]) for names in (_LATITUDE, _LONGITUDE))
        self._cells = tuple(name for name in self._lowest.dimensions if name != "time")
        listed = latitude.dimensions == longitude.dimensions
        if "time" not in self._lowest.dimensions or len(self._cells) != (1 if listed else 2):
            says = "its temperatures lie on other axes than time and cells."
            raise Faults(
                [fault(self.name, says, "Wanted: time, latitude, longitude; or time and a list of cells.")]
            )
        self.axes = GridAxes(self._days(), _values(latitude), _values(longitude), listed)

    def _found(self, names: tuple[str, ...]) -> Any:
        known = {name.lower(): variable for name, variable in self._file.variables.items()}
        return next((known[name] for name in names if name in known), None)

    def _named(self, names: tuple[str, ...], what: str) -> Any:
        found = self._found(names)
        if found is None:
            says = f"there is no {what} in it."
            raise Faults([fault(self.name, says, f"Looked for: {', '.join(names)}.")])
        return found

    def _days(self) -> Days:
        import netCDF4

        time = self._named(("time",), "time")
        try:
            calendar = getattr(time, "calendar", "standard")
            stamps: Any = netCDF4.num2date(time[:], time.units, calendar, only_use_cftime_datetimes=True)
            days = [f"{one.year:04d}-{one.month:02d}-{one.day:02d}" for one in stamps]
            return np.array(days, dtype="datetime64[D]")
        except (AttributeError, ValueError) as error:
            says = f"its days cannot be read: {error}."
            remedy = "Wanted: “days since 1990-01-01”, in a calendar with leap days."
            raise Faults([fault(self.name, says, remedy)]) from None

    def nearest(self, latitude: float, longitude: float, where: str) -> tuple[int, ...]:
        """The cell whose middle is nearest. Raises Faults where the grid does not hold the place."""
        axes = self.axes
        east = (axes.longitude - longitude + 180.0) % 360.0 - 180.0
        north = axes.latitude - latitude
        cell: tuple[int, ...]
        if axes.listed:
            cell = (int(np.argmin(north**2 + (east * np.cos(np.radians(latitude))) ** 2)),)
            away = max(abs(float(north[cell])), abs(float(east[cell])))
        else:
            cell = (int(np.argmin(np.abs(north))), int(np.argmin(np.abs(east))))
            away = max(abs(float(north[cell[0]])), abs(float(east[cell[1]])))
        if away > FARTHEST:
            says = f"the nearest cell of {self.name} lies {away:.1f}° away."
            raise Faults([fault(where, says, "Bring a grid that holds the place.")])
        return cell

    def stated(self, cell: str, where: str) -> tuple[int, ...]:
        """The cell a row names, counted from 0: “17”, or “row;column”. Raises Faults where there is none."""
        sizes = (
            (self.axes.latitude.size,)
            if self.axes.listed
            else (self.axes.latitude.size, self.axes.longitude.size)
        )
        parts = [part.strip() for part in cell.replace("/", ";").split(";")]
        if len(parts) != len(sizes) or not all(part.isdecimal() for part in parts):
            form = "a number" if len(sizes) == 1 else "row;column"
            raise Faults([fault(f"{where}, cell", f"“{cell}” is no cell.", f"Write {form}, counted from 0.")])
        found = tuple(int(part) for part in parts)
        if any(number >= size for number, size in zip(found, sizes, strict=True)):
            most = ";".join(str(size - 1) for size in sizes)
            raise Faults([fault(f"{where}, cell", f"“{cell}” is beyond the grid's last, {most}.")])
        return found

    def reading(self, cell: tuple[int, ...]) -> Reading:
        """The days of one cell.

        Raises
        ------
        Faults
            Where the file breaks off, or its units are not known.
        """
        label = f"{self.name}, cell {';'.join(map(str, cell))}"
        columns = {
            "tmin": self._column(self._lowest, cell, label) + self._shift(self._lowest),
            "tmax": self._column(self._highest, cell, label) + self._shift(self._highest),
        }
        if self._rain is not None:
            columns["rain"] = self._column(self._rain, cell, label) * _TO_MM.get(_unit(self._rain), 1.0)
        axes = self.axes
        station = float(axes.latitude[cell[0]]), float(axes.longitude[cell[-1]])
        return Reading(label, axes.day, columns, station=station, gridded=True)

    def _shift(self, variable: Any) -> float:
        return _TO_CELSIUS.get(_unit(variable), 0.0)

    def _column(self, variable: Any, cell: tuple[int, ...], label: str) -> Floats:
        at = dict(zip(self._cells, cell, strict=True))
        try:
            return _values(variable, tuple(at.get(name, slice(None)) for name in variable.dimensions))
        except (OSError, RuntimeError) as error:
            raise Faults([fault(label, f"it cannot be read: {error}.", "Fetch the grid again.")]) from None


def open_grid(path: Path) -> WeatherGrid:
    """The grid, kept open by whoever reads many cells of it. Raises Faults as :class:`WeatherGrid`."""
    try:
        found = os.stat(path)
    except OSError:
        raise Faults([fault(path.name, f"there is no such file in {path.parent}.")]) from None
    return _open(path, found.st_mtime_ns, found.st_size)


@lru_cache(maxsize=8)
def _open(path: Path, _changed: int, _size: int) -> WeatherGrid:
    return WeatherGrid(path)


def _values(variable: Any, where: Any = slice(None)) -> Floats:
    """Numbers in the unit the file states, what is missing as NaN."""
    found: Floats = np.ma.filled(np.ma.asarray(variable[where], dtype=float), np.nan)
    return found


def _unit(variable: Any) -> str:
    return str(getattr(variable, "units", "")).strip().lower()
