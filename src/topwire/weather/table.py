"""A text table with its line numbers: whole columns turned to numbers and dates, every bad cell told by its place."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from topwire.values.fault import Faults, FileNotice, fault

Array = npt.NDArray[np.float64]
Days = npt.NDArray[np.datetime64]

MOST_FAULTS = 10  # a damaged file is told by its first lines, not by all of them
_MISSING_WORDS = {"", "na", "n/a", "nan", "null", "none", "m", "-", "--", ".", "missing"}
_MISSING_NUMBERS = (-9999.0, -999.0, -99.9, -99.0, 9999.0, 999.9)
_TRACE = {"t", "trace"}  # rain too little to measure
EARLIEST, LATEST = np.datetime64("1750-01-01"), np.datetime64("2300-01-01")
_BY_DAY_OR_MONTH = re.compile(r"(\d{1,2})[/.\-](\d{1,2})[/.\-](\d{2,4})$")


@dataclass
class WeatherTable:
    """Rows of equal length under a header, and the faults found while its columns are read.

    Attributes
    ----------
    label : the file's name in messages
    header : the column names as they are written
    cells : columns of cells
    lines : line number of each row in the file
    faults : gathered as columns are read; :meth:`settle` raises them together
    """

    label: str
    header: list[str]
    cells: list[tuple[str, ...]]
    lines: list[int]
    decimal_comma: bool = False
    faults: list[FileNotice] = field(default_factory=list)

    def numbers(self, column: int) -> Array:
        """The column as numbers, NaN where missing; a cell that is neither adds a fault."""
        cells: Sequence[str] = self.cells[column]
        if self.decimal_comma:
            cells = [cell.replace(",", ".") for cell in cells]
        try:
            values = np.array([float(cell) if cell else np.nan for cell in cells])
        except ValueError:
            values = np.array([self._number(row, column, cell) for row, cell in enumerate(cells)])
        values[np.isin(values, _MISSING_NUMBERS) | ~np.isfinite(values)] = np.nan
        return values

    def _number(self, row: int, column: int, cell: str) -> float:
        word = cell.strip().lower()
        if word in _MISSING_WORDS:
            return float("nan")
        if word in _TRACE:
            return 0.0
        try:
            return float(word)
        except ValueError:
            remedy = "Write a number, or leave the cell empty where nothing was measured."
            if re.fullmatch(r"-?\d+,\d+", word):
                remedy = "Write the decimals after a point."
            self.add(row, column, f"“{cell.strip()[:40]}” is not a number.", remedy)
            return float("nan")

    def dates(self, column: int) -> Days:
        """The column as days; NaT and a fault where a cell is no date written year first."""
        cells = [cell.strip() for cell in self.cells[column]]
        days: Days | None = None
        if {len(cell) for cell in cells} == {10}:
            try:
                days = np.array(cells, dtype="datetime64[D]")
            except ValueError:
                days = None
        if days is None:
            days = np.array([self._day(row, column, cell) for row, cell in enumerate(cells)], "datetime64[D]")
        for row in np.flatnonzero((days < EARLIEST) | (days > LATEST))[:3]:
            self.add(int(row), column, f"“{cells[row]}” is no year of weather records.", "Check the year.")
        return days

    def together(self, columns: Sequence[int]) -> None:
        """Year, month and day of three columns written into the first as one date."""
        parts = zip(*(self.cells[column] for column in columns), strict=True)
        self.cells[columns[0]] = tuple("-".join(part.strip() for part in row) for row in parts)

    def _day(self, row: int, column: int, cell: str) -> np.datetime64:
        day = day_of(cell)
        if day is not None:
            return day
        ambiguous = _BY_DAY_OR_MONTH.match(cell)
        if ambiguous:
            says = f"“{cell}” does not say which number is the day and which the month."
            self.add(row, column, says, "Write year-month-day: 2019-05-03.")
        else:
            self.add(row, column, f"“{cell[:40]}” is not a date.", "Write year-month-day: 2019-05-03.")
        return np.datetime64("NaT")

    def add(self, row: int, column: int, says: str, remedy: str = "") -> None:
        """A fault of one cell. Raises Faults when there are many already."""
        where = f"{self.label}, line {self.lines[row]}, {self.header[column].strip()}"
        self.faults.append(fault(where, says, remedy))
        if len(self.faults) >= MOST_FAULTS:
            self.faults.append(fault(self.label, "has more faults of the kind; mend these first."))
            self.settle()

    def settle(self) -> None:
        """Raises Faults when any was found."""
        if self.faults:
            raise Faults(self.faults)


def day_of(text: str) -> np.datetime64 | None:
    """A day written 2019-05-03, 2019/5/3 or 20190503; None for anything else."""
    if len(text) == 8 and text.isdigit():
        text = f"{text[:4]}-{text[4:6]}-{text[6:]}"
    parts = re.split(r"[-/.]", text)
    if len(parts) != 3 or len(parts[0]) != 4 or not all(part.isdigit() for part in parts):
        return None
    try:
        return np.datetime64(f"{parts[0]}-{int(parts[1]):02d}-{int(parts[2]):02d}", "D")
    except ValueError:
        return None


def delimiter_of(line: str) -> str:
    """The sign that parts the columns: comma, semicolon or tab, whichever the line has most of."""
    return max((",", ";", "\t"), key=line.count)


def parse_table(lines: list[str], label: str, *, first: int = 0) -> WeatherTable:
    """The table whose header stands in `lines[first]`.

    Raises
    ------
    Faults
        No rows, or rows of another length than the header.
    """
    delimiter = delimiter_of(lines[first])
    reader = csv.reader(lines[first:], delimiter=delimiter)
    header = next(reader)
    rows, numbers, faults = [], [], []
    try:
        for cells in reader:
            if not cells or not any(cells):
                continue
            if len(cells) != len(header):
                spare = len(cells) > len(header) and not any(cell.strip() for cell in cells[len(header) :])
                if not spare:
                    says = f"has {len(cells)} columns where the header names {len(header)}."
                    remedy = "A decimal comma or a line cut off can do that." if delimiter == "," else ""
                    faults.append(fault(f"{label}, line {first + reader.line_num}", says, remedy))
                    if len(faults) >= MOST_FAULTS:
                        raise Faults([*faults, fault(label, "has more such lines; mend these first.")])
                    continue
                cells = cells[: len(header)]
            rows.append(cells)
            numbers.append(first + reader.line_num)
    except csv.Error as error:
        faults.append(
            fault(f"{label}, line {first + reader.line_num}", f"cannot be read as a table: {error}.")
        )
    if faults:
        raise Faults(faults)
    if not rows:
        raise Faults([fault(label, "has a header but no days under it.")])
    return WeatherTable(label, header, list(zip(*rows, strict=True)), numbers, decimal_comma=delimiter != ",")
