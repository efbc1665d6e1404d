"""A comma-separated text to lines of cells: quotes closed, cells and lines within bounds."""

import csv
import io
from collections.abc import Mapping

from topwire.values.fault import Faults, FileNotice, fault

MOST_LINES = 100_000


def read_cells(text: str, where: str) -> tuple[tuple[str, ...], list[tuple[int, Mapping[str, str]]]]:
    """Names of the columns, and each line that is not empty: its number and its cells by column, trimmed.

    Raises
    ------
    Faults
        Cells parted by another sign than a comma, a quote that is never closed, a line with more cells than there are
        columns, a column named twice, more than 100,000 lines.
    """
    if "\0" in text:
        raise Faults([fault(where, "is not a text file.", "Save it as CSV (UTF-8).")])
    reader = csv.reader(io.StringIO(text), strict=True)
    lines: list[tuple[int, Mapping[str, str]]] = []
    try:
        columns = tuple(name.strip() for name in next(reader, ()))
        if len(columns) == 1 and any(sign in columns[0] for sign in ";\t"):
            says = f"its cells are parted by {'semicolons' if ';' in columns[0] else 'tabs'}, not commas."
            remedy = "Save it as CSV with commas, and write decimals with a point."
            raise Faults([fault(f"{where}, line 1", says, remedy)])
        twice = sorted({name for name in columns if name and columns.count(name) > 1})
        if twice:
            raise Faults([fault(f"{where}, line 1", f"the column “{twice[0][:60]}” stands twice.")])
        faults: list[FileNotice] = []
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if len(lines) == MOST_LINES:
                raise Faults([fault(where, f"has more than {MOST_LINES:,} lines.", "Split it.")])
            if any(cell.strip() for cell in cells[len(columns) :]):
                says = f"has {len(cells)} cells where the first line names {len(columns)} columns."
                if len(faults) < 20:
                    faults.append(
                        fault(f"{where}, line {reader.line_num}", says, "Put a cell with a comma in quotes.")
                    )
                continue
            lines.append(
                (reader.line_num, dict(zip(columns, (cell.strip() for cell in cells), strict=False)))
            )
    except csv.Error as error:
        says = "holds a quote that is not closed, or a cell too long to be meant"
        raise Faults([fault(f"{where}, line {reader.line_num}", f"{says} ({error}).")]) from None
    if faults:
        raise Faults(faults)
    return columns, lines
