"""Daily files of German stations as the Deutscher Wetterdienst gives them out (source DWDKL), packed or not.

One line a day, semicolons, blanks about every name and value, -999 where nothing was measured. Used are TNK and TXK,
lowest and highest at 2 m [deg C], RSK rain [mm], UPM mean humidity [%], FM mean wind [m/s]; TGK is the lowest 5 cm
above the ground, which is not the air the blossoms hang in.
"""

import io
import re
import zipfile
import zlib

import numpy as np

from topwire.values.fault import Faults, fault
from topwire.weather.air import wind_at_two_metres
from topwire.weather.reading import Reading, daily_reading
from topwire.weather.table import parse_table

_ELEMENTS = {"TNK": "tmin", "TXK": "tmax", "RSK": "rain", "UPM": "humidity", "FM": "wind10"}
_MEMBER = re.compile(r"produkt_klima_tag_\d{8}_\d{8}_\d{5}\.txt")


def is_german(line: str) -> bool:
    """True for the line of names of such a file."""
    names = [name.strip() for name in line.split(";")]
    return {"STATIONS_ID", "MESS_DATUM", "TNK", "TXK"} <= set(names)


def read_german(lines: list[str], label: str, *, first: int = 0) -> Reading:
    """The days of one station, its names in `lines[first]`. Raises Faults with line and column."""
    table = parse_table(lines, label, first=first)
    names = [name.strip() for name in table.header]
    stations = sorted({cell.strip() for cell in table.cells[names.index("STATIONS_ID")]})
    if len(stations) > 1:
        raise Faults([fault(label, f"holds {len(stations)} stations.", "Cut it to one station.")])
    day = table.dates(names.index("MESS_DATUM"))
    columns = {
        name: np.asarray(table.numbers(names.index(written)))
        for written, name in _ELEMENTS.items()
        if written in names
    }
    table.settle()
    if "wind10" in columns:
        columns["wind"] = wind_at_two_metres(columns.pop("wind10"), 10.0)
    return daily_reading(label, day, columns, ())


def unpacked(raw: bytes, most: int) -> bytes | None:
    """The days out of a packed file; None where it is no such archive.

    Parameters
    ----------
    most : bytes it may unpack to
    """
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            found = [one for one in archive.infolist() if _MEMBER.fullmatch(one.filename)]
            if len(found) != 1 or found[0].file_size > most:
                return None
            with archive.open(found[0]) as member:
                body = member.read(most + 1)
            return body if len(body) <= most else None
    # Of a spoiled archive: no archive, a cut or torn body, a packing or a lock it does not know, places outside it.
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError, ValueError):
        return None
