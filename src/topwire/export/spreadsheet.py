"""All tables and all trees as one spreadsheet file, a worksheet each."""

import io
from datetime import datetime
from typing import Any

from topwire.engine.orchard import Orchard
from topwire.export.comma import tree_rows
from topwire.export.formulas import Cells, ends_together, feet_of, formulas
from topwire.show.table import Cell, Figure, Table
from topwire.show.tables import every_sheet, every_table

_WIDEST = 44  # characters
_LONGEST = 31  # characters a worksheet's name may have


def spreadsheet(orchard: Orchard) -> bytes:
    """One worksheet a table, with a filter and a frozen heading, and one that lists them; units stand in the captions.

    Words are written as words: a name that looks like a formula or an address stays a name. A sum is a formula.
    """
    import xlsxwriter

    stream = io.BytesIO()
    never = dict.fromkeys(("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False)
    with xlsxwriter.Workbook(stream, {"in_memory": True, **never}) as book:
        made = datetime(orchard.origin.planting_year, 1, 1)  # the same orchard gives the same bytes
        book.set_properties({"title": orchard.origin.name, "created": made})
        pen = _Pen(book)
        both = [
            (sheet, table)
            for sheet, table in zip(every_sheet(orchard), every_table(orchard), strict=True)
            if sheet.rows or not orchard.is_garden
        ]
        tables = [(sheet.name, table) for sheet, table in both]
        feet = feet_of(tables)
        sums = {sheet.name: formulas(sheet, table, feet) for sheet, table in both}
        if orchard.ground is not None and orchard.layout is not None:
            tables.append(
                ("layout.trees", Table("Every place of the ground", *_as_table(*tree_rows(orchard))))
            )
        pen.worksheet("contents", _contents(tables))
        for name, table in tables:
            pen.worksheet(name.replace(".", " ")[:_LONGEST], table, sums.get(name, {}))
    return stream.getvalue()


def _contents(tables: list[tuple[str, Table]]) -> Table:
    rows = tuple(
        (
            name.replace(".", " ")[:_LONGEST],
            table.title,
            " ".join(filter(None, (*table.notes, table.rests_on))),
        )
        for name, table in tables
    )
    return Table("", ("worksheet", "what it tells", "what it rests on"), rows)


def _as_table(
    header: tuple[str, ...], rows: list[tuple[object, ...]]
) -> tuple[tuple[str, ...], tuple[tuple[Cell, ...], ...]]:
    def cell(value: object) -> Cell:
        return (
            value
            if isinstance(value, str | int | Figure)
            else Figure(value, 7)
            if isinstance(value, float)
            else ""
        )

    return header, tuple(tuple(cell(value) for value in row) for row in rows)


class _Pen:
    """Writes cells with the formats of one workbook."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self.caption = book.add_format({"bold": True, "text_wrap": True, "bottom": 1, "valign": "top"})
        self.digits: dict[int, Any] = {}

    def worksheet(self, name: str, table: Table, sums: Cells | None = None) -> None:
        sheet = self.book.add_worksheet(name)
        for column, caption in enumerate(table.columns):
            sheet.write_string(0, column, caption, self.caption)
        for line, row in enumerate(table.rows, start=1):
            for column, cell in enumerate(row):
                self.cell(sheet, line, column, cell, (sums or {}).get((line - 1, column), ""))
        for column, caption in enumerate(table.columns):
            longest = max((len(str(row[column])) for row in table.rows), default=0)
            sheet.set_column(column, column, max(10, min(max(len(caption) // 2 + 4, longest + 2), _WIDEST)))
        sheet.freeze_panes(1, 1)
        filtered = len(table.rows) - ends_together(table)  # the sum stays where it is
        sheet.autofilter(0, 0, max(filtered, 1), len(table.columns) - 1)

    def cell(self, sheet: Any, line: int, column: int, cell: object, formula: str = "") -> None:
        if cell is None:
            return
        if formula:
            shape = self.number(cell.digits) if isinstance(cell, Figure) else None
            sheet.write_formula(
                line, column, formula, shape, float(cell) if isinstance(cell, int | float) else 0
            )
        elif isinstance(cell, Figure):
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
