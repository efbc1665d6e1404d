"""Where a worksheet's figure is worked out of others that stand in it: the formula in its place."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from topwire.ledger.findings import Spent
from topwire.show.sheet import Sheet
from topwire.show.table import Table
from topwire.tell.ledger import SPENT
from topwire.values.quantities import Plain

Cells = dict[tuple[int, int], str]  # formula by line and column, from 0
TOGETHER = "together"  # what the last line is called that sums up those above it
EXACT = 1e-9  # share a formula may differ by from the plan's own figure


@dataclass(frozen=True)
class Sums:
    """Columns, by key, that are worked out line by line: of two others, by a sign."""

    of: Mapping[str, tuple[str, str, str]]


@dataclass(frozen=True)
class SummedLine:
    """A line that is worked out of earlier ones: (sign, line) of each, from 0."""

    line: int
    of: tuple[tuple[str, int], ...]


_BILL = Sums({"cost": ("quantity", "*", "each")})
_SUMS: Mapping[str, Sums] = {
    "trellis.bill": _BILL,
    "water.bill": _BILL,
    "soil.bill": _BILL,
    "ledger.goods": _BILL,
    "ledger.yearly": _BILL,
    "ledger.years": Sums(
        {f"flow_{year}": (f"value_{year}", "-", "cost") for year in ("low", "middle", "high")}
    ),
}
_LINES: Mapping[str, tuple[SummedLine, ...]] = {
    # uses together; the money that is left to find beside own work
    "ledger.banker": (SummedLine(2, (("+", 0), ("+", 1))), SummedLine(4, (("+", 2), ("-", 3))))
}
# A line of what it costs to establish, and the bill whose foot it is.
_FEET: Mapping[tuple[str, str], str] = {
    ("ledger.establishment", SPENT[Spent.TRELLIS]): "trellis.bill",
    ("ledger.establishment", SPENT[Spent.IRRIGATION]): "water.bill",
    ("ledger.establishment", SPENT[Spent.SOIL]): "soil.bill",
}


def formulas(sheet: Sheet, table: Table, feet: Mapping[str, tuple[str, float]]) -> Cells:
    """Formulas of a worksheet whose captions stand in row 1.

    Parameters
    ----------
    feet : of the bills, by sheet: the cell of their last line, and what stands in it

    A figure that the formula would not bring out to the last digit stays a number: it is then something else.
    """
    found: Cells = {}
    keys = [column.key for column in sheet.columns]
    values = [[_number(cell) for cell in row] for row in table.rows]

    def offer(line: int, column: int, says: str, value: float | None) -> None:
        own = values[line][column]
        if own is not None and value is not None and abs(own - value) <= EXACT * max(1.0, abs(own)):
            found[line, column] = f"={says}"

    for key, (left, sign, right) in (_SUMS[sheet.name].of if sheet.name in _SUMS else {}).items():
        target, first, second = keys.index(key), keys.index(left), keys.index(right)
        for line, row in enumerate(values):
            offer(
                line,
                target,
                f"{cell_name(line, first)}{sign}{cell_name(line, second)}",
                _worked(row[first], sign, row[second]),
            )
    for one in _LINES.get(sheet.name, ()):
        for column in range(1, len(keys)):
            if max(at for _, at in one.of) < len(values) > one.line:
                parts = [(sign, at, values[at][column]) for sign, at in one.of]
                says = "".join(f"{sign}{cell_name(at, column)}" for sign, at, _ in parts).removeprefix("+")
                total = sum((value or 0.0) * (1 if sign == "+" else -1) for sign, _, value in parts)
                offer(one.line, column, says, total)
    for line, printed in enumerate(table.rows):
        bill = _FEET.get((sheet.name, str(printed[0])), "")
        if bill in feet:
            offer(line, len(printed) - 1, *feet[bill])
    if ends_together(table):
        last = len(values) - 1
        for column in range(1, len(keys)):
            if sheet.columns[column].quantity is not Plain.YEAR:
                above = [row[column] for row in values[:last]]
                span = f"SUM({cell_name(0, column)}:{cell_name(last - 1, column)})"
                offer(last, column, span, sum(value for value in above if value is not None))
    return found


def feet_of(sheets: Sequence[tuple[str, Table]]) -> dict[str, tuple[str, float]]:
    """The cell of the last line of every bill, by sheet, and what stands in it."""
    found = {}
    for name, table in sheets:
        if name in _FEET.values() and ends_together(table):
            column = next(at for at, cell in enumerate(table.rows[-1]) if isinstance(cell, float))
            at = cell_name(len(table.rows) - 1, column)
            found[name] = (f"'{name.replace('.', ' ')}'!{at}", float(table.rows[-1][column]))
    return found


def ends_together(table: Table) -> bool:
    """Whether the last line sums up those above it."""
    return len(table.rows) > 1 and table.rows[-1][0] == TOGETHER


def cell_name(line: int, column: int) -> str:
    """Of a line and column from 0, under a row of captions."""
    return f"{chr(ord('A') + column)}{line + 2}"


def _worked(left: float | None, sign: str, right: float | None) -> float | None:
    if left is None or right is None:
        return None
    return left * right if sign == "*" else left - right


def _number(cell: object) -> float | None:
    return float(cell) if isinstance(cell, int | float) and not isinstance(cell, bool) else None
