"""All tables and all trees as one spreadsheet file."""

import io
from datetime import datetime
from typing import Any

from topwire.engine.orchard import Orchard
from topwire.export.comma import tree_rows
from topwire.show.table import Figure, Table
from topwire.show.tables import NAMES, department_tables

_WIDEST = 44  # characters


def spreadsheet(orchard: Orchard) -> bytes:
    """One sheet a department, and the trees; units stand in the captions.

    Words are written as words: a name that looks like a formula or an address stays a name.
    """
    import xlsxwriter

    stream = io.BytesIO()
    never = dict.fromkeys(("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False)
    with xlsxwriter.Workbook(stream, {"in_memory": True, **never}) as book:
        made = datetime(orchard.origin.planting_year, 1, 1)  # the same orchard gives the same bytes
        book.set_properties({"title": orchard.origin.name, "created": made})
        pen = _Pen(book)
        for name in NAMES:
            tables = department_tables(orchard, name)
            if tables:
                pen.department(book.add_worksheet(name.capitalize()), tables)
        if orchard.ground is not None and orchard.layout is not None:
            pen.trees(book.add_worksheet("Trees"), *tree_rows(orchard))
        if not book.worksheets():
            book.add_worksheet("Nothing computed")
    return stream.getvalue()


class _Pen:
    """Writes cells with the formats of one workbook."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self.title = book.add_format({"bold": True, "font_size": 13})
        self.caption = book.add_format({"bold": True, "text_wrap": True, "bottom": 1, "valign": "top"})
        self.note = book.add_format({"italic": True, "font_color": "#77766f"})
        self.digits: dict[int, Any] = {}

    def department(self, sheet: Any, tables: list[Table]) -> None:
        """Tables one below the other."""
        line = 0
        widths: dict[int, int] = {}
        for table in tables:
            sheet.write_string(line, 0, table.title, self.title)
            line += 1
            for column, caption in enumerate(table.columns):
                sheet.write_string(line, column, caption, self.caption)
            for row in table.rows:
                line += 1
                for column, cell in enumerate(row):
                    self.cell(sheet, line, column, cell)
                    widths[column] = max(widths.get(column, 10), min(len(str(cell)) + 2, _WIDEST))
            for note in (*table.notes, table.rests_on):
                if note:
                    line += 1
                    sheet.write_string(line, 0, note, self.note)
            line += 2
        for column, width in widths.items():
            sheet.set_column(column, column, width)

    def trees(self, sheet: Any, header: tuple[str, ...], rows: list[tuple[object, ...]]) -> None:
        """A line a place, with filters."""
        for column, caption in enumerate(header):
            sheet.write_string(0, column, caption, self.caption)
        for line, row in enumerate(rows, start=1):
            for column, cell in enumerate(row):
                self.cell(sheet, line, column, cell)
        sheet.freeze_panes(1, 1)
        sheet.set_column(0, 0, 18)
        sheet.set_column(1, len(header) - 1, 13)
        sheet.set_column(4, 5, 22)
        sheet.autofilter(0, 0, max(len(rows), 1), len(header) - 1)

    def cell(self, sheet: Any, line: int, column: int, cell: object) -> None:
        if cell is None:
            return
        if isinstance(cell, Figure):
            sheet.write_number(line, column, float(cell), self.number(cell.digits))
        elif isinstance(cell, (int, float)):
            sheet.write_number(line, column, cell)
        else:
            sheet.write_string(line, column, str(cell))

    def number(self, digits: int) -> Any:
        if digits not in self.digits:
            decimals = "." + "0" * digits if digits else ""
            self.digits[digits] = self.book.add_format({"num_format": f"#,##0{decimals}"})
        return self.digits[digits]
