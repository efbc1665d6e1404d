"""Trees, cultivars, orders and bills as CSV files."""

import csv
import io
from collections.abc import Callable, Iterable, Sequence
from math import isfinite
from typing import TypeVar

import numpy as np

from topwire.engine.orchard import Orchard
from topwire.layout.findings import Ground
from topwire.layout.projection import WorldGrid, world_grid
from topwire.layout.staking import staking_sheets
from topwire.show.blend_sheets import LINES, lines
from topwire.show.sheet import printed
from topwire.show.table import Figure
from topwire.show.tables import department_sheets
from topwire.tell.choice import reason
from topwire.tell.layout import post_words
from topwire.tell.reader import Reader
from topwire.values.arrays import Floats
from topwire.values.units import Kind, from_si, unit_of

_FORMULA = ("=", "+", "-", "@", "\t", "\r")  # what a spreadsheet takes for the beginning of a formula
Result = TypeVar("Result")


class Absent(Exception):
    """What a file would hold was not computed."""


def needed(result: Result | None, name: str) -> Result:
    """The result, or Absent where its department could not run."""
    if result is None:
        raise Absent(f"{name} was not computed")
    return result


def csv_bytes(header: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A CSV in UTF-8 with a byte order mark, which spreadsheets need to read accents.

    A word that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay numbers.
    """
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(header)
    for row in rows:
        writer.writerow([harmless(cell) for cell in row])
    return stream.getvalue().encode("utf-8-sig")


def harmless(cell: object) -> object:
    """A cell that no spreadsheet takes for a formula; a figure with its digits, what is not known empty."""
    if cell is None or (isinstance(cell, float) and not isfinite(cell)):
        return ""
    if isinstance(cell, Figure):
        return f"{float(cell):.{cell.digits}f}"
    if isinstance(cell, str) and cell.startswith(_FORMULA):
        return f"'{cell}"
    return cell


def tree_rows(orchard: Orchard) -> tuple[tuple[str, ...], list[tuple[object, ...]]]:
    """Captions and one line a place, empty ones included, in the order of the ground."""
    ground, layout = needed(orchard.ground, "ground"), needed(orchard.layout, "layout")
    unit = unit_of(Kind.LENGTH, orchard.origin.units)
    grid = _grid(ground, layout.longitude, layout.latitude)
    rows: list[tuple[object, ...]] = []
    for index in range(ground.capacity):
        block = ground.blocks[ground.block[index]]
        kind = int(layout.cultivar[index])
        stands = bool(layout.standing[index])
        stock = ground.standing_rootstock[index] if stands else layout.rootstock[kind] if kind >= 0 else ""
        rows.append(
            (
                str(ground.address(index)),
                block.name,
                block.rows[ground.row[index]].number,
                int(ground.place[index]),
                layout.cultivars[kind] if kind >= 0 else "",
                layout.codes[kind] if kind >= 0 else "",
                stock,
                int(layout.year_planted[index]) or None,
                "yes" if stands else "no",
                round(from_si(float(layout.along_row[index]), unit, Kind.LENGTH), 2),
                round(float(layout.longitude[index]), 7),
                round(float(layout.latitude[index]), 7),
                round(float(grid.east[index]), 2),
                round(float(grid.north[index]), 2),
                round(float(layout.pollen[index]), 3) if kind >= 0 else None,
                int(layout.donors_in_reach[index]) if kind >= 0 else None,
            )
        )
    header = (
        "address", "block", "row", "place", "cultivar", "code", "rootstock", "year", "stood already",
        f"from the start post ({unit})", "longitude (deg)", "latitude (deg)",
        *_grid_captions(grid), "useful pollen (1 = enough)", "useful donors in reach",
    )  # fmt: skip
    return header, rows


def _grid(ground: Ground, longitude: Floats, latitude: Floats) -> WorldGrid:
    return world_grid(longitude, latitude, origin=(ground.origin_longitude, ground.origin_latitude))


def _grid_captions(grid: WorldGrid) -> tuple[str, str]:
    return f"UTM {grid.zone}N east (m)", f"UTM {grid.zone}N north (m)"


def trees(orchard: Orchard) -> bytes:
    return csv_bytes(*tree_rows(orchard))


def cultivars(orchard: Orchard) -> bytes:
    """One line a chosen cultivar."""
    choice = needed(orchard.choice, "choice")
    unit = unit_of(Kind.MASS, orchard.origin.units)
    uses = sorted({use for line in choice.chosen for use in line.uses})
    rows = [
        (
            line.name,
            line.trees,
            line.standing,
            line.rootstock,
            "graft" if line.own_graft else "buy",
            *line.harvest_weeks,
            round(from_si(float(tree), unit, Kind.MASS), 1),
            *(round(from_si(line.uses.get(use, 0.0), unit, Kind.MASS), 1) for use in uses),
            "; ".join(line.donors),
            "; ".join(reason(one) for one in line.reasons),
            "; ".join(line.trade_marks),
        )
        for line, tree in zip(choice.chosen, choice.yield_per_tree, strict=True)
    ]
    header = (
        "cultivar", "trees", "of these standing", "rootstock", "how to get it", "first pick week (1-52)",
        "last pick week (1-52)", f"full crop of a tree ({unit})",
        *(f"picked for {use} ({unit} in the mean year)" for use in uses),
        "pollen donors", "why it is here", "sold under the trade mark",
    )  # fmt: skip
    return csv_bytes(header, rows)


def blends(orchard: Orchard) -> bytes:
    """What is mixed for every blended product, over the season and by week."""
    choice = needed(orchard.choice, "choice")
    return csv_bytes(LINES, lines(choice, orchard.press))


def staking(orchard: Orchard) -> bytes:
    """Every row's end posts on the ground and on the globe."""
    ground = needed(orchard.ground, "ground")
    unit = unit_of(Kind.LENGTH, orchard.origin.units)
    stakes = [
        (sheet.block, stake) for sheet in staking_sheets(ground, orchard.layout) for stake in sheet.stakes
    ]
    grid = _grid(
        ground,
        np.array([stake.longitude for _, stake in stakes]),
        np.array([stake.latitude for _, stake in stakes]),
    )
    rows = [
        (
            block,
            post_words(stake.post),
            *(
                round(from_si(value, unit, Kind.LENGTH), 2)
                for value in (stake.east, stake.north, stake.height)
            ),
            round(stake.longitude, 7),
            round(stake.latitude, 7),
            round(float(east), 2),
            round(float(north), 2),
        )
        for (block, stake), east, north in zip(stakes, grid.east, grid.north, strict=True)
    ]
    header = (
        "block", "post", f"east ({unit})", f"north ({unit})", f"height ({unit})", "longitude (deg)", "latitude (deg)",
        *_grid_captions(grid),
    )  # fmt: skip
    return csv_bytes(header, rows)


def from_sheet(name: str, department: str) -> Callable[[Orchard], bytes]:
    """A writer of one sheet as a file: the same columns, in the person's units."""

    def made(orchard: Orchard) -> bytes:
        needed(orchard.departments[department], department)
        for sheet in department_sheets(orchard, department):
            if sheet.name == name:
                found = printed(sheet, Reader(orchard.origin.units))
                return csv_bytes(found.columns, found.rows)
        raise Absent(f"{name} has nothing to list")

    return made
