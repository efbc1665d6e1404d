"""Daily weather invented for many cells, as a NetCDF file: plain courses of the year with spells of warm and cold."""

from pathlib import Path

import numpy as np

FIRST, YEARS = "1979-10-01", 40


def write_grid(
    path: Path, cells: int, *, years: int = YEARS, seed: int = 5
) -> list[tuple[float, float, float]]:
    """Write the file, a cell at a time; latitude, longitude [deg] and elevation [m] of each cell.

    The climates lie between those of the Middle Atlantic and the Upper Midwest; all of it is invented.
    """
    import netCDF4

    random = np.random.default_rng(seed)
    days = round(years * 365.25) + 95
    when = np.arange(days)
    course = -np.cos(2.0 * np.pi * (when + 273 - 15) / 365.25)
    north = np.round(random.uniform(37.0, 46.0, cells), 3)
    west = np.round(random.uniform(-95.0, -75.0, cells), 3)
    height = np.round(random.uniform(50.0, 600.0, cells))
    with netCDF4.Dataset(str(path), "w") as file:
        file.createDimension("cell", cells)
        file.createDimension("time", days)
        time = file.createVariable("time", "i4", ("time",))
        time.units = f"days since {FIRST}"
        time[:] = when
        for name, values in (("latitude", north), ("longitude", west)):
            file.createVariable(name, "f8", ("cell",))[:] = values
        made = {}
        for name, unit, scale in (("tmin", "degC", 0.1), ("tmax", "degC", 0.1), ("rain", "mm", 0.1)):
            made[name] = file.createVariable(name, "i2", ("cell", "time"), chunksizes=(1, days), zlib=False)
            made[name].units, made[name].scale_factor = unit, scale
        for cell in range(cells):
            middle = 13.0 - 0.9 * (north[cell] - 40.0) - 0.0055 * height[cell] + random.normal(0.0, 0.4)
            noise = random.normal(0.0, 2.4, days)
            spells = np.empty(days)
            level = 0.0
            for at in range(0, days, 4):  # a spell lasts some days
                level = 0.55 * level + random.normal(0.0, 2.6)
                spells[at : at + 4] = level
            mean = middle + (12.0 + 0.25 * (north[cell] - 40.0)) * course + spells + noise
            span = np.clip(10.5 + 1.5 * course + random.normal(0.0, 2.5, days), 2.0, 20.0)
            wet = random.random(days) < 0.3
            made["tmin"][cell] = np.round(mean - span / 2, 1)
            made["tmax"][cell] = np.round(mean + span / 2, 1)
            made["rain"][cell] = np.round(np.where(wet, random.gamma(0.8, 9.0, days), 0.0), 1)
    return [(float(a), float(b), float(c)) for a, b, c in zip(north, west, height, strict=True)]
