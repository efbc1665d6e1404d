"""The places asked about: a table with one row a place, or a folder of orchards."""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from topwire.files.own_file import own_text
from topwire.many.findings import NotAnswered
from topwire.plan.changed import path_of
from topwire.plan.known import near_settings, setting_is_known
from topwire.values.fault import Faults, FileNotice, fault

LARGEST = 500_000_000  # bytes; a million places are 100 MB
LONGEST_ID = 80
SHORT = {name: f"place.{name}" for name in ("latitude", "longitude", "elevation")}
WEATHER, CELL = "weather", "cell"


@dataclass(frozen=True)
class ListedPlace:
    """One place as it is asked about.

    Attributes
    ----------
    line : in the file, header counted; or its number in the folder
    settings : settings of the plan and what they are here, as written
    weather : file names, relative to the table's folder; empty where the grid or the template's files serve
    cell : which of the grid, as written; empty = the nearest
    folder : of the orchard, where the places are orchards
    """

    id: str
    line: int
    settings: tuple[tuple[str, str], ...] = ()
    weather: tuple[str, ...] = ()
    cell: str = ""
    folder: str = ""


@dataclass(frozen=True)
class ListedPlaces:
    """All places of a table or folder, and the rows that are none."""

    name: str
    folder: Path
    places: tuple[ListedPlace, ...]
    wrong: tuple[NotAnswered, ...]


def read_places(path: Path) -> ListedPlaces:
    """The table or the folder of orchards.

    Raises
    ------
    Faults
        Where nothing can be asked: no such file, no column of ids, columns that are no settings.
    """
    return _orchards(path) if path.is_dir() else _table(path)


def _orchards(path: Path) -> ListedPlaces:
    folders = sorted(one.parent for one in path.glob("*/plan.yaml"))
    if not folders:
        remedy = "Name a folder whose folders hold a plan.yaml each, or a CSV of places."
        raise Faults([fault(str(path), "there is no orchard in this folder.", remedy)])
    places = [
        ListedPlace(folder.name, number, folder=str(folder.resolve()))
        for number, folder in enumerate(folders, start=1)
    ]
    return ListedPlaces(path.name, path, tuple(places), ())


def _table(path: Path) -> ListedPlaces:
    text = own_text(path, path.name, path.name, LARGEST, "A table of places is a CSV file.")
    reader = csv.reader(io.StringIO(text))
    header = [cell.strip() for cell in next(reader, [])]
    faults = _header_faults(header, path.name)
    if faults:
        raise Faults(faults)
    places: list[ListedPlace] = []
    wrong: list[NotAnswered] = []
    seen: dict[str, int] = {}
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            found = _row(header, cells, reader.line_num, path.name, seen)
            if isinstance(found, ListedPlace):
                seen[found.id] = found.line
                places.append(found)
            else:
                wrong.append(found)
    except csv.Error as error:
        where = f"{path.name}, line {reader.line_num}"
        raise Faults([fault(where, f"this cannot be read as CSV: {error}.")]) from None
    if not places and not wrong:
        raise Faults([fault(path.name, "there is no place in it.", "Write one line a place.")])
    return ListedPlaces(path.name, path.resolve().parent, tuple(places), tuple(wrong))


def _header_faults(header: list[str], name: str) -> list[FileNotice]:
    where = f"{name}, line 1"
    faults = []
    if "id" not in header:
        faults.append(fault(where, "there is no column “id”.", "Give each place a name of its own."))
    for column in sorted({column for column in header if header.count(column) > 1}):
        faults.append(fault(where, f"the column “{column}” stands twice.", "Keep one of them."))
    for column in header:
        if column in ("id", WEATHER, CELL, *SHORT):
            continue
        path = path_of(column)
        if path is None or not setting_is_known(path):
            near = near_settings(column)
            remedy = f"Did you mean “{near}”?" if near else "Columns are named as settings: place.gust."
            faults.append(fault(where, f"“{column}” is no setting of a plan.", remedy))
    return faults


def _row(
    header: list[str], cells: list[str], line: int, name: str, seen: Mapping[str, int]
) -> ListedPlace | NotAnswered:
    if len(cells) != len(header):
        says = f"{name}, line {line}: it has {len(cells)} cells under {len(header)} columns."
        return NotAnswered(cells[0].strip() if cells else "", line, says)
    row = {column: cell.strip() for column, cell in zip(header, cells, strict=True)}
    own = row.pop("id")
    if not own or len(own) > LONGEST_ID or not own.isprintable():
        says = f"{name}, line {line}, id: it has no name of 1 to {LONGEST_ID} printable signs."
        return NotAnswered(own[:LONGEST_ID], line, says)
    if own in seen:
        return NotAnswered(own, line, f"{name}, line {line}, id: “{own}” stands in line {seen[own]} too.")
    weather = tuple(part.strip() for part in row.pop(WEATHER, "").split(";") if part.strip())
    cell = row.pop(CELL, "")
    settings = tuple((SHORT.get(column, column), says) for column, says in row.items() if says)
    return ListedPlace(own, line, settings, weather, cell)
